"""Pieces that did not work, by cause: teaching stock."""

from __future__ import annotations

from collections.abc import Sequence

from builder.records.facts import Known
from builder.records.piece import Entry
from builder.relate.findings import Failure
from builder.relate.synonyms import name_plainly

#: Outcomes that put a piece on the shelf. Terms: common practice, no source.
FAILED = ("failure", "part success", "stripped", "lost")

CAUSE_NOT_RECORDED = "cause not recorded"
CAUSE_UNKNOWN = "cause unknown"


def list_failures(entries: Sequence[Entry]) -> tuple[Failure, ...]:
    """Every piece that failed, wholly or in part, by cause and then in the library's order; pieces
    whose cause nobody knows or wrote come last."""
    failures = [
        Failure(entry, name_cause(entry), _say_failure(entry))
        for entry in entries
        if name_outcome(entry) in FAILED
    ]
    last = (CAUSE_UNKNOWN, CAUSE_NOT_RECORDED)
    return tuple(
        sorted(failures, key=lambda f: (last.index(f.cause) + 1 if f.cause in last else 0, f.cause))
    )


def name_outcome(entry: Entry) -> str:
    """The outcome in one spelling; "" where it is not recorded."""
    outcome = entry.piece.outcome
    return name_plainly(outcome.value or outcome.written) if outcome.given else ""


def name_cause(entry: Entry) -> str:
    """The cause in one spelling, or which kind of absence it is."""
    cause = entry.piece.cause
    if cause.known is Known.UNKNOWN:
        return CAUSE_UNKNOWN
    words = name_plainly(cause.value or cause.written) if cause.written else ""
    if cause.known in (Known.MISSING, Known.NOT_MEASURED) or words in ("", "none"):
        return CAUSE_NOT_RECORDED
    return words


def _say_failure(entry: Entry) -> str:
    """The outcome, and what the maker noted or saw; notes that are not for everyone stay out."""
    piece = entry.piece
    seen = dict.fromkeys(
        condition.what.written
        for check in piece.checks
        for condition in check.seen
        if condition.what.given
    )
    noted = piece.notes.written if piece.notes.given and "notes" not in piece.share else ""
    told = noted or ", ".join(seen)
    return f"{name_outcome(entry)}: {told}" if told else name_outcome(entry)
