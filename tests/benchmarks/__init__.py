"""How exact readings are: random photographs made from spectra, read as a library's are.

``python -m tests.benchmarks.colour`` runs them and writes the report.
"""
