"""What a photograph shows the piece as: told, or read from its day against the piece's own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from builder.records.photo import State
from builder.relate.timeline import Timeline

#: How long after drying or curing a first look still counts as fresh. Common practice, no source.
FRESH_WITHIN = dt.timedelta(days=3)


def infer_states(
    days: Sequence[dt.date | None],
    told: Sequence[State | None],
    timeline: Timeline,
    sealed: bool,
) -> tuple[State | None, ...]:
    """A state for each photograph, by date where none is ``told``; None where the days do not say.

    The first look after drying (bare) or curing (sealed), when it is soon enough, opens the watch;
    what follows is a recheck.
    """
    opening = timeline.cured_on if sealed else timeline.dried_on
    since = [day for day in days if day is not None and opening is not None and day >= opening]
    first = min(since, default=None)
    return tuple(
        state if state is not None else _state_on(day, timeline, sealed, first)
        for day, state in zip(days, told, strict=True)
    )


def _state_on(
    day: dt.date | None, timeline: Timeline, sealed: bool, first: dt.date | None
) -> State | None:
    if day is None:
        return None
    if timeline.started is not None and day < timeline.started:
        return State.BARE
    if timeline.coloured_on is None:
        return None
    if day < timeline.coloured_on:
        return State.DURING
    if day == timeline.started == timeline.dried_on:
        return None  # begun, coloured and dry in one day: bare or finished, the day cannot tell
    return _state_sealed(day, timeline, first) if sealed else _state_bare(day, timeline, first)


def _state_bare(day: dt.date, timeline: Timeline, first: dt.date | None) -> State:
    if timeline.dried_on is None or day < timeline.dried_on:
        return State.DURING  # the colour keeps moving while it dries
    return State.DRY if _opens_watch(day, timeline.dried_on, first) else State.RECHECK


def _state_sealed(day: dt.date, timeline: Timeline, first: dt.date | None) -> State | None:
    if timeline.sealed_on is None or timeline.cured_on is None or day == timeline.sealed_on:
        return None  # before or after the brush: a day alone cannot tell
    if day < timeline.sealed_on:
        return State.BEFORE_SEAL
    if day < timeline.cured_on or _opens_watch(day, timeline.cured_on, first):
        return State.AFTER_SEAL
    return State.RECHECK


def _opens_watch(day: dt.date, opening: dt.date, first: dt.date | None) -> bool:
    return day == first and day - opening <= FRESH_WITHIN
