"""The pages of what one change does, of repeats, and the ways there from the first page."""

from __future__ import annotations

import re
from functools import cache

import pytest

from builder.publish.series_page import (
    NOTHING_ELSE,
    SeriesRow,
    lay_out_rows,
    lay_out_sections,
    part_alike,
)
from builder.publish.subjects import list_subjects
from builder.relate.effects import sets_to_claim
from builder.relate.findings import Findings
from tests.publish.rendered import render_pages
from tests.relate.demo import TODAY, find_demo, find_written
from tests.relate.test_next_tests import SQUARE, WAX, library
from tests.telling.told import tell_students


@cache
def demo() -> Findings:
    return find_demo()


def rows_of(found: Findings) -> tuple[SeriesRow, ...]:
    return lay_out_rows(found, {subject.number: subject for subject in list_subjects(found)})


def html_of(found: Findings, path: str) -> str:
    return next(page.html for page in render_pages(found) if page.path == path)


@pytest.mark.parametrize(
    ("values", "mark", "alike", "rests"),
    [
        (["a; b", "a; b; c"], "; ", "a; b", [NOTHING_ELSE, "c"]),
        (["salt 5 g, water", "salt 9 g, water"], ", ", "water", ["salt 5 g", "salt 9 g"]),
        (["a; b", "c"], "; ", "", ["a; b", "c"]),
        (["15 s", "45 s"], "", "", ["15 s", "45 s"]),
    ],
)
def test_what_changes_is_parted_from_what_does_not(
    values: list[str], mark: str, alike: str, rests: list[str]
) -> None:
    assert part_alike(values, mark) == (alike, rests)


def test_a_heading_says_what_changes_and_what_does_not_is_said_once() -> None:
    # Source: the invented demo; SH-008 was not degreased.
    (row,) = [row for row in rows_of(find_written(TODAY)) if row.factor == "prep"]
    assert row.values.replace("\u00a0", " ") == (
        "nothing else · degrease with pumice and detergent; water-break pass"
    )
    assert row.same.startswith("copper; dip; liver of sulphur")
    assert row.same.endswith("45 °C; 45 s; bare; pickle with citric acid; abrade 400 grit")
    assert {sample.value for sample in row.samples} == {
        "nothing else", "degrease with pumice and detergent; water-break pass",
    }  # fmt: skip


def test_what_is_kept_private_is_not_said_to_be_the_same() -> None:
    found = tell_students(
        library(*({**row, "share": {"exposure": "private"}} for row in SQUARE[1:]))
    )
    (row,) = rows_of(found)
    assert row.factor == "sealant"
    assert "45 s" not in row.same
    assert row.same.startswith("copper; dip; salt, water")


def test_the_page_says_how_many_sets_a_claim_takes() -> None:
    shifts = [shift for effect in demo().effects for shift in effect.shifts]
    words = " ".join(html_of(demo(), "what-one-change-does.md").split())
    assert f"takes {sets_to_claim(shifts)} sets at least that all go one way" in words


def test_which_way_sets_went_is_counted_of_what_is_claimed_alone() -> None:
    rows = rows_of(demo())
    lines = [line for section in lay_out_sections(demo(), rows) for line in section.effects]
    assert lines
    assert not any(line.claimed or line.counts for line in lines)
    words = html_of(demo(), "what-one-change-does.md")
    assert not re.search(r"\d of \d+ sets went", words)


def test_causes_stand_in_their_makers_words_and_private_ones_not_at_all() -> None:
    cause = "left in far too long, cold"
    failed = {"outcome": "failure", "cause": cause}
    assert "<h2>Left in far too long, cold</h2>" in html_of(library(failed), "did-not-work.md")
    kept = html_of(
        tell_students(library({**failed, "share": {"cause": "private"}})), "did-not-work.md"
    )
    assert cause not in kept.casefold()
    assert "<h2>Kept private</h2>" in kept


def test_repeats_stand_as_tiles() -> None:
    two = {"exposure": "15 s", "sealant": WAX}
    html = html_of(library(two, two), "repeats.md").partition("Made once")[0]
    assert html.count('class="pat-tile-link"') == 2


def test_every_overview_is_a_step_from_the_first_page() -> None:
    home = html_of(demo(), "index.md").partition('class="pat-ways"')[2].partition("</ul>")[0]
    assert {"repeats.html", "due.html", "next-tests.html"} <= set(
        re.findall(r'href="([^"]+)"', home)
    )
