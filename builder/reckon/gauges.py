"""Gauge numbers as millimetres: American, British, and both where the system is not written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from builder.records.facts import Fact, Quantity
from builder.records.gauges import find_awg_diameter, split_gauge

#: Inches of the Imperial Standard Wire Gauge, from 7/0 (n = -6) to 50. Source: BS 3737:1964
#: (withdrawn), as two public tables of it print it.
SWG_INCHES: Mapping[int, float] = MappingProxyType(
    dict(
        zip(
            range(-6, 51),
            (
                0.500, 0.464, 0.432, 0.400, 0.372, 0.348, 0.324, 0.300, 0.276, 0.252, 0.232, 0.212,
                0.192, 0.176, 0.160, 0.144, 0.128, 0.116, 0.104, 0.092, 0.080, 0.072, 0.064, 0.056,
                0.048, 0.040, 0.036, 0.032, 0.028, 0.024, 0.022, 0.020, 0.018, 0.0164, 0.0148,
                0.0136, 0.0124, 0.0116, 0.0108, 0.0100, 0.0092, 0.0084, 0.0076, 0.0068, 0.0060,
                0.0052, 0.0048, 0.0044, 0.0040, 0.0036, 0.0032, 0.0028, 0.0024, 0.0020, 0.0016,
                0.0012, 0.0010,
            ),
            strict=True,
        )
    )
)  # fmt: skip
_LEAST_AWG, _MOST_AWG = -3, 40


@dataclass(frozen=True)
class Thickness:
    """``mm`` by one ``system``."""

    mm: float
    system: str


def find_thicknesses(written: str) -> tuple[Thickness, ...]:
    """What a gauge may be, thickest first; two where the system is not written, none for what is no
    gauge. Sheet of copper and steel has gauges of its own besides: mm are better.

    Sources: ASTM B258-02 (American, Brown & Sharpe); :data:`SWG_INCHES` (British).
    """
    gauge = split_gauge(written)
    if gauge is None:
        return ()
    n, system = gauge
    found = []
    if system in ("SWG", "") and n in SWG_INCHES:
        found.append(Thickness(SWG_INCHES[n] * 25.4, "British SWG"))
    if system in ("AWG", "") and _LEAST_AWG <= n <= _MOST_AWG:
        found.append(Thickness(find_awg_diameter(n), "American AWG, B&S"))
    return tuple(sorted(found, key=lambda one: -one.mm))


def say_thicknesses(fact: Fact[Quantity]) -> str:
    """What a thickness written as a gauge is in mm, in words; "" where it is told in mm."""
    if fact.value is not None and fact.value.unit == "mm":
        return ""
    found = find_thicknesses(fact.written)
    return " or ".join(f"{one.mm:.2f}\u00a0mm ({one.system})" for one in found)
