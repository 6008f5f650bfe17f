"""Every page of the site, rendered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment

from builder.publish.chains import Chains
from builder.publish.columns import list_data_files
from builder.publish.due import lay_out_due
from builder.publish.finder import SCRIPT, Finder, lay_out_finder
from builder.publish.method import list_cards, list_evidence, list_setups
from builder.publish.next_tests import lay_out_next
from builder.publish.overviews import (
    count_library,
    list_ageing,
    list_rechecks,
    list_shelves,
    list_unused,
)
from builder.publish.pictures import Shown
from builder.publish.piece_page import lay_out_piece
from builder.publish.repeats_page import lay_out_groups, list_singles
from builder.publish.safety_page import lay_out_safety
from builder.publish.search import SearchEntry, describe_page, describe_piece, describe_set
from builder.publish.series_page import (
    SeriesRow,
    lay_out_rows,
    lay_out_sections,
    rows_by_piece,
)
from builder.publish.sister_pages import SisterSet, list_sets
from builder.publish.subjects import Subject, list_subjects
from builder.publish.templates import open_templates
from builder.publish.wall import FIRST, hang_small, hang_wall, list_facets, sort_by_hue
from builder.publish.wall import SCRIPT as WALL_SCRIPT
from builder.relate.colour_matches import AREA_COST
from builder.relate.findings import Findings, Nearer

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
    """What every page is printed with."""

    findings: Findings
    templates: Environment
    chains: Chains

    def render(self, template: str, path: str, **shown: Any) -> str:
        settings = self.findings.library.settings
        return self.templates.get_template(f"pages/{template}.html").render(
            root="../" * path.count("/"),
            title=settings.title,
            settings=settings,
            threshold=settings.threshold,
            **shown,
        )


def render_pages(
    findings: Findings,
    plates: Mapping[str, Shown] | None = None,
    maps: Mapping[str, Shown] | None = None,
    small: Mapping[str, Shown] | None = None,
) -> list[RenderedPage]:
    """All pages, those of the navigation first. ``plates`` are comparison plates by the address
    of the page they belong to, ``maps`` change maps by the name of their strand, ``small`` pictures
    cut for tiles by the address of what they were cut from."""
    press = _Press(findings, open_templates(), findings.library.ledger.chains())
    subjects = list_subjects(findings)
    by_number = {subject.number: subject for subject in subjects}
    sets = list_sets(findings, by_number)
    finder = lay_out_finder(findings, by_number)
    rows = lay_out_rows(findings, by_number)
    of_piece = rows_by_piece(rows)
    return [
        *_overview_pages(press, by_number, sets, finder, rows, small or {}),
        _list_pieces(press, subjects),
        *(
            _piece(press, subject, by_number, sets, maps or {}, finder, of_piece)
            for subject in subjects
        ),
        *(_comparison(press, one, (plates or {}).get(one.href)) for one in sets),
    ]


def _overview_pages(
    press: _Press,
    subjects: Mapping[str, Subject],
    sets: tuple[SisterSet, ...],
    finder: Finder,
    rows: tuple[SeriesRow, ...],
    small: Mapping[str, Shown],
) -> list[RenderedPage]:
    findings = press.findings
    tiles = hang_wall(tuple(subjects.values()))
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
                "facets": list_facets(tiles),
                "script": WALL_SCRIPT,
                "every_piece": EVERY_PIECE,
            },
        ),
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
            {"sections": lay_out_sections(findings, rows)},
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
        ("next-tests.md", "Next tests", "next", {"page": lay_out_next(findings, subjects)}),
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
