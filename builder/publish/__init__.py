"""Findings in, a site out: pages, data files, search, and the MkDocs plugin that joins them.

Nothing here computes a figure: what a page says was found in ``relate`` or before.
"""
