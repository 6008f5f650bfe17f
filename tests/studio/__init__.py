"""The studio: draws the photographs of the invented Sparrowhithe pieces, and knows their truth.

``python -m tests.studio`` writes the demo library; :func:`tests.studio.truths.truth` says what a
photograph of it ought to read.
"""
