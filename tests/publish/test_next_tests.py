"""The page of next tests and its data file."""

from __future__ import annotations

import csv
import io
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from builder.publish.data import library_json, tables
from builder.publish.next_tests import NextPage, Proposal, find_open_tests, lay_out_next
from builder.publish.planned_page import list_planned_pieces
from builder.publish.site import lay_out_site
from builder.publish.subjects import list_subjects
from builder.relate import next_tests
from builder.relate.findings import Findings
from builder.relate.next_tests import NextTest
from tests.publish.fixture import findings as drawn
from tests.publish.rendered import render_pages
from tests.relate.demo import TODAY, entry_of, find, find_written
from tests.relate.test_next_tests import SQUARE, WAX, library
from tests.telling.told import tell_students


@cache
def demo() -> Findings:
    return find_written(TODAY)


def laid_out(found: Findings) -> NextPage:
    subjects = {subject.number: subject for subject in list_subjects(found)}
    return lay_out_next(found, subjects, find_open_tests(found))


def html_of(found: Findings) -> str:
    return next(page.html for page in render_pages(found) if page.path == "next-tests.md")


def say(proposal: Proposal) -> str:
    return "".join(words for words, _ in proposal.why)


def test_the_square_stands_row_by_row_with_the_corner_to_be_made_in_its_place() -> None:
    page = laid_out(demo())
    first = next(p for p in page.proposals if p.what.startswith("as SH-001, but sealed with micro"))
    assert [(corner.name, corner.words) for corner in first.corners] == [
        ("SH-001", "15 s, bare"),
        ("to be made", "15 s, microcrystalline wax"),
        ("SH-002", "45 s, bare"),
        ("SH-004", "45 s, microcrystalline wax"),
    ]
    assert first.corners[1].subject is None


def test_pieces_in_a_reason_lead_to_their_pages() -> None:
    proposal = laid_out(demo()).proposals[0]
    linked = {words: href for words, href in proposal.why if href}
    assert linked["SH-001"] == "pieces/SH-001.html"
    assert set(linked) == set(re.findall(r"SH-\d{3}", say(proposal)))


def test_the_cut_list_is_for_all_of_them() -> None:
    page = laid_out(demo())
    assert sum(count for count, _ in page.cut) == len(page.proposals) == 10
    plate = "copper (ETP copper, C101) plate blank, 100 × 150 mm, 0.9 mm thick"
    assert plate in [words for _, words in page.cut]


def test_pictures_and_the_outline_stand_at_one_scale() -> None:
    found = drawn(numbers=("SH-001", "SH-002", "SH-004"))
    html = html_of(found)
    scales = re.findall(r"--of-mat: ([\d.]+)%", html)
    assert len(scales) >= 4
    assert len(set(scales)) == 1
    assert html.count('class="pat-wanted"') == len(laid_out(found).proposals)


def test_the_page_defers_to_local_codes_and_licensed_practice() -> None:
    html = " ".join(html_of(demo()).split())
    assert "safety sheet for each product and licensed practice go first" in html


def test_a_library_without_enough_says_so() -> None:
    assert "No test to propose yet" in html_of(find((entry_of(method="dip"),), []))


@pytest.mark.parametrize(
    ("share", "secrets"),
    [
        ({"recipe": "private"}, ["15 s", "45 s", "salt"]),
        ({"ingredients": "private"}, ["15 s", "45 s", "salt"]),
        ({"exposure": "clients"}, ["15 s", "45 s"]),
        ({"sealant": "private"}, ["microcrystalline", "bare"]),
        ({"metal": "private"}, ["silver"]),
        ({"size_mm": "private"}, ["71 × 93"]),
        ({"form": "private"}, ["offcut"]),
        ({"starred": "private"}, ["starred and"]),
    ],
)
def test_what_is_kept_back_stands_on_no_page_and_in_no_file(
    share: dict[str, str], secrets: list[str]
) -> None:
    usual: dict[str, Any] = {
        "metal": "silver",
        "size_mm": "71 x 93",
        "starred": "yes",
        "form": "offcut",
    }
    found = tell_students(library(*({**row, **usual, "share": share} for row in SQUARE)))
    page = laid_out(found)
    assert bool(page.proposals) is (share.keys() <= {"form", "starred"})
    told = [
        *(f"{p.what} {say(p)} {p.cut} {[c.words for c in p.corners]}" for p in page.proposals),
        str(page.cut),
        tables(found)["next_tests.csv"],
        library_json(found).partition('"next_tests": [')[2].partition("]")[0],
    ]
    for words in told:
        assert not [secret for secret in secrets if secret in words], words


def test_the_file_has_the_pages_tests_in_its_order() -> None:
    rows = list(csv.DictReader(io.StringIO(tables(demo())["next_tests.csv"])))
    assert [row["what"] for row in rows] == [p.what for p in laid_out(demo()).proposals]
    assert [row["rank"] for row in rows] == [str(n) for n in range(1, 11)]
    (row,) = [row for row in rows if row["joins"] == "SH-001; SH-002; SH-004"]
    assert (row["squares"], row["score"], row["factor"]) == ("1", "3", "sealant")


def test_a_site_finds_its_tests_once(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    searched: list[int] = []
    search = next_tests.rank_tests

    def count(*told: Any) -> tuple[NextTest, ...]:
        searched.append(1)
        return search(*told)

    monkeypatch.setattr(next_tests, "rank_tests", count)
    site = lay_out_site(library(*SQUARE), tmp_path)
    assert all(page.render().html for page in site.pages)
    assert all("".join(parts) for _, parts in site.files())
    assert len(searched) == 1


PLANNED = {"piece": "P-9", "same_as": "P-1", "sealant": WAX, "why": "Completes a square."}


def with_a_plan(**more: Any) -> Findings:
    usual = {"ingredients": ["salt"], "exposure": "15 s", "outcome": "success"}
    base = entry_of(piece="P-1", started="2025-01-07", sealant="shellac", **usual)
    told = {**usual, "outcome": "", **PLANNED, **more}
    carried = tuple((field, "P-1") for field in ("metal", "method", "ingredients", "exposure"))
    return find((base, entry_of(**told).model_copy(update={"inherited": carried})), [])


def test_what_is_planned_is_listed_as_planned_with_a_plain_page_and_stands_on_no_wall() -> None:
    pages = {page.path: page for page in render_pages(with_a_plan())}
    assert "P-9" not in pages["wall.md"].html
    assert "1 of 1 pieces" in pages["wall.md"].html
    assert "P-9" not in pages["index.md"].html
    assert "Planned already: 1" in pages["next-tests.md"].html
    plain = " ".join(pages["pieces/P-9.md"].html.split())
    assert "Planned, and not begun yet." in plain
    assert '<a href="../pieces/P-1.html">P-1</a>' in plain
    assert "<dt>Sealant</dt><dd>microcrystalline wax, 2 coats</dd>" in plain
    assert "15 s" not in plain
    assert "Completes a square." in plain
    assert "planned" in pages["pieces/P-9.md"].search.words


def test_the_plan_of_a_piece_says_nothing_that_is_kept_private() -> None:
    share = {"sealant": "private", "why": "private", "metal": "private"}
    found = tell_students(with_a_plan(share=share))
    html = "".join(p.html for p in render_pages(found) if p.path == "pieces/P-9.md")
    assert "microcrystalline" not in html
    assert "Completes a square." not in html
    assert "kept private" in html


def test_what_a_plan_tells_and_its_base_does_not_is_a_change() -> None:
    found = with_a_plan(sealant="shellac", temperature_c=30)
    subjects = {subject.number: subject for subject in list_subjects(found)}
    (planned,) = list_planned_pieces(found, subjects)
    assert planned.changes == (("temperature", "30 °C"),)


def test_where_all_is_planned_the_page_says_so() -> None:
    html = html_of(with_a_plan(sealant="none"))
    assert "No other test to propose: all that could be asked for is planned already." in html


def test_a_planned_second_attempt_leaves_the_first_on_the_wall() -> None:
    usual = {"piece": "P-1", "ingredients": ["salt"], "exposure": "15 s"}
    made = entry_of(**usual, started="2025-01-07", sealant="none", outcome="success")
    again = entry_of(**usual, attempt=2, same_as="P-1", sealant=WAX)
    pages = {page.path: page.html for page in render_pages(find((made, again), []))}
    assert "1 of 1 pieces" in pages["wall.md"]
    assert "P-1 attempt 2" in pages["next-tests.md"]
    assert "not begun yet" not in pages["pieces/P-1.md"]
