"""Whole pages. The golden files hold rendered fragments; `python -m tests.publish.test_pages`
writes them anew, to be read through before they are kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from builder.records.library import Library
from builder.records.piece import Entry, Piece
from builder.records.settings import Settings
from builder.relate.find import find_findings
from builder.relate.findings import Coverage, Findings, Strand
from tests.publish.fixture import TODAY, findings
from tests.publish.rendered import RenderedPage, render_pages
from tests.telling.told import tell_students

GOLDEN = Path(__file__).parent / "golden"
PIECE, SET = "pieces/SH-014.md", "sisters/SH-014-SH-012.md"
FRAGMENTS = (
    ("piece-hero.html", PIECE, '<section class="pat-hero', "</section>"),
    ("piece-done.html", PIECE, '<section class="pat-section" aria-label="What was', "</section>"),
    ("sister-figures.html", SET, '<dl class="pat-facts">', "</dl>"),
    ("sister-slider.html", SET, '<section class="pat-slide', "</section>"),
)
HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)>{{ 7*7 }}{% raw %}\"' onload='x"
VOID = {"img", "input", "br", "line", "circle", "polygon", "polyline", "rect", "path", "hr", "meta"}


def rendered(found: Findings) -> dict[str, RenderedPage]:
    return {page.path: page for page in render_pages(found)}


def cut(html: str, start: str, end: str) -> str:
    begin = html.index(start)
    return html[begin : html.index(end, begin) + len(end)] + "\n"


def sparse(*records: dict[str, Any]) -> Findings:
    """A library of pieces with no photograph, as the rest of the house finds it."""
    entries = tuple(
        Entry(piece=Piece.model_validate(record), file=f"samples/{record['piece']}/sample.yaml")
        for record in records
    )
    return find_findings(Library(Path(), Settings(), entries, ()), (), TODAY)


class Structure(HTMLParser):
    """Whether tags close in the order they were opened, and which there are."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)


def structure_of(html: str) -> Structure:
    parser = Structure()
    parser.feed(html)
    parser.close()
    return parser


OWN_SCRIPT = re.compile(r'<script src="patinarium/[a-z-]+\.js" defer></script>')


@pytest.fixture(scope="module")
def demo() -> dict[str, RenderedPage]:
    return rendered(findings())


@pytest.mark.parametrize(("name", "path", "start", "end"), FRAGMENTS)
def test_a_page_reads_as_the_golden_file_has_it(name: str, path: str, start: str, end: str) -> None:
    pages = rendered(findings(numbers=("SH-012", "SH-014")))
    assert cut(pages[path].html, start, end) == (GOLDEN / name).read_text(encoding="utf-8")


def test_every_page_is_whole(demo: dict[str, RenderedPage]) -> None:
    for page in demo.values():
        structure = structure_of(page.html)
        assert structure.faults == [], page.path
        assert structure.open == [], page.path


def test_pieces_and_sisters_stay_out_of_the_navigation(demo: dict[str, RenderedPage]) -> None:
    hidden = {path for path, page in demo.items() if not page.in_nav}
    below = {path for path in demo if path.startswith(("pieces/", "sisters/"))}
    assert hidden == {*below, "every-piece.md"}  # which the wall leads to


def test_every_page_has_one_first_heading_and_skips_no_level(
    demo: dict[str, RenderedPage],
) -> None:
    for page in demo.values():
        levels = [int(level) for level in re.findall(r"<h([1-6])[ >]", page.html)]
        assert levels.count(1) == 1, page.path
        assert levels[0] == 1, page.path
        assert all(b - a <= 1 for a, b in pairwise(levels)), page.path


def test_every_picture_is_described(demo: dict[str, RenderedPage]) -> None:
    for page in demo.values():
        for tag in re.findall(r"<img [^>]*>", page.html):
            words = re.search(r'alt="([^"]*)"', tag)
            assert words and len(words[1]) > 5, (page.path, tag)


def test_links_lead_to_pages_and_pictures_that_are_there(demo: dict[str, RenderedPage]) -> None:
    there = {page.address for page in demo.values()}
    for page in demo.values():
        for link in re.findall(r'(?:href|src)="([^"#]+)(?:#[^"]*)?"', page.html):
            up, _, target = link.rpartition("../")
            assert up.count("../") + bool(up or link.startswith("../")) == page.path.count("/")
            if not target.startswith(("pictures/", "data/", "patinarium/")):
                assert target in there, (page.path, link)


def test_no_figure_of_difference_stands_without_its_noise(demo: dict[str, RenderedPage]) -> None:
    for page in demo.values():
        for figure in re.findall(r'<span class="pat-figure">.*?</span></span>', page.html):
            assert re.search(r"u \d+\.\d", figure), (page.path, figure)


def test_the_same_findings_give_the_same_bytes() -> None:
    assert render_pages(findings(numbers=("SH-014", "SH-012"))) == render_pages(
        findings(numbers=("SH-012", "SH-014"))
    )


@pytest.mark.parametrize(
    "found",
    [
        pytest.param(sparse(), id="no pieces"),
        pytest.param(sparse({"piece": "X-1"}), id="nothing but a number"),
        pytest.param(
            sparse({"piece": "X-1", "metal": "unknown", "method": "not measured"}), id="absences"
        ),
        pytest.param(
            sparse({"piece": "X-1", "zones": [{"name": "left"}, {"name": "right"}]}), id="zones"
        ),
        pytest.param(
            sparse({"piece": "X-1", "attempt": 1}, {"piece": "X-1", "attempt": 2}), id="attempts"
        ),
    ],
)
def test_every_page_can_be_made_of_next_to_nothing(found: Findings) -> None:
    for page in render_pages(found):
        structure = structure_of(page.html)
        assert structure.faults == structure.open == []


def test_attempts_are_shown_one_after_another() -> None:
    pages = rendered(
        sparse(
            {"piece": "X-1", "attempt": 2, "metal": "brass"},
            {"piece": "X-1", "attempt": 1, "metal": "copper"},
        )
    )
    html = pages["pieces/X-1.md"].html
    assert html.index("Attempt 1") < html.index("Attempt 2")
    assert len([path for path in pages if path.startswith("pieces/")]) == 1


def test_text_from_a_sidecar_is_only_ever_text() -> None:
    fields = (
        "why form metal alloy temper surface method stop notes cause colour_words sheen made_by "
        "exposure temperature_c"
    )
    plain = dict.fromkeys(fields.split(), HOSTILE)
    record = {
        "piece": "X-1",
        **plain,
        "outcome": "failure",
        "ingredients": [{"name": HOSTILE, "amount": HOSTILE, "strength": HOSTILE}],
        "prep": [{"step": HOSTILE, "with": HOSTILE}],
        "sealant": {"kind": HOSTILE, "how": [HOSTILE], "notes": HOSTILE},
        "zones": [{"name": HOSTILE, "sealant": HOSTILE}],
        "checks": [{"state": HOSTILE, "seen": [{"what": HOSTILE, "where": HOSTILE}]}],
        "storage": HOSTILE,
    }
    pages = render_pages(sparse({"piece": "X-1"}))
    harmless = structure_of(OWN_SCRIPT.sub("", "".join(page.html for page in pages)))
    for page in render_pages(sparse(record)):
        structure = structure_of(OWN_SCRIPT.sub("", page.html))
        assert "script" not in structure.tags, page.path
        assert not structure.attributes & {"onerror", "onload"}, page.path
        assert structure.faults == structure.open == [], page.path
        assert "49" not in page.html.replace("&#39;", ""), page.path  # {{ 7*7 }} is not worked out
    assert "script" not in harmless.tags


def test_what_is_kept_private_is_on_no_page() -> None:
    secret = {"piece": "X-1", "metal": "copper", "method": "dip", "made_by": "QQ-MAKER",
              "ingredients": [{"name": "QQ-SECRET", "amount": "QQ-AMOUNT"}], "notes": "QQ-NOTE",
              "share": {"recipe": "private", "made_by": "private", "notes": "private"}}  # fmt: skip
    for page in render_pages(tell_students(sparse(secret))):
        assert "QQ-" not in page.html, page.path
        assert "QQ-" not in " ".join((page.title, page.search.title, *page.search.words))


def test_a_private_value_is_on_no_page_and_no_row_gives_it_away() -> None:
    told = {"metal": "copper", "method": "dip", "temperature_c": "45", "outcome": "success"}
    found = sparse(
        {**told, "piece": "P-0", "exposure": "900 s"},
        {**told, "piece": "P-1", "exposure": "300 s", "share": {"exposure": "private"}},
        {**told, "piece": "P-2", "exposure": "100 s", "outcome": "failure"},
    )
    pages = rendered(tell_students(found))
    assert not [path for path, page in pages.items() if "300 s" in page.html]
    row = pages["what-one-change-does.md"].html
    assert row.index("900 s") < row.index("<b>kept private") < row.index("100 s")
    assert "kept private on some" in row


def test_a_failure_tells_what_differs_from_the_nearest_piece_that_worked() -> None:
    told = {"piece": "P-0", "metal": "copper", "method": "dip", "temperature_c": "45"}
    pages = rendered(
        sparse(
            {**told, "outcome": "failure", "exposure": "9 s"},
            {**told, "piece": "P-1", "outcome": "success", "exposure": "90 s", "stop": "rinsed"},
            {**told, "piece": "P-2", "outcome": "success", "exposure": "60 s", "metal": "brass"},
        )
    )
    shelf = pages["did-not-work.md"].html
    assert 'Nearest piece that worked: <a href="pieces/P-1.html">P-1</a>' in shelf
    assert re.search(r"<dt>How long</dt><dd>90 s <span[^>]*>instead of 9 s", shelf)


def test_a_failure_tells_both_coverages_since_a_mean_colour_hides_what_stayed_bare() -> None:
    found = findings(numbers=("SH-002", "SH-008"))
    told = {"SH-008": 0.58, "SH-002": 1.0}
    strands = {id(strand): _cover(strand, told) for strand in found.strands}
    covered = replace(
        found,
        strands=tuple(strands.values()),
        pairs=tuple(replace(p, a=strands[id(p.a)], b=strands[id(p.b)]) for p in found.pairs),
        failures=tuple(
            replace(f, strand=strands[id(f.strand)], instead=strands[id(f.instead)])
            for f in found.failures
            if f.entry.piece.piece == "SH-008" and f.strand and f.instead
        ),
    )
    pages = rendered(covered)
    assert re.search(r"100\s%\s+<span[^>]*>instead of 58\s%", pages["did-not-work.md"].html)
    assert re.search(
        r"covered when fresh: 100\s%<span[^>]*>; here 58\s%", pages["pieces/SH-008.md"].html
    )


def _cover(strand: Strand, told: Mapping[str, float]) -> Strand:
    share = told.get(strand.entry.piece.piece)
    if share is None or strand.fresh is None:
        return strand
    return replace(strand, fresh=replace(strand.fresh, coverage=Coverage(share, "")))


def test_a_good_look_made_once_is_said_to_be_alone(demo: dict[str, RenderedPage]) -> None:
    alone = "A single piece: nobody knows yet whether it repeats."
    assert alone in demo["pieces/SH-012.md"].html
    assert alone not in demo["pieces/SH-002.md"].html
    assert 'href="pieces/SH-012.html"' in demo["repeats.md"].html.partition("Made once")[2]


def test_a_piece_leads_to_the_rows_it_stands_in(demo: dict[str, RenderedPage]) -> None:
    page = demo["pieces/SH-002.md"].html
    links = re.findall(r'href="../what-one-change-does.html#([\w-]+)"', page)
    assert len(links) == 4  # metal, preparation, time, sealant
    for anchor in links:
        assert f'id="{anchor}"' in demo["what-one-change-does.md"].html


def test_photographs_kept_private_are_on_no_page() -> None:
    found = findings(numbers=("SH-012", "SH-014"), SH_014={"share": {"photos": "private"}})
    own = {
        image.name
        for seen in found.observations
        if seen.file.piece == "SH-014"
        for image in (*seen.picture.webs, seen.picture.view, seen.picture.card_strip)
        if image
    }
    for page in render_pages(tell_students(found)):
        assert not any(name in page.html for name in own), page.path


def test_problems_of_a_piece_stand_on_its_page_alone(demo: dict[str, RenderedPage]) -> None:
    telling = [path for path, page in demo.items() if "a splash" in page.html]
    assert telling == ["pieces/SH-014.md"]


if __name__ == "__main__":
    made = rendered(findings(numbers=("SH-012", "SH-014")))
    GOLDEN.mkdir(exist_ok=True)
    for name, path, start, end in FRAGMENTS:
        (GOLDEN / name).write_text(cut(made[path].html, start, end), encoding="utf-8")
