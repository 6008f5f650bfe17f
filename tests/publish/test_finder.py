from __future__ import annotations

import json
from typing import Any

import pytest

from builder.publish.finder import SCRIPT, finder_script, lay_out_finder
from builder.publish.site import lay_out_site
from builder.publish.subjects import list_subjects
from builder.relate.findings import Findings
from tests.publish.fixture import findings
from tests.publish.rendered import render_pages
from tests.telling.told import tell_students

BYTES_A_ZONE = 500  # 3,000 pieces are then 1.5 MB at most: more keeps a phone waiting
NUMBERS = ("SH-009", "SH-012", "SH-014", "SH-024")


def given(found: Findings) -> dict[str, Any]:
    subjects = {subject.number: subject for subject in list_subjects(found)}
    text = finder_script(found, subjects)
    assert text.startswith("window.patFinder=")
    told: dict[str, Any] = json.loads(text.removeprefix("window.patFinder=").rstrip(";\n"))
    return told


def test_every_zone_is_a_row_with_what_it_is_filtered_by() -> None:
    told = given(findings(numbers=NUMBERS))
    rows = {row[0]: row for row in told["rows"]}
    assert list(rows) == [
        "SH-009",
        "SH-012",
        "SH-014",
        "SH-024 left",
        "SH-024 centre",
        "SH-024 right",
    ]
    assert told["metals"] == ["brass", "copper"]
    assert told["metals"][rows["SH-009"][2]] == "brass"
    assert (rows["SH-012"][4], rows["SH-014"][4]) == ("bare", "sealed")
    assert [rows[f"SH-024 {zone}"][4] for zone in ("left", "centre", "right")] == [
        "sealed", "bare", "sealed",
    ]  # fmt: skip


def test_a_look_has_its_picture_its_noise_and_its_patches() -> None:
    found = findings(numbers=("SH-014",))
    (row,) = given(found)["rows"]
    *picture, crop, u, patches = row[6]
    reading = found.strands[0].latest.reading
    assert picture[0].startswith("pictures/")
    assert crop == 0
    assert u == reading.u  # rounded once, where it is shown
    assert len(patches) == 4 * len(reading.colours)
    largest = reading.colours[0]
    assert patches[:4] == pytest.approx((*largest.lab, largest.share), abs=0.005)


def test_the_zone_alone_is_shown_of_a_piece_of_several() -> None:
    told = given(findings(numbers=("SH-024",)))
    assert all(len(row[6][4]) == 4 for row in told["rows"])


def test_what_is_given_to_the_page_is_small() -> None:
    found = findings()
    subjects = {subject.number: subject for subject in list_subjects(found)}
    whole = finder_script(found, subjects)
    bare = whole[: whole.index('"rows"')]
    assert (len(whole) - len(bare)) / len(found.strands) < BYTES_A_ZONE


def test_private_photographs_and_sealants_stay_private() -> None:
    told = given(
        tell_students(
            findings(
                numbers=("SH-012", "SH-014"),
                SH_012={"share": {"photos": "private"}},
                SH_014={"share": {"sealant": "private"}},
            )
        )
    )
    (row,) = told["rows"]
    assert row[0] == "SH-014"
    assert row[4] == ""


def test_hostile_words_cannot_leave_the_script() -> None:
    found = findings(numbers=("SH-014",), SH_014={"metal": "</script><b>copper"})
    subjects = {subject.number: subject for subject in list_subjects(found)}
    assert "</" not in finder_script(found, subjects)


def test_a_piece_that_can_be_found_leads_to_its_like_and_no_other() -> None:
    hidden = {"SH_012": {"share": {"photos": "private"}}}
    found = tell_students(findings(numbers=("SH-012", "SH-014"), **hidden))
    pages = {page.path: page.html for page in render_pages(found)}
    assert "find-a-colour.html#like=SH-014" in pages["pieces/SH-014.md"]
    assert "#like=" not in pages["pieces/SH-012.md"]
    assert "1 piece has no reading with a card" in pages["find-a-colour.md"]


def test_a_library_without_a_reading_says_so_and_asks_for_no_colour() -> None:
    hidden = {"SH_014": {"share": {"photos": "private"}}}
    found = tell_students(findings(numbers=("SH-014",), **hidden))
    pages = {page.path: page.html for page in render_pages(found)}
    assert "No piece has a reading yet" in pages["find-a-colour.md"]
    assert "<form" not in pages["find-a-colour.md"]
    subjects = {subject.number: subject for subject in list_subjects(found)}
    assert lay_out_finder(found, subjects).numbers == frozenset()


def test_the_script_is_written_beside_the_pages(tmp_path: Any) -> None:
    site = lay_out_site(findings(tmp_path, numbers=("SH-014",)), tmp_path)
    assert SCRIPT in dict(site.files())
