"""Molar masses from formulas."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

#: Abridged standard atomic weights, g/mol. Source: IUPAC, from memory; sums of them are held
#: against published molar masses in the tests.
ATOMIC_WEIGHTS: Mapping[str, float] = MappingProxyType(
    {
        "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "S": 32.06, "Cl": 35.45,
        "K": 39.098, "Ca": 40.078, "Fe": 55.845, "Cu": 63.546, "Zn": 65.38, "Ag": 107.87,
    }
)  # fmt: skip
_TOKEN = re.compile(r"([A-Z][a-z]?|\(|\))([0-9]*)")
_PART = re.compile(r"([0-9.]*)((?:[A-Z][a-z]?[0-9]*|\(|\)[0-9]*)+)")


def find_molar_mass(formula: str) -> float:
    """g/mol of "CuSO4·5H2O". Raises ``ValueError`` for what is no formula of known elements."""
    return sum(_weigh_part(part) for part in formula.split("·"))


def _weigh_part(part: str) -> float:
    match = _PART.fullmatch(part)
    if match is None:
        raise ValueError(f"{part!r} is no formula")
    sums = [0.0]
    for sign, count in _TOKEN.findall(match[2]):
        times = int(count or 1)
        if sign == "(":
            sums.append(0.0)
        elif sign == ")":
            inner = sums.pop()
            sums[-1] += inner * times
        elif sign in ATOMIC_WEIGHTS:
            sums[-1] += ATOMIC_WEIGHTS[sign] * times
        else:
            raise ValueError(f"no atomic weight of {sign!r}")
    return sums[0] * float(match[1] or 1)
