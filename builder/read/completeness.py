"""What every piece should say, and the things it names that must be there."""

from __future__ import annotations

from collections.abc import Collection

from builder.errors import Problem
from builder.read.attempts import Attempt
from builder.read.wording import quote, suggest
from builder.records.facts import Fact, Known, Moment
from builder.records.piece import Entry, Piece
from builder.records.settings import Settings

_REQUIRED = ("metal", "method")


def check_completeness(
    attempt: Attempt, entry: Entry, planned: bool = False
) -> tuple[Problem, ...]:
    """Metal, method and one date, ``same_as`` followed. ``unknown`` counts as said. What is only
    ``planned`` has no date yet."""
    piece = entry.piece
    problems = [
        attempt.note(
            attempt.line,
            f"{piece.piece} has no {name}",
            f"expected “{name}: …”",
            f"add it; if it is lost, write “{name}: unknown”",
        )
        for name in _REQUIRED
        if getattr(piece, name).known is Known.MISSING
    ]
    if not planned and not any(_is_said(date) for date in _list_dates(piece)):
        problems.append(
            attempt.note(
                attempt.line,
                f"{piece.piece} has no date",
                "expected “started: …”, “finished: …”, or the date of a sealant or a check",
                "add one; if it is lost, write “started: unknown”",
            )
        )
    return tuple(problems)


def check_names(
    attempt: Attempt, entry: Entry, settings: Settings, numbers: Collection[str]
) -> tuple[Problem, ...]:
    """The bare sister and the set-up that a piece names itself."""
    piece, inherited = entry.piece, dict(entry.inherited)
    problems = []
    if piece.sister and piece.sister not in numbers:
        problems.append(
            attempt.note(
                attempt.find_line("sister"),
                f"sister: there is no piece {quote(piece.sister)}",
                "expected the number of a piece in this library",
                suggest(piece.sister, numbers, "correct it, or delete the line"),
            )
        )
    setups = [setup.name for setup in settings.setups]
    if piece.setup and piece.setup not in (*setups, "none") and "setup" not in inherited:
        problems.append(
            attempt.note(
                attempt.find_line("setup"),
                f"setup is {quote(piece.setup)}",
                "expected a set-up of mkdocs.yml, or none",
                suggest(piece.setup, setups, "write it down in mkdocs.yml, or correct it"),
            )
        )
    return tuple(problems)


def _list_dates(piece: Piece) -> tuple[Fact[Moment], ...]:
    zoned = (zone.sealant.date for zone in piece.zones)
    looks = (check.date for check in piece.checks)
    return (piece.started, piece.finished, piece.sealant.date, *zoned, *looks)


def _is_said(fact: Fact[Moment]) -> bool:
    return fact.known in {Known.GIVEN, Known.UNKNOWN, Known.UNREAD}
