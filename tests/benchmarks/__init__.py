"""How exact readings are: random photographs made from spectra, read as a library's are.

``python -m tests.benchmarks.colour`` runs them and writes the report.
"""

import os

# Threads of these libraries would be counted as work, and wait for one another besides. Asked for
# when they are first imported.
for _asked in ("VIPS_CONCURRENCY", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(_asked, "1")
