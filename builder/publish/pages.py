"""Every page of the site: what is on it is laid out and rendered when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from typing import Any

from builder.publish.columns import list_data_files
from builder.publish.finder import SCRIPT
from builder.publish.method import list_cards, list_evidence, list_setups
from builder.publish.next_tests import lay_out_next
from builder.publish.overviews import (
    count_library,
    list_ageing,
    list_rechecks,
    list_shelves,
    list_unused,
)
from builder.publish.piece_page import lay_out_piece
from builder.publish.press import Press
from builder.publish.repeats_page import lay_out_groups, list_singles
from builder.publish.safety_page import lay_out_safety
from builder.publish.search import (
    SearchEntry,
    describe_page,
    describe_piece,
    describe_planned,
    describe_set,
)
from builder.publish.series_page import count_to_claim, lay_out_sections
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.publish.wall import FIRST, hang_small, list_facets, sort_by_hue
from builder.publish.wall import SCRIPT as WALL_SCRIPT
from builder.relate.colour_matches import AREA_COST
from builder.relate.findings import Nearer

EVERY_PIECE = "every-piece.html"

#: What a template is shown, by name, besides what every page is.
_Shown = dict[str, Any]


@dataclass(frozen=True)
class Rendered:
    """What is on a page, as HTML, and the entry search finds it by."""

    html: str
    search: SearchEntry


@dataclass(frozen=True)
class Page:
    """One page: ``path`` as MkDocs knows it (``pieces/SH-014.md``), plain ``title``, whether it
    stands in the navigation. ``render`` makes what is on it, each time it is asked: a site of
    thousands is never held whole."""

    path: str
    title: str
    render: Callable[[], Rendered]
    in_nav: bool = True

    @property
    def address(self) -> str:
        return self.path.removesuffix(".md") + ".html"


def plan_pages(press: Press) -> list[Page]:
    """All pages the audience is shown, those of the navigation first."""
    shows_sets = press.findings.audience.sees("sealed-against-bare")
    return [
        *_overview_pages(press),
        _list_pieces(press),
        *plan_pieces(press, press.subjects),
        *(_comparison(press, one) for one in press.sets if shows_sets),
    ]


def plan_pieces(press: Press, numbers: Collection[str]) -> list[Page]:
    """The pages of some pieces alone, as :func:`plan_pages` has them."""
    subjects = (press.subjects[number] for number in numbers)
    return [_planned(press, one) if one.planned else _piece(press, one) for one in subjects]


def _overview_pages(press: Press) -> list[Page]:
    sees = press.findings.audience.sees
    shown: tuple[tuple[str, str, str, Callable[[Press], _Shown]], ...] = (
        ("index.md", "Home", "home", _show_home),
        ("wall.md", "The wall", "wall", _show_wall),
        (
            "finishes.md",
            "Finishes",
            "finishes",
            lambda press: {"finishes": tuple(press.finishes.values())},
        ),
        (
            "find-a-colour.md",
            "Find a colour",
            "find",
            lambda press: {"finder": press.finder, "script": SCRIPT, "area_cost": AREA_COST},
        ),
        (
            "sealed-against-bare.md",
            "Sealed against bare",
            "sisters",
            lambda press: {"sets": press.sets},
        ),
        (
            "ageing.md",
            "Ageing",
            "ageing",
            lambda press: {"groups": list_ageing(press.findings, press.subjects)},
        ),
        (
            "what-one-change-does.md",
            "What one change does",
            "changes",
            lambda press: {
                "sections": lay_out_sections(press.findings, press.rows),
                "enough": count_to_claim(press.findings),
            },
        ),
        (
            "repeats.md",
            "Repeats",
            "repeats",
            lambda press: {
                "groups": lay_out_groups(press.findings, press.subjects),
                "singles": list_singles(press.findings, press.subjects),
            },
        ),
        (
            "due.md",
            "Due",
            "due",
            lambda press: {"page": press.due},
        ),
        (
            "did-not-work.md",
            "Did not work",
            "failures",
            lambda press: {"shelves": list_shelves(press.findings, press.subjects)},
        ),
        ("next-tests.md", "Next tests", "next", _show_next),
        ("how-we-measure.md", "How we photograph and measure", "method", _show_method),
        ("safety.md", "Safety", "safety", lambda _: {"page": lay_out_safety()}),
        ("glossary.md", "Glossary", "glossary", lambda _: {}),
        ("data.md", "Data", "data", lambda _: {"files": list_data_files()}),
    )
    return [
        _overview(press, *one)
        for one in shown
        if sees(one[0].removesuffix(".md")) and (one[2] != "finishes" or not sees("records"))
    ]


def _overview(
    press: Press, path: str, title: str, template: str, show: Callable[[Press], _Shown]
) -> Page:
    def render() -> Rendered:
        html = press.render(template, path, **show(press))
        return Rendered(html, describe_page(title, template))

    return Page(path, title, render)


def _show_home(press: Press) -> _Shown:
    return {
        "ribbon": [tile for tile in sort_by_hue(press.tiles) if tile.shown],
        "numbers": count_library(press.findings),
        "featured": _feature(press.sets),
        "rechecks": list_rechecks(press.findings, press.subjects),
        "due": press.due,
    }


def _show_wall(press: Press) -> _Shown:
    return {
        "tiles": hang_small(press.tiles[:FIRST], press.small),
        "count": len(press.tiles),
        "facets": list_facets(press.tiles, press.findings.audience),
        "script": WALL_SCRIPT,
        "every_piece": EVERY_PIECE,
    }


def _show_next(press: Press) -> _Shown:
    plans = tuple(press.plans.values())
    return {"page": lay_out_next(press.findings, press.subjects, press.tests, plans)}


def _show_method(press: Press) -> _Shown:
    findings = press.findings
    return {
        "evidence": list_evidence(findings),
        "setups": list_setups(findings),
        "cards": list_cards(findings),
        "unused": list_unused([look for strand in findings.strands for look in strand.looks]),
    }


def _list_pieces(press: Press) -> Page:
    """All pieces as links, for readers without scripts and for what reads pages by itself."""
    path, title = EVERY_PIECE.replace(".html", ".md"), "Every piece"
    page = _overview(press, path, title, "list", lambda press: {"subjects": press.listed})
    return replace(page, in_nav=False)


def _feature(sets: tuple[SisterSet, ...]) -> SisterSet | None:
    """The set for the first page: one that can be called, and whose sealing cost most."""

    def shows_most(one: SisterSet) -> tuple[bool, float]:
        called = one.sisters.nearer in (Nearer.SEALED, Nearer.BARE)
        return called, one.sisters.seal_cost.de00 if one.sisters.seal_cost else 0.0

    whole = [one for one in sets if all(side.shown for side in one.sides)]
    return max(whole, key=shows_most, default=None)


def _piece(press: Press, subject: Subject) -> Page:
    path, number = f"pieces/{subject.number}.md", subject.number

    def render() -> Rendered:
        series = press.rows_of.get(number, ())
        page = lay_out_piece(
            subject,
            press.findings,
            press.subjects,
            press.sets_of(number),
            press.maps,
            press.chains,
            series,
        )
        finish = press.finishes.get(number)
        template = "finish" if finish else "piece"
        findable = number in press.finder.numbers
        html = press.render(template, path, page=page, finish=finish, findable=findable)
        return Rendered(html, describe_piece(page))

    return Page(path, f"{number} {subject.title}", render, in_nav=False)


def _planned(press: Press, subject: Subject) -> Page:
    path = f"pieces/{subject.number}.md"

    def render() -> Rendered:
        page = lay_out_piece(subject, press.findings, press.subjects, ())
        html = press.render("planned", path, page=page, plan=press.plans[subject.number])
        return Rendered(html, describe_planned(page))

    return Page(path, f"{subject.number} {subject.title}, planned", render, in_nav=False)


def _comparison(press: Press, one: SisterSet) -> Page:
    plate_name = one.href.rpartition("/")[2].removesuffix(".html") + ".jpg"

    def render() -> Rendered:
        plate = press.plates.get(one.href)
        html = press.render("comparison", one.path, set=one, plate=plate, plate_name=plate_name)
        return Rendered(html, describe_set(one))

    title = f"{one.sealed_name} sealed, {one.bare_name} bare"
    return Page(one.path, title, render, in_nav=False)
