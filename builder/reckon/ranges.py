"""A figure with the ways of reading that it rests on."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

_FIGURES = 2  # labels, spoons and gauges are no better


@dataclass(frozen=True)
class Range:
    """A number from ``low`` to ``high``, both the same where only one reading is possible."""

    low: float
    high: float
    unit: str
    assumed: tuple[str, ...] = ()

    def times(self, low: float, high: float | None = None, unit: str = "") -> Range:
        """Each end multiplied; another ``unit`` if one is given. Factors are never below nought."""
        top = low if high is None else high
        return replace(self, low=self.low * low, high=self.high * top, unit=unit or self.unit)

    def because(self, *assumed: str) -> Range:
        """The same, and what it rests on besides."""
        return replace(self, assumed=join_assumed(self.assumed, assumed))


def span(numbers: Iterable[float], unit: str, *assumed: str) -> Range:
    """From the least to the greatest of ``numbers``; at least one."""
    ordered = sorted(numbers)
    return Range(ordered[0], ordered[-1], unit, join_assumed(assumed))


def join_assumed(*several: Iterable[str]) -> tuple[str, ...]:
    """All that is said, each once, in order."""
    return tuple(dict.fromkeys(words for some in several for words in some if words))


def say_number(number: float, figures: int = _FIGURES) -> str:
    """The number to so many figures that count: "6.0", "0.084", "120"."""
    if not number:
        return "0"
    rounded = float(f"{number:.{figures - 1}e}")
    places = figures - 1 - math.floor(math.log10(abs(rounded)))
    return f"{rounded:.{max(places, 0)}f}"


def say_range(of: Range, figures: int = _FIGURES) -> str:
    """The range with its unit: "6.0 g", "12 to 15 ml"."""
    low, high = say_number(of.low, figures), say_number(of.high, figures)
    return f"{low}\u00a0{of.unit}" if low == high else f"{low} to {high}\u00a0{of.unit}"
