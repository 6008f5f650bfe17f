"""Dates that cannot be: after today, or before the piece began."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from builder.errors import Problem
from builder.read.attempts import Attempt
from builder.read.fields import walk_facts
from builder.read.lines import Location
from builder.read.photos import STATES_BEFORE
from builder.read.wording import name_place, quote
from builder.records.facts import Moment
from builder.records.piece import Entry

#: Dates that may well lie before the colouring began.
_EARLIER = frozenset({"started", "batch"})


def check_dates(attempt: Attempt, entry: Entry, today: dt.date) -> tuple[Problem, ...]:
    """Problems with the dates of one attempt, its ``same_as`` followed. A date taken from another
    piece is looked at only against what this piece says itself."""
    inherited = dict(entry.inherited)
    problems = []
    for place, moment in _walk_moments(entry):
        field = str(place[0])
        source = inherited.get(field, "")
        line = attempt.find_line(*place)
        taken = f", taken from {source}" if source else ""
        found = f"{name_place(place)} is {moment.day}{taken}"
        if moment.day > today and not source:
            problems.append(
                attempt.note(
                    line,
                    f"{found}, and today is {today}",
                    "expected a day that has been",
                    "correct the date",
                )
            )
        problems += _note_early(attempt, entry, place, moment, line, found)
    return tuple(problems)


def _note_early(
    attempt: Attempt, entry: Entry, place: Location, moment: Moment, line: int, found: str
) -> list[Problem]:
    started = entry.piece.started
    inherited = dict(entry.inherited)
    both_elsewhere = place[0] in inherited and "started" in inherited
    if started.value is None or moment.day >= started.value.day or both_elsewhere:
        return []
    if place[0] in _EARLIER or _may_be_early(entry, place):
        return []
    other = f", taken from {inherited['started']}" if "started" in inherited else ""
    began = f"before the piece began ({quote(started.written)}{other})"
    borrowed = other or place[0] in inherited
    remedy = "correct one of the two" + "; what differs belongs in change" * bool(borrowed)
    return [attempt.note(line, f"{found}, {began}", "expected a later day", remedy)]


def _may_be_early(entry: Entry, place: Location) -> bool:
    """Looks at the bare blank."""
    if place[0] not in {"checks", "photos"}:
        return False
    looks = entry.piece.checks if place[0] == "checks" else entry.piece.photos
    return looks[int(place[1])].state.value in STATES_BEFORE


def _walk_moments(entry: Entry) -> Iterator[tuple[Location, Moment]]:
    for place, fact, _ in walk_facts(entry.piece):
        if isinstance(fact.value, Moment):
            yield place, fact.value
