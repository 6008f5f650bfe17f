"""Names in one spelling, so that they can be looked up."""

from __future__ import annotations

import re
from functools import lru_cache


@lru_cache(maxsize=10_000)  # a library says the same few words over and over
def name_plainly(written: str) -> str:
    """The words in one spelling: lower case, single spaces, no hyphens or brackets, British."""
    words = re.sub(r"[-_/()\[\],;.:]+(?!\d)", " ", written.lower())
    words = re.sub(r"\bsulf", "sulph", words)
    return " ".join(re.sub(r"\baluminum\b", "aluminium", words).split())
