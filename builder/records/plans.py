"""What is written down and not made yet."""

from __future__ import annotations

from collections.abc import Iterable

from builder.records.facts import Known
from builder.records.photo import PhotoFile, State
from builder.records.piece import Entry

#: A blank may be photographed before its day.
_BEFORE_ITS_DAY = (State.BARE, State.CLEANED, None)


def list_planned(
    entries: Iterable[Entry], photos: Iterable[PhotoFile]
) -> frozenset[tuple[str, int]]:
    """The pieces, by number and attempt, that are written down as another but for a change, and
    neither begun nor come out. One of which a photograph shows more than the blank is made, and
    its day is missing."""
    shown = {(p.piece, p.attempt) for p in photos if p.state not in _BEFORE_ITS_DAY}
    return frozenset(
        key
        for entry in entries
        if (key := (entry.piece.piece, entry.piece.attempt)) not in shown and _only_told(entry)
    )


def _only_told(entry: Entry) -> bool:
    piece = entry.piece
    dates = (
        piece.started,
        piece.finished,
        piece.sealant.date,
        *(zone.sealant.date for zone in piece.zones),
    )
    begun = any(date.known is not Known.MISSING for date in dates)
    return bool(piece.same_as) and not begun and not piece.outcome.written and not piece.checks
