"""Gauge numbers of sheet and wire."""

from __future__ import annotations

import re

_SYSTEM = r"(?P<{}>awg|b\s?&\s?s|b\s?and\s?s|brown\s?(?:&|and)\s?sharpe|american|swg)"
_GAUGE = re.compile(
    rf"(?:{_SYSTEM.format('before')}\s?)?(?P<number>0{{1,4}}|[1-9][0-9]?)"
    rf"(?:\s?(?:gauge|ga|g))?(?:\s?{_SYSTEM.format('after')})?"
)
_AMERICAN_LIMITS = (-3, 40)  # 0000 to 40, the range of ASTM B258


def find_awg_diameter(n: int) -> float:
    """Diameter or thickness in mm of American (AWG, Brown & Sharpe) gauge ``n``; 00, 000 and 0000
    are n = -1, -2, -3.

    Source: ASTM B258-02: d = 0.005 in × 92^((36 − n)/39).
    """
    return float(25.4 * 0.005 * 92 ** ((36 - n) / 39))


def split_gauge(text: str) -> tuple[int, str] | None:
    """Gauge number and system (``AWG``, ``SWG``, or "" where it is not said), or None where the
    text is no gauge. "00" is -1, "000" -2, "0000" -3."""
    match = _GAUGE.fullmatch(" ".join(text.casefold().split()))
    if match is None or (match["before"] and match["after"]):
        return None
    digits = match["number"]
    n = 1 - len(digits) if digits.startswith("0") else int(digits)
    named = match["before"] or match["after"] or ""
    system = "SWG" if named == "swg" else "AWG" if named else ""
    if system == "AWG" and not _AMERICAN_LIMITS[0] <= n <= _AMERICAN_LIMITS[1]:
        return None
    return n, system
