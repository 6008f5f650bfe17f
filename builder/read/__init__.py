"""Folders, sidecars and settings in; frozen records, and every problem with file and line, out.

Opens no picture.
"""
