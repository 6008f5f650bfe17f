"""The reference library, opened quietly: it warns of plotting it lacks, which no test needs."""

from __future__ import annotations

import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

__all__ = ["colour"]
