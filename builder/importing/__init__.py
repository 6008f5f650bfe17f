"""A table of pieces (CSV, TSV, XLSX, ODS) to sidecars.

``reading`` opens the table; ``headings`` finds its header and ``columns`` what each column means;
``mapping`` is the file that remembers it; ``rows`` turns rows into what sidecars say, with every
doubt; ``merging`` holds a corrected table against what was edited since; ``planning`` says what
would be done and ``writing`` does it. Nothing of a table is ever run or reckoned out.
"""
