"""What the pages of one site share: its findings, and what is laid out of them once, when the first
page asks for it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from jinja2 import Environment

from builder.errors import Problem
from builder.publish.chains import Chains
from builder.publish.due import DuePage, lay_out_due
from builder.publish.finder import Finder, lay_out_finder
from builder.publish.finishes import FinishPage, lay_out_finishes
from builder.publish.next_tests import find_open_tests
from builder.publish.pictures import Shown
from builder.publish.planned_page import PlannedPiece, list_planned_pieces
from builder.publish.series_page import SeriesRow, lay_out_rows, rows_by_piece
from builder.publish.sister_pages import SisterSet, list_sets, sets_by_piece
from builder.publish.subjects import Subject, list_subjects
from builder.publish.templates import open_templates
from builder.publish.wall import Tile, hang_wall
from builder.records.audiences import PAGES, Audience
from builder.relate.findings import Findings
from builder.relate.next_tests import NextTest


@dataclass
class Press:
    """All that the pages of one site are printed with. ``plates`` are comparison plates by the
    address of the page they belong to, ``maps`` change maps by the name of their strand, ``small``
    pictures cut for tiles by the address of what they were cut from."""

    findings: Findings
    plates: Mapping[str, Shown] = field(default_factory=dict)
    maps: Mapping[str, Shown] = field(default_factory=dict)
    small: Mapping[str, Shown] = field(default_factory=dict)

    def add_problems(self, problems: Iterable[Problem]) -> None:
        """Take in what is to be put right besides; nothing that is laid out here depends on it."""
        known = {*self.findings.problems, *problems}
        self.findings = replace(self.findings, problems=tuple(sorted(known)))

    @cached_property
    def templates(self) -> Environment:
        return open_templates()

    @cached_property
    def chains(self) -> Chains:
        return self.findings.library.ledger.chains()

    @cached_property
    def subjects(self) -> Mapping[str, Subject]:
        """Every piece, in the order of their numbers."""
        return {subject.number: subject for subject in list_subjects(self.findings)}

    @property
    def listed(self) -> tuple[Subject, ...]:
        return tuple(self.subjects.values())

    @cached_property
    def sets(self) -> tuple[SisterSet, ...]:
        return list_sets(self.findings, self.subjects)

    def sets_of(self, number: str) -> tuple[SisterSet, ...]:
        """Those that a piece is either side of."""
        return self._sets_of.get(number, ())

    @cached_property
    def _sets_of(self) -> Mapping[str, tuple[SisterSet, ...]]:
        return sets_by_piece(self.sets)

    @cached_property
    def tiles(self) -> tuple[Tile, ...]:
        """The wall."""
        return hang_wall([subject for subject in self.listed if not subject.planned])

    @cached_property
    def tests(self) -> tuple[NextTest, ...]:
        """What to try next, for those who are shown that."""
        return find_open_tests(self.findings) if self.findings.audience.sees("next-tests") else ()

    @cached_property
    def due(self) -> DuePage:
        return lay_out_due(self.findings, self.subjects)

    @cached_property
    def finder(self) -> Finder:
        made = {number: one for number, one in self.subjects.items() if not one.planned}
        return lay_out_finder(self.findings, made)

    @cached_property
    def finishes(self) -> Mapping[str, FinishPage]:
        """For those who are not shown the records, which have more on each piece's own page."""
        if self.findings.audience.sees("records"):
            return {}
        told = lay_out_finishes(self.findings, self.subjects.values(), self.sets)
        return {one.subject.number: one for one in told}

    @cached_property
    def plans(self) -> Mapping[str, PlannedPiece]:
        plans = list_planned_pieces(self.findings, self.subjects)
        return {plan.subject.number: plan for plan in plans}

    @cached_property
    def rows(self) -> tuple[SeriesRow, ...]:
        return lay_out_rows(self.findings, self.subjects)

    @cached_property
    def rows_of(self) -> Mapping[str, tuple[SeriesRow, ...]]:
        return rows_by_piece(self.rows)

    def render(self, template: str, path: str, **shown: Any) -> str:
        settings = self.findings.library.settings
        html = self.templates.get_template(f"pages/{template}.html").render(
            root="../" * path.count("/"),
            title=settings.title,
            settings=settings,
            threshold=settings.threshold,
            sees=self.findings.audience.sees,
            **shown,
        )
        return unlink(html, self.findings.audience)


def unlink(html: str, audience: Audience) -> str:
    """The page with links to pages that the audience is not shown as plain words."""
    gone = [page for page in PAGES if not audience.sees(page)]
    gone += [] if audience.sees("sealed-against-bare") else ['sisters/[^"]*']
    if not gone:
        return html
    link = rf'<a [^>]*href="(?:\.\./)*(?:{"|".join(gone)})\.html(?:#[^"]*)?"[^>]*>(.*?)</a>'
    return re.sub(link, r"\1", html, flags=re.DOTALL)
