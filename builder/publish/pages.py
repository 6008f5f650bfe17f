"""Every page of the site, rendered."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from jinja2 import Environment

from builder.publish.chains import Chains
from builder.publish.columns import list_data_files
from builder.publish.due import lay_out_due
from builder.publish.finder import SCRIPT, Finder, lay_out_finder
from builder.publish.finishes import FinishPage, lay_out_finishes
from builder.publish.method import list_cards, list_evidence, list_setups
from builder.publish.next_tests import NextPage, find_open_tests, lay_out_next
from builder.publish.overviews import (
    count_library,
    list_ageing,
    list_rechecks,
    list_shelves,
    list_unused,
)
from builder.publish.pictures import Shown
from builder.publish.piece_page import lay_out_piece
from builder.publish.planned_page import PlannedPiece, list_planned_pieces
from builder.publish.repeats_page import lay_out_groups, list_singles
from builder.publish.safety_page import lay_out_safety
from builder.publish.search import (
    SearchEntry,
    describe_page,
    describe_piece,
    describe_planned,
    describe_set,
)
from builder.publish.series_page import (
    SeriesRow,
    count_to_claim,
    lay_out_rows,
    lay_out_sections,
    rows_by_piece,
)
from builder.publish.sister_pages import SisterSet, list_sets
from builder.publish.subjects import Subject, list_subjects
from builder.publish.templates import open_templates
from builder.publish.wall import FIRST, hang_small, hang_wall, list_facets, sort_by_hue
from builder.publish.wall import SCRIPT as WALL_SCRIPT
from builder.records.audiences import PAGES, Audience
from builder.relate.colour_matches import AREA_COST
from builder.relate.findings import Findings, Nearer
from builder.relate.next_tests import NextTest

EVERY_PIECE = "every-piece.html"


@dataclass(frozen=True)
class RenderedPage:
    """One page: ``path`` as MkDocs knows it (``pieces/SH-014.md``), plain ``title``, ``html``, the
    entry search finds it by, and whether it stands in the navigation."""

    path: str
    title: str
    html: str
    search: SearchEntry
    in_nav: bool = True

    @property
    def address(self) -> str:
        return self.path.removesuffix(".md") + ".html"


@dataclass(frozen=True)
class _Press:
    """What every page is printed with; what several share is laid out when one asks for it."""

    findings: Findings
    templates: Environment
    chains: Chains

    @cached_property
    def subjects(self) -> Mapping[str, Subject]:
        return {subject.number: subject for subject in list_subjects(self.findings)}

    @cached_property
    def sets(self) -> tuple[SisterSet, ...]:
        return list_sets(self.findings, self.subjects)

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


def render_pages(
    findings: Findings,
    plates: Mapping[str, Shown] | None = None,
    maps: Mapping[str, Shown] | None = None,
    tests: Sequence[NextTest] | None = None,
    small: Mapping[str, Shown] | None = None,
    heed: Callable[[], None] = lambda: None,
) -> list[RenderedPage]:
    """All pages the audience is shown, those of the navigation first. ``plates`` are comparison
    plates by the address of the page they belong to, ``maps`` change maps by the name of their
    strand, ``small`` pictures cut for tiles by the address of what they were cut from; ``tests`` to
    do next are found, unless they are already. ``heed`` is called before each piece's page: what it
    raises ends it."""
    press = _Press(findings, open_templates(), findings.library.ledger.chains())
    if tests is None:
        tests = find_open_tests(findings)
    next_page = lay_out_next(findings, press.subjects, tests, tuple(press.plans.values()))
    shows_sets = findings.audience.sees("sealed-against-bare")
    return [
        *_overview_pages(press, next_page, small or {}),
        _list_pieces(press, tuple(press.subjects.values())),
        *_piece_pages(press, press.subjects, maps or {}, heed),
        *(
            _comparison(press, one, (plates or {}).get(one.href))
            for one in press.sets
            if shows_sets
        ),
    ]


def render_pieces(
    findings: Findings, numbers: Collection[str], maps: Mapping[str, Shown]
) -> list[RenderedPage]:
    """The pages of some pieces alone, as :func:`render_pages` has them."""
    press = _Press(findings, open_templates(), findings.library.ledger.chains())
    return _piece_pages(press, numbers, maps, lambda: None)


def _piece_pages(
    press: _Press, numbers: Collection[str], maps: Mapping[str, Shown], heed: Callable[[], None]
) -> list[RenderedPage]:
    pages = []
    for number in numbers:
        heed()
        subject = press.subjects[number]
        pages.append(_planned(press, subject) if subject.planned else _piece(press, subject, maps))
    return pages


def _overview_pages(
    press: _Press, next_page: NextPage, small: Mapping[str, Shown]
) -> list[RenderedPage]:
    findings, subjects, sets = press.findings, press.subjects, press.sets
    tiles = hang_wall([subject for subject in subjects.values() if not subject.planned])
    looks = [look for strand in findings.strands for look in strand.looks]
    numbers = count_library(findings)
    due = lay_out_due(findings, subjects)
    shown: tuple[tuple[str, str, str, dict[str, Any]], ...] = (
        (
            "index.md",
            "Home",
            "home",
            {
                "ribbon": [tile for tile in sort_by_hue(tiles) if tile.shown],
                "numbers": numbers,
                "featured": _feature(sets),
                "rechecks": list_rechecks(findings, subjects),
                "due": due,
            },
        ),
        (
            "wall.md",
            "The wall",
            "wall",
            {
                "tiles": hang_small(tiles[:FIRST], small),
                "count": len(tiles),
                "facets": list_facets(tiles, findings.audience),
                "script": WALL_SCRIPT,
                "every_piece": EVERY_PIECE,
            },
        ),
        ("finishes.md", "Finishes", "finishes", {"finishes": tuple(press.finishes.values())}),
        (
            "find-a-colour.md",
            "Find a colour",
            "find",
            {"finder": press.finder, "script": SCRIPT, "area_cost": AREA_COST},
        ),
        ("sealed-against-bare.md", "Sealed against bare", "sisters", {"sets": sets}),
        ("ageing.md", "Ageing", "ageing", {"groups": list_ageing(findings, subjects)}),
        (
            "what-one-change-does.md",
            "What one change does",
            "changes",
            {
                "sections": lay_out_sections(findings, press.rows),
                "enough": count_to_claim(findings),
            },
        ),
        (
            "repeats.md",
            "Repeats",
            "repeats",
            {
                "groups": lay_out_groups(findings, subjects),
                "singles": list_singles(findings, subjects),
            },
        ),
        ("due.md", "Due", "due", {"page": due}),
        (
            "did-not-work.md",
            "Did not work",
            "failures",
            {"shelves": list_shelves(findings, subjects)},
        ),
        ("next-tests.md", "Next tests", "next", {"page": next_page}),
        (
            "how-we-measure.md",
            "How we photograph and measure",
            "method",
            {
                "evidence": list_evidence(findings),
                "setups": list_setups(findings),
                "cards": list_cards(findings),
                "unused": list_unused(looks),
            },
        ),
        ("safety.md", "Safety", "safety", {"page": lay_out_safety()}),
        ("glossary.md", "Glossary", "glossary", {}),
        ("data.md", "Data", "data", {"files": list_data_files()}),
    )
    return [
        RenderedPage(
            path, title, press.render(template, path, **more), describe_page(title, template)
        )
        for path, title, template, more in shown
        if findings.audience.sees(path.removesuffix(".md"))
        and (template != "finishes" or not findings.audience.sees("records"))
    ]


def _list_pieces(press: _Press, subjects: Sequence[Subject]) -> RenderedPage:
    """All pieces as links, for readers without scripts and for what reads pages by itself."""
    path, title = EVERY_PIECE.replace(".html", ".md"), "Every piece"
    html = press.render("list", path, subjects=subjects)
    return RenderedPage(path, title, html, describe_page(title, "list"), in_nav=False)


def _feature(sets: tuple[SisterSet, ...]) -> SisterSet | None:
    """The set for the first page: one that can be called, and whose sealing cost most."""

    def shows_most(one: SisterSet) -> tuple[bool, float]:
        called = one.sisters.nearer in (Nearer.SEALED, Nearer.BARE)
        return called, one.sisters.seal_cost.de00 if one.sisters.seal_cost else 0.0

    whole = [one for one in sets if all(side.shown for side in one.sides)]
    return max(whole, key=shows_most, default=None)


def _piece(press: _Press, subject: Subject, maps: Mapping[str, Shown]) -> RenderedPage:
    path = f"pieces/{subject.number}.md"
    series = press.rows_of.get(subject.number, ())
    page = lay_out_piece(
        subject, press.findings, press.subjects, press.sets, maps, press.chains, series
    )
    finish = press.finishes.get(subject.number)
    return RenderedPage(
        path,
        f"{subject.number} {subject.title}",
        press.render(
            "finish" if finish else "piece",
            path,
            page=page,
            finish=finish,
            findable=subject.number in press.finder.numbers,
        ),
        describe_piece(page),
        in_nav=False,
    )


def _planned(press: _Press, subject: Subject) -> RenderedPage:
    plan = press.plans[subject.number]
    path = f"pieces/{subject.number}.md"
    page = lay_out_piece(subject, press.findings, press.subjects, ())
    return RenderedPage(
        path,
        f"{subject.number} {subject.title}, planned",
        press.render("planned", path, page=page, plan=plan),
        describe_planned(page),
        in_nav=False,
    )


def _comparison(press: _Press, one: SisterSet, plate: Shown | None) -> RenderedPage:
    html = press.render(
        "comparison",
        one.path,
        set=one,
        plate=plate,
        plate_name=one.href.rpartition("/")[2].removesuffix(".html") + ".jpg",
    )
    title = f"{one.sealed_name} sealed, {one.bare_name} bare"
    return RenderedPage(one.path, title, html, describe_set(one), in_nav=False)
