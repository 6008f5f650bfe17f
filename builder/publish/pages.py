"""Every page of the site, rendered."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
from builder.publish.wall import hang_wall, list_facets, sort_by_hue
from builder.records.audiences import PAGES, Audience
from builder.relate.colour_matches import AREA_COST
from builder.relate.findings import Findings, Nearer
from builder.relate.next_tests import NextTest


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
    """What every page is printed with."""

    findings: Findings
    templates: Environment
    chains: Chains

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
) -> list[RenderedPage]:
    """All pages the audience is shown, those of the navigation first. ``plates`` are comparison
    plates by the address of the page they belong to, ``maps`` change maps by the name of their
    strand; ``tests`` to do next are found, unless they are already."""
    press = _Press(findings, open_templates(), findings.library.ledger.chains())
    subjects = list_subjects(findings)
    by_number = {subject.number: subject for subject in subjects}
    sets = list_sets(findings, by_number)
    finder = lay_out_finder(findings, {s.number: s for s in subjects if not s.planned})
    plans = list_planned_pieces(findings, by_number)
    rows = lay_out_rows(findings, by_number)
    if tests is None:
        tests = find_open_tests(findings)
    of_piece = rows_by_piece(rows)
    next_page = lay_out_next(findings, by_number, tests, plans)
    # Those who are shown the records have more on each piece's own page.
    told = () if findings.audience.sees("records") else lay_out_finishes(findings, subjects, sets)
    finishes = {one.subject.number: one for one in told}
    of_number = {plan.subject.number: plan for plan in plans}
    return [
        *_overview_pages(press, by_number, sets, finder, rows, next_page, told),
        *(
            _planned(press, of_number[subject.number], by_number)
            if subject.planned
            else _finish(press, finishes[subject.number], by_number, sets, finder)
            if subject.number in finishes
            else _piece(press, subject, by_number, sets, maps or {}, finder, of_piece)
            for subject in subjects
        ),
        *(
            _comparison(press, one, (plates or {}).get(one.href))
            for one in sets
            if findings.audience.sees("sealed-against-bare")
        ),
    ]


def _overview_pages(
    press: _Press,
    subjects: Mapping[str, Subject],
    sets: tuple[SisterSet, ...],
    finder: Finder,
    rows: tuple[SeriesRow, ...],
    next_page: NextPage,
    finishes: tuple[FinishPage, ...],
) -> list[RenderedPage]:
    findings = press.findings
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
            {"tiles": tiles, "facets": list_facets(tiles, findings.audience)},
        ),
        ("finishes.md", "Finishes", "finishes", {"finishes": finishes}),
        (
            "find-a-colour.md",
            "Find a colour",
            "find",
            {"finder": finder, "script": SCRIPT, "area_cost": AREA_COST},
        ),
        ("sealed-against-bare.md", "Sealed against bare", "sisters", {"sets": sets}),
        ("ageing.md", "Ageing", "ageing", {"groups": list_ageing(findings, subjects)}),
        (
            "what-one-change-does.md",
            "What one change does",
            "changes",
            {"sections": lay_out_sections(findings, rows), "enough": count_to_claim(findings)},
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


def _feature(sets: tuple[SisterSet, ...]) -> SisterSet | None:
    """The set for the first page: one that can be called, and whose sealing cost most."""

    def shows_most(one: SisterSet) -> tuple[bool, float]:
        called = one.sisters.nearer in (Nearer.SEALED, Nearer.BARE)
        return called, one.sisters.seal_cost.de00 if one.sisters.seal_cost else 0.0

    whole = [one for one in sets if all(side.shown for side in one.sides)]
    return max(whole, key=shows_most, default=None)


def _piece(
    press: _Press,
    subject: Subject,
    subjects: Mapping[str, Subject],
    sets: tuple[SisterSet, ...],
    maps: Mapping[str, Shown],
    finder: Finder,
    rows: Mapping[str, tuple[SeriesRow, ...]],
) -> RenderedPage:
    path = f"pieces/{subject.number}.md"
    series = rows.get(subject.number, ())
    page = lay_out_piece(subject, press.findings, subjects, sets, maps, press.chains, series)
    return RenderedPage(
        path,
        f"{subject.number} {subject.title}",
        press.render("piece", path, page=page, findable=subject.number in finder.numbers),
        describe_piece(page),
        in_nav=False,
    )


def _finish(
    press: _Press,
    finish: FinishPage,
    subjects: Mapping[str, Subject],
    sets: tuple[SisterSet, ...],
    finder: Finder,
) -> RenderedPage:
    subject = finish.subject
    path = f"pieces/{subject.number}.md"
    page = lay_out_piece(subject, press.findings, subjects, sets)
    findable = subject.number in finder.numbers
    return RenderedPage(
        path,
        f"{subject.number} {subject.title}",
        press.render("finish", path, page=page, finish=finish, findable=findable),
        describe_piece(page),
        in_nav=False,
    )


def _planned(press: _Press, plan: PlannedPiece, subjects: Mapping[str, Subject]) -> RenderedPage:
    subject = plan.subject
    path = f"pieces/{subject.number}.md"
    page = lay_out_piece(subject, press.findings, subjects, ())
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
