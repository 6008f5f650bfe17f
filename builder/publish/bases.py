"""What the page of a piece, and that of a comparison, rests on: while none of it is another, nor is
the page.

Most of it are words that stand for all that was found of a piece (:attr:`builder.pipeline.Gathered.
marks`), since what an audience is told is a function of that and of what is kept back. It is
compared, not published.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cached_property

from builder.publish.pages import Page
from builder.publish.piece_page import problems_of
from builder.publish.press import Press
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.recent import Recent
from builder.relate.findings import Findings, Pair
from builder.relate.strands import name_strand
from builder.telling import list_hidden


@dataclass
class Bases:
    """``found`` is what was found, with a word for each piece in ``marks``; ``press`` what is told
    of it. ``makers`` names the code and the templates."""

    found: Findings
    marks: Mapping[str, str]
    press: Press
    makers: str
    recent: Recent

    @property
    def audience(self) -> str:
        return self.press.findings.audience.name

    def of(self, page: Page) -> tuple[object, ...] | None:
        """What a page rests on; None where that is not told, and it is always made."""
        if not self.press.findings.audience.sees("records"):
            return None  # a finish also rests on how far others vary
        if subject := self._subjects.get(page.path):
            return None if subject.planned else self._of_piece(subject)
        if one := self._sets.get(page.path):
            return self._of_set(one)
        return None

    @cached_property
    def general(self) -> str:
        """Another word whenever anything is that all pages rest on: what is kept back of any piece,
        which are told of, the settings, the day."""
        found, told = self.found, self.press.findings
        entries = found.library.entries
        hidden = list_hidden(entries, told.audience)
        about = (
            self.makers,
            found.library.settings,
            found.today,
            told.audience,
            [(one.piece.piece, one.piece.attempt, hidden[id(one)]) for one in entries],
            [(one.piece.piece, one.piece.attempt) for one in told.library.entries],
        )
        return self.recent.mark((("general", self.audience), ""), about)

    @cached_property
    def _subjects(self) -> dict[str, Subject]:
        return {f"pieces/{number}.md": one for number, one in self.press.subjects.items()}

    @cached_property
    def _sets(self) -> dict[str, SisterSet]:
        return {one.path: one for one in self.press.sets}

    def _of_piece(self, subject: Subject) -> tuple[object, ...]:
        number, press = subject.number, self.press
        pairs, sets = self.found.pairs_of(number), press.sets_of(number)
        beside = {one.entry.piece.piece for pair in pairs for one in (pair.a, pair.b)}
        beside |= {side.number for one in sets for side in (one.sealed, one.bare)}
        strands = (*subject.earlier, *subject.strands)
        return (
            self.general,
            subject.scale,
            self.marks.get(number),
            *map(self.marks.get, sorted(beside - {number})),
            *map(_brief, pairs),
            *(_name_both(one) for one in sets),
            *((row.anchor, row.title, row.values) for row in press.rows_of.get(number, ())),
            *(one.words for one in press.findings.singles_of(number)),
            *problems_of(subject, press.findings),
            *(press.chains.get(file) for file in _list_files(subject)),
            *(press.maps.get(name) for name in map(name_strand, strands)),
            number in press.finder.numbers,
        )

    def _of_set(self, one: SisterSet) -> tuple[object, ...]:
        return (
            self.general,
            one.sealed.scale,
            self.marks.get(one.sealed.number),
            self.marks.get(one.bare.number),
            _name_both(one),
            self.press.plates.get(one.href),
        )


def _name_both(one: SisterSet) -> tuple[object, ...]:
    """Which two are held against each other, and why: what they come to follows from the pieces."""
    found = one.sisters
    return one.href, one.sealed_name, one.bare_name, found.why, found.unrecorded, found.also_differs


def _brief(pair: Pair) -> tuple[object, ...]:
    """A pair without its two strands, of which the pieces know."""
    own = (getattr(pair, each.name) for each in fields(pair) if each.name not in ("a", "b"))
    return name_strand(pair.a), name_strand(pair.b), *own


def _list_files(subject: Subject) -> list[str]:
    """Sidecars and photographs of a piece, as they are told."""
    return [
        *(entry.file for entry in subject.entries),
        *(seen.file.path for seen in subject.observations),
    ]
