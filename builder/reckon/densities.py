"""Densities of solutions in water at 20 °C, between the rows of published tables."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

WATER_G_ML = 0.9982  # at 20 °C; common tables


@dataclass(frozen=True)
class Densities:
    """``rows``: per cent by weight and g/ml, rising in per cent."""

    rows: tuple[tuple[float, float], ...]
    source: str


_AMMONIA = Densities(
    (
        (0, WATER_G_ML), (0.5, 0.9961), (1, 0.9941), (2, 0.9900), (3, 0.9859), (4, 0.9819),
        (5, 0.9780), (6, 0.9741), (8, 0.9664), (10, 0.9588), (12, 0.9514), (15, 0.9406),
        (16, 0.9370), (20, 0.9232), (24, 0.9098), (25, 0.9065), (26, 0.9033), (28, 0.8969),
        (29, 0.8938), (30, 0.8906), (35, 0.880),
    ),
    "Laliberté and Cooper, J. Chem. Eng. Data 2004 and 2009; 35 %: a laboratory's reagent table",
)  # fmt: skip
_ACETIC = Densities(
    (
        (0, WATER_G_ML), (1, 0.9996), (5, 1.0052), (10, 1.0121), (20, 1.0250), (30, 1.0369),
        (40, 1.0474), (50, 1.0562), (70, 1.0673), (100, 1.0477),
    ),
    "an engineer's handbook table of organic acids in water at 20 °C",
)  # fmt: skip
_PEROXIDE = Densities(
    ((0, WATER_G_ML), (3, 1.01), (35, 1.13), (90, 1.39), (100, 1.45)),
    "a popular page on hydrogen peroxide, rounded to 0.01 g/ml",
)
#: By the name of the substance.
DENSITIES: Mapping[str, Densities] = MappingProxyType(
    {"NH3": _AMMONIA, "acetic acid": _ACETIC, "hydrogen peroxide": _PEROXIDE}
)


def find_density(substance: str, percent: float) -> float | None:
    """g/ml of so many per cent by weight at 20 °C, on a straight line between two rows; None where
    no table reaches. Sources: :data:`DENSITIES`."""
    table = DENSITIES.get(substance)
    if table is None or not 0 <= percent <= table.rows[-1][0]:
        return None
    place = max(bisect_left(table.rows, (percent, 0.0)), 1)
    (low, light), (high, heavy) = table.rows[place - 1 : place + 1]
    return light + (heavy - light) * (percent - low) / (high - low)
