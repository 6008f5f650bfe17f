"""What is told with a photograph as lines in its piece's sidecar."""

from __future__ import annotations

import datetime as dt

from builder.collect.sidecar_file import Edit
from builder.filing.planning import Filing, Told
from builder.read.sidecar_edits import Edited, append_check, append_photo
from builder.records.notes import CheckNote, PhotoLine, SeenNote
from builder.records.piece import Check


def list_edits(filing: Filing, told: Told, with_check: bool) -> Edit | None:
    """The additions to the sidecar as one edit; None where there is nothing to add.

    ``with_check``: what was seen is noted, as one look at the piece on that day.
    """
    sidecar, attempt = filing.entry.file, filing.file.attempt
    check = _check(filing, told) if with_check else None
    photo = _photo(filing, told) if told.noted else None
    if check is None and photo is None:
        return None

    def edit(data: bytes) -> Edited:
        lines: tuple[int, ...] = ()
        if photo:
            edited = append_photo(data, sidecar, attempt, photo)
            data, lines = edited.data, edited.lines
        if check:
            edited = append_check(data, sidecar, attempt, check)
            data, lines = edited.data, (*lines, *edited.lines)
        return Edited(data, lines)

    return edit


def _photo(filing: Filing, told: Told) -> PhotoLine | None:
    name = filing.path.rpartition("/")[2]
    if any(note.file == name for note in filing.entry.piece.photos):
        return None  # it has an entry, which is the maker's to change
    return PhotoLine(
        file=name,
        date=told.day.isoformat() if told.day else "",
        setup=told.setup,
        caption=told.caption,
    )


def _check(filing: Filing, told: Told) -> CheckNote | None:
    look = filing.look
    if told.seen is None or look is None or look.taken is None:
        return None
    if any(_says(check, look.taken, told.seen) for check in filing.entry.piece.checks):
        return None  # by a run that was stopped after it
    return CheckNote(
        date=look.taken.isoformat(), state=str(look.state.value) if look.state else "",
        seen=told.seen,
    )  # fmt: skip


def _says(check: Check, day: dt.date, seen: tuple[SeenNote, ...]) -> bool:
    """Whether a look that is noted already says the same of the same day."""
    said = [one.what.written.casefold() for one in check.seen]
    on = check.date.value
    return on is not None and on.day == day and said == [one.what.casefold() for one in seen]
