"""Patinarium: a library of coloured-metal test pieces, built from folders of photographs and notes.

The way through the house is straight: ``read`` → ``look`` → ``measure`` → ``relate`` → ``publish``.
``pipeline`` composes it, ``cli`` and ``plugin`` start it.
"""

import os

__version__ = "0.1.0"

# The matrix libraries under numpy would start a thread a core in every process, and those would
# fight for the cores with the other photographs. They ask once, when numpy is first imported.
for _asked in ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"):
    os.environ.setdefault(_asked, "1")
