"""Readings and records in, findings out: what each piece did, and what may honestly be said of it.

Start at :func:`builder.relate.find.find_findings`; what comes out is in
:mod:`builder.relate.findings`.
"""
