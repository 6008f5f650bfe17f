"""Drift over days that really passed, laid out as points of a plain SVG drawing.

Only geometry: every value drawn was found in ``relate``. The drawing itself is a template.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from builder.publish.ages import say_moment
from builder.publish.words import say_days, say_number
from builder.relate.findings import Difference, Strand

#: Drawings for a narrow, a middling and a wide place, in pixels.
SIZES = (("narrow", (340, 250)), ("middle", (540, 290)), ("wide", (940, 300)))
_LEFT, _RIGHT, _TOP, _BOTTOM = 40, 44, 14, 44
_STEPS = (0.5, 1.0, 2.0, 2.5, 5.0, 10.0, 20.0)
_MOST_TICKS = 6
_DAY_LABEL = 34  # pixels a day's label needs, at 12 px type
_END_LABEL = 15  # pixels between the labels at two lines' ends


@dataclass(frozen=True)
class Mark:
    """One reading: where it is drawn, and what it says when asked."""

    x: float
    y: float
    says: str


@dataclass(frozen=True)
class Line:
    """One strand. ``kind`` is ``piece`` or ``sister``; ``end`` the label at its last point."""

    kind: str
    name: str
    marks: tuple[Mark, ...]
    end: str
    end_y: float

    @property
    def path(self) -> str:
        return " ".join(f"{mark.x},{mark.y}" for mark in self.marks)


@dataclass(frozen=True)
class Tick:
    at: float
    label: str


@dataclass(frozen=True)
class Plot:
    """A drawing of ``width`` by ``height``; everything in its pixels from the left top corner."""

    width: int
    height: int
    left: float
    right: float
    top: float
    bottom: float
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]
    band: str  # corners of the noise band
    threshold: float
    threshold_words: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class PlotSet:
    """The same plot by name of size, and its readings for a table."""

    drawings: tuple[tuple[str, Plot], ...]
    main: str
    sister: str
    main_drifts: tuple[Difference, ...]
    sister_drifts: tuple[Difference, ...]
    says: str


def plot_drift(
    strand: Strand, threshold: float, sister: Strand | None = None, name: str = "", other: str = ""
) -> PlotSet | None:
    """The drift of a strand, with its bare sister beside it; None where there is none to draw."""
    if not strand.drifts:
        return None
    beside = sister.drifts if sister else ()
    return PlotSet(
        tuple(
            (place, _lay_out(size, strand.drifts, beside, threshold, name, other))
            for place, size in SIZES
        ),
        name,
        other if beside else "",
        strand.drifts,
        beside,
        strand.verdict_words,
    )


def _lay_out(
    size: tuple[int, int],
    drifts: Sequence[Difference],
    beside: Sequence[Difference],
    threshold: float,
    name: str,
    other: str,
) -> Plot:
    width, height = size
    right, bottom = width - _RIGHT, height - _BOTTOM
    days = max(difference.days for difference in (*drifts, *beside)) or 1
    heights = (*(d.de00 for d in (*drifts, *beside)), *(d.u for d in drifts))
    step, top = _scale(max(threshold, *heights))

    def x(day: float) -> float:
        return round(_LEFT + (right - _LEFT) * day / days, 1)

    def y(value: float) -> float:
        return round(bottom - (bottom - _TOP) * value / top, 1)

    def line(kind: str, said: str, differences: Sequence[Difference]) -> Line:
        marks = tuple(Mark(x(d.days), y(d.de00), _say(d, said)) for d in differences)
        start = Mark(x(0), y(0), f"{said}: start of watch, {say_moment(differences[0].first)}")
        last = differences[-1]
        return Line(kind, said, (start, *marks), say_number(last.de00), marks[-1].y)

    lines = [line("piece", name, drifts)] + ([line("sister", other, beside)] if beside else [])
    corners = [(x(0), y(drifts[0].u)), *((x(d.days), y(d.u)) for d in drifts)]
    corners += [(corners[-1][0], y(0)), (x(0), y(0))]
    return Plot(
        width,
        height,
        _LEFT,
        right,
        _TOP,
        bottom,
        _day_ticks([0, *(d.days for d in drifts)], x),
        tuple(Tick(y(step * i), _plain(step * i)) for i in range(round(top / step) + 1)),
        " ".join(f"{px},{py}" for px, py in corners),
        y(threshold),
        f"visible change {_plain(threshold)}",
        tuple(_part_ends(lines)),
    )


def _scale(highest: float) -> tuple[float, float]:
    """The step between ticks and the top of the axis, a whole number of steps."""
    wanted = highest * 1.12
    step = next((s for s in _STEPS if wanted / s <= _MOST_TICKS), _STEPS[-1])
    steps = int(-(-wanted // step))
    return step, step * steps


def _day_ticks(days: Sequence[int], x: Callable[[float], float]) -> tuple[Tick, ...]:
    """A tick at every day a reading was taken; a label only where there is room for one."""
    kept: list[Tick] = []
    nearest_right = None
    for day in sorted(set(days), reverse=True):  # the last day is the one that must be readable
        at = x(day)
        room = nearest_right is None or nearest_right - at >= _DAY_LABEL
        kept.append(Tick(at, str(day) if room else ""))
        nearest_right = at if room else nearest_right
    return tuple(reversed(kept))


def _part_ends(lines: Sequence[Line]) -> list[Line]:
    """Two end labels that would lie on each other are moved apart."""
    if len(lines) < 2:
        return list(lines)
    upper, lower = sorted(lines, key=lambda line: line.end_y)
    push = max(0.0, _END_LABEL - (lower.end_y - upper.end_y)) / 2
    moved = (
        replace(upper, end_y=upper.end_y - push),
        replace(lower, end_y=lower.end_y + push),
    )
    return sorted(moved, key=lambda line: line.kind)


def _say(difference: Difference, name: str) -> str:
    return (
        f"{name}: ΔE00 {say_number(difference.de00)} after {say_days(difference.days)}, "
        f"noise {say_number(difference.u)}, {say_moment(difference.second)}"
    )


def _plain(value: float) -> str:
    return f"{value:g}"
