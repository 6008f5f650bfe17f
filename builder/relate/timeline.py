"""A piece's own days: begun, coloured, dry, sealed, cured."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from builder.records.facts import Fact, Moment, Quantity
from builder.records.piece import Piece, Sealant, Zone

_DAY_SECONDS = 86_400


@dataclass(frozen=True)
class Timeline:
    """Days of one zone of one attempt; None where the sidecar does not tell.

    ``coloured_on`` is the day it was lifted out, ``cured_on`` the first day after the cure.
    """

    started: dt.date | None
    coloured_on: dt.date | None
    dried_on: dt.date | None
    sealed_on: dt.date | None
    cured_on: dt.date | None


def draw_timeline(piece: Piece, zone: Zone | None = None) -> Timeline:
    """The days of ``piece``, or of one ``zone`` of it; a zone's sealant is its own."""
    started, coloured = _moment(piece.started), _when_coloured(piece)
    dried = None if coloured is None else _later(coloured, piece.dry.for_)
    sealed = _moment(sealant_of(piece, zone).date)
    sealed_on = None if sealed is None else sealed.day
    return Timeline(
        started=None if started is None else started.day,
        coloured_on=None if coloured is None else coloured.day,
        dried_on=None if dried is None else dried.day,
        sealed_on=sealed_on,
        cured_on=None if sealed_on is None else _after_cure(sealed_on, piece.cure.for_),
    )


def sealant_of(piece: Piece, zone: Zone | None) -> Sealant:
    """What lies over the colour there: a piece with zones has no sealant as a whole."""
    return piece.sealant if zone is None else zone.sealant


def exposure_seconds(piece: Piece) -> float | None:
    """How long the work took: as written, else from its first and last moment.

    None where neither is told, or where it is counted in passes.
    """
    written = seconds_of(piece.exposure)
    if written is not None or piece.exposure.written:
        return written
    started, finished = _moment(piece.started), _moment(piece.finished)
    if started is None or finished is None:
        return None
    days = (finished.day - started.day).days
    if started.time and finished.time:
        span = dt.datetime.combine(finished.day, finished.time) - dt.datetime.combine(
            started.day, started.time
        )
        return span.total_seconds() if span.total_seconds() > 0 else None
    return float(days * _DAY_SECONDS) if days > 0 else None


def seconds_of(fact: Fact[Quantity]) -> float | None:
    """The seconds of a time, None where there is none or it is a count."""
    value = fact.value
    return value.number if value is not None and value.unit == "s" else None


def _moment(fact: Fact[Moment]) -> Moment | None:
    return fact.value


def _when_coloured(piece: Piece) -> Moment | None:
    return _moment(piece.finished) or _later(_moment(piece.started), piece.exposure)


def _later(moment: Moment | None, span: Fact[Quantity]) -> Moment | None:
    """``moment`` plus a time; the hour is kept only where it was written."""
    seconds = seconds_of(span)
    if moment is None or seconds is None:
        return moment
    try:
        after = dt.datetime.combine(moment.day, moment.time or dt.time()) + dt.timedelta(
            seconds=seconds
        )
    except OverflowError:  # a slip of the pen such as "70000 weeks"
        return moment
    return Moment(after.date(), after.time() if moment.time else None)


def _after_cure(sealed_on: dt.date, span: Fact[Quantity]) -> dt.date:
    """Begun days are waited for whole; less than a day is the same day."""
    days = (seconds_of(span) or 0.0) / _DAY_SECONDS
    try:
        return sealed_on + dt.timedelta(days=math.ceil(days) if days >= 1 else 0)
    except OverflowError:
        return sealed_on
