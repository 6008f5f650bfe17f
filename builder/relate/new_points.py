"""One more point in a series of two: between them where there is room, else beyond.

A factor's own steps: times and counts grow by parts, temperatures by degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from builder.relate.factors import Number, Parts

#: The factors that a maker sets as a number.
SERIES = ("temp", "time")
#: Two points this far apart leave room for one between. Common practice, no source.
_ROOM_PARTS = 2.0  # times the lesser
_ROOM_WITHIN = 4.0  # tolerances

_IN_ONES, _IN_FIVES = 3, 20  # of a unit of time: from here on in whole ones, in fives
_UNITS = ((86_400.0, "d", 2), (3_600.0, "h", 2), (60.0, "min", 2), (1.0, "s", 0))


@dataclass(frozen=True)
class Point:
    """A value that no piece has: as a sidecar writes it, in words, and as parts of the factor.
    ``beyond`` the greater of the two it is next to."""

    factor: str
    field: str  # of the sidecar
    written: str
    words: str
    parts: Parts
    beyond: bool


def is_series(points: list[Parts]) -> bool:
    """Whether these values of a factor differ in one number and in nothing else."""
    first, *others = points
    names = {
        name
        for other in others
        for name in first.keys() | other.keys()
        if not _same(first.get(name), other.get(name))
    }
    return len(names) == 1 and all(
        isinstance(point.get(name), Number) for point in points for name in names
    )


def find_point(factor: str, one: Parts, other: Parts) -> Point | None:
    """The next point of two that are a series; None where there is no room for one, or the number
    is none that a maker sets."""
    name = next(name for name in one if not _same(one[name], other[name]))
    low, high = sorted((one[name], other[name]), key=_value)
    if not (isinstance(low, Number) and isinstance(high, Number)) or low.value <= 0:
        return None
    if (low.value >= 0 and name == "cycles") or low.relative:
        ratio = high.value / low.value
        wanted = low.value * math.sqrt(ratio) if ratio >= _ROOM_PARTS else high.value * ratio
    else:
        step = high.value - low.value
        half = step >= _ROOM_WITHIN * low.within
        wanted = low.value + step / 2 if half else high.value + step
    made = _write(factor, name, wanted)
    if made is None:
        return None
    field, written, words, value = made
    number = Number(value, low.within, low.relative)
    if number.same_as(low) or number.same_as(high):
        return None
    return Point(factor, field, written, words, {**one, name: number}, value > high.value)


def say_seconds(seconds: float) -> str:
    """A time in the largest unit that it is two of or more: ``25 s``, ``7 d``."""
    size, unit = next((size, unit) for size, unit, least in _UNITS if seconds >= least * size)
    return f"{seconds / size:.4g} {unit}"


def _write(factor: str, name: str, wanted: float) -> tuple[str, str, str, float] | None:
    """The field, the sidecar's words, ours, and the number that they come to."""
    if factor == "temp":
        value = float(5 * round(wanted / 5))
        return "temperature_c", f"{value:g}", f"{value:g} °C", value
    if name == "cycles":
        return "cycles", f"{round(wanted)}", f"{round(wanted)} times", float(round(wanted))
    if name != "seconds":
        return None
    size = next(size for size, _, least in _UNITS if wanted >= least * size)
    count = wanted / size
    step = 5 if count >= _IN_FIVES else 1 if count >= _IN_ONES else 0.5
    seconds = max(step, step * round(count / step)) * size
    return "exposure", say_seconds(seconds), say_seconds(seconds), seconds


def _value(part: str | Number) -> float:
    return part.value if isinstance(part, Number) else 0.0


def _same(one: str | Number | None, other: str | Number | None) -> bool:
    if isinstance(one, Number) and isinstance(other, Number):
        return one.same_as(other)
    return one == other


def first_number(parts: Mapping[str, str | Number]) -> float:
    """The first number of a factor's value, 0 where it has none: what it is put in order by."""
    return next((part.value for part in parts.values() if isinstance(part, Number)), 0.0)
