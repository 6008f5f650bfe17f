"""Filing what was planned: the copy, verified; the sidecar's added lines; the ledger's entry."""

from __future__ import annotations

import contextlib
import datetime as dt
import errno
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from builder.collect.sidecar_file import Edit, add_to_sidecar
from builder.errors import FilingError, Problem, Weight
from builder.filing.annotating import list_edits
from builder.filing.facts import list_facts
from builder.filing.planning import Filing, Told
from builder.filing.recording import note_anew
from builder.ledger import Book
from builder.read.wording import show_name
from builder.records.ledger import Deed, Draft
from builder.records.library import Library
from builder.safe_files import ChangedCopyError, copy_whole


@dataclass(frozen=True)
class Carried:
    """``filed`` are done, ``problems`` say of the others why not."""

    filed: tuple[Filing, ...]
    problems: tuple[Problem, ...]


def carry(
    library: Library,
    filings: Sequence[Filing],
    told: Told,
    book: Book,
    now: Callable[[], dt.datetime],
    advance: Callable[[int, int], None],
) -> Carried:
    """File each picture, one after the other, so that a crash leaves whole ones and no halves.

    For the holder of the library's lock. Raises :class:`ArchiveError` where the ledger cannot be
    written: the picture copied last is then there without an entry, which a next run writes.
    """
    filed: list[Filing] = []
    problems: list[Problem] = []
    looked_at: set[tuple[str, dt.date | None]] = set()
    for number, filing in enumerate(filings, start=1):
        look = (filing.entry.file, filing.look.taken if filing.look else None)
        edit = list_edits(filing, told, look not in looked_at)
        looked_at.add(look)
        try:
            _file(library, filing, edit, book, now)
            filed.append(filing)
        except FilingError as error:
            problems += error.problems
        except _FullError as error:
            problems.append(_say_full(filing, error, len(filings) - number))
            break
        advance(number, len(filings))
    return Carried(tuple(filed), tuple(problems))


class _FullError(Exception):
    """The disk has no more room."""


def _file(
    library: Library, filing: Filing, edit: Edit | None, book: Book, now: Callable[[], dt.datetime]
) -> None:
    root, sidecar = library.root, filing.entry.file
    target = root / filing.path
    if edit:
        edit((root / sidecar).read_bytes())  # refuses before anything is copied
    try:
        copied = copy_whole(filing.source, target)
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise _FullError from error
        raise FilingError(_say_uncopied(filing, error)) from error
    if copied.sha256 != filing.picture.sha256:
        with contextlib.suppress(OSError):
            target.unlink()  # our own copy, of something else than was looked at
        raise FilingError(_say_uncopied(filing, ChangedCopyError(0, "it changed meanwhile")))
    drafts = [*note_anew(root, sidecar, book.standing, "edited by hand")]
    facts = {**list_facts(filing.picture, filing.look, target), "named": filing.source.name}
    drafts.append(Draft(Deed.FILED, filing.path, copied.sha256, copied.bytes, facts))
    book.append(drafts, now())
    if edit:
        note(library, filing, edit, book, now)


def note(
    library: Library, filing: Filing, edit: Edit, book: Book, now: Callable[[], dt.datetime]
) -> None:
    """Add what was told of a filed picture to its sidecar, and say so in the ledger. Raises
    ``FilingError``."""
    root, sidecar = library.root, filing.entry.file
    add_to_sidecar(root, sidecar, edit, library.settings.limits.sidecar_bytes)
    book.append(note_anew(root, sidecar, book.standing, f"{filing.path} noted"), now())


def _say_uncopied(filing: Filing, error: OSError) -> Problem:
    gone = isinstance(error, FileNotFoundError)
    found = "it is gone since it was looked at" if gone else "it could not be copied"
    return Problem(
        show_name(filing.source.as_posix()),
        0,
        found if gone else f"{found} ({error.strerror or error})",
        f"a copy of it as {filing.path}, read back and alike",
        "see that the card or stick is in and can be read, and add it again; nothing was changed",
        Weight.LEFT_OUT,
    )


def _say_full(filing: Filing, error: Exception, left: int) -> Problem:
    others = f" and {left} more" if left else ""
    return Problem(
        show_name(filing.source.as_posix()),
        0,
        f"there is no room left on the library's disk: it{others} were not filed",
        f"room for {filing.path} ({filing.picture.bytes / 1e6:.1f} MB)",
        "make room and run the same again: what is filed already is known and passed over",
        Weight.LEFT_OUT,
    )
