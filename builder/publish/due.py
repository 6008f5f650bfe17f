"""What the page of rechecks shows: overdue, due next, cannot be told, missed or late."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.publish.words import say_day, say_days
from builder.relate.due import Due, Past, find_due, sort_by_day
from builder.relate.findings import Findings

FIRST_SHOWN = 6  # on the home page


@dataclass(frozen=True)
class DueTile:
    """A piece, or zones of it, that is due: its last look, ``what`` is due and ``when``, and when
    it was last ``looked`` at ("" where that is kept back), in words."""

    subject: Subject
    name: str
    shown: Shown | None
    what: str
    when: str
    looked: str
    overdue: bool


@dataclass(frozen=True)
class PastRow:
    """What was missed or late of one piece, in words."""

    subject: Subject
    name: str
    told: tuple[str, ...]


@dataclass(frozen=True)
class DuePage:
    """All of it, reckoned for ``day``."""

    day: dt.date
    overdue: tuple[DueTile, ...]
    ahead: tuple[DueTile, ...]
    untold: tuple[tuple[Subject, str, str], ...]  # the piece, its name, what is not written
    past: tuple[PastRow, ...]
    missed: int
    late: int

    @property
    def first(self) -> tuple[DueTile, ...]:
        """The few that come first."""
        return (*self.overdue, *self.ahead)[:FIRST_SHOWN]


def lay_out_due(findings: Findings, subjects: Mapping[str, Subject]) -> DuePage:
    dues = [due for due in find_due(findings) if due.entry.piece.piece in subjects]
    tiles = [_tile(due, _subject(due, subjects)) for due in sort_by_day(dues)]
    open_about = [due for due in dues if "checks" not in _subject(due, subjects).withheld]
    past = [told for due in open_about for told in due.past]
    return DuePage(
        day=findings.today,
        overdue=tuple(tile for tile in tiles if tile.overdue),
        ahead=tuple(tile for tile in tiles if not tile.overdue),
        untold=tuple((_subject(due, subjects), due.name, due.untold) for due in dues if due.untold),
        past=tuple(
            PastRow(_subject(due, subjects), due.name, told)
            for due in open_about
            if (told := tuple(_say(due, one) for one in due.past if one.missed or one.late))
        ),
        missed=sum(one.missed for one in past),
        late=sum(one.late for one in past),
    )


def _subject(due: Due, subjects: Mapping[str, Subject]) -> Subject:
    return subjects[due.entry.piece.piece]


def _tile(due: Due, subject: Subject) -> DueTile:
    return DueTile(
        subject,
        due.name,
        subject.show(due.last),
        due.next.span.words if due.next else "",
        _when(due),
        "" if "checks" in subject.withheld else _looked(due),
        due.overdue,
    )


def _when(due: Due) -> str:
    day = say_day(due.next.day if due.next else None)
    if due.overdue:
        return f"{say_days(due.days_late)} overdue, since {day}"
    return f"due today, {day}" if due.days_late == 0 else f"due {day}"


def _looked(due: Due) -> str:
    return f"last look {say_day(due.looked_on)}" if due.looked_on else "not looked at yet"


def _say(due: Due, past: Past) -> str:
    return past.words if past.zones == due.zones else f"{', '.join(past.zones)}: {past.words}"
