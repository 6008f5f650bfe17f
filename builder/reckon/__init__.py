"""Arithmetic of the bench: from what was written down to grams, moles, areas and money.

Nothing here opens a file. What cannot be known is not reckoned, what is ambiguous is told as a
range, and every assumption is said.
"""
