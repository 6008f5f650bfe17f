"""The page of rechecks: what is due of the demo, reckoned for a day."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache

import pytest

from builder.publish.due import FIRST_SHOWN, DuePage, lay_out_due
from builder.publish.subjects import list_subjects
from builder.records.photo import State
from builder.relate.findings import Findings
from tests.publish.fixture import findings as drawn
from tests.publish.rendered import render_pages
from tests.relate.demo import entry_of, find, find_written, photo
from tests.telling.told import tell_students

EARLY = dt.date(2025, 6, 10)
BARE = {"started": "2024-01-31", "exposure": "1 min", "sealant": "none"}


@cache
def demo(day: dt.date = EARLY) -> Findings:
    return find_written(day)


def laid_out(found: Findings) -> DuePage:
    return lay_out_due(found, {subject.number: subject for subject in list_subjects(found)})


def html_of(found: Findings, path: str) -> str:
    html = next(page.html for page in render_pages(found) if page.path == path)
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_overdue_and_due_next_stand_apart_by_date() -> None:
    page = laid_out(demo())
    assert [tile.name for tile in page.overdue] == ["SH-020"]
    assert page.overdue[0].when == "27 days overdue, since 14 May 2025"
    assert [tile.name for tile in page.ahead[:2]] == ["SH-026", "SH-027"]
    assert len(page.overdue) + len(page.ahead) == 30


def test_the_page_says_the_day_it_was_reckoned_for() -> None:
    assert "Reckoned for 10 Jun 2025" in html_of(demo(), "due.md")


def test_what_was_missed_or_late_is_one_row_a_piece() -> None:
    page = laid_out(demo(dt.date(2025, 11, 1)))
    told = {row.name: row.told for row in page.past}
    assert told["SH-005"] == ("3 months: missed",)
    assert told["SH-020"][1] == "6 months: taken at 7 months, 34 days late"
    assert (page.missed, page.late) == (27, 6)  # by hand: tests/relate/test_due.py


def test_home_shows_the_first_few_and_leads_to_the_page() -> None:
    assert [tile.name for tile in laid_out(demo()).first][:2] == ["SH-020", "SH-026"]
    assert len(laid_out(demo()).first) == FIRST_SHOWN
    home = next(page.html for page in render_pages(demo()) if page.path == "index.md")
    assert 'href="due.html"' in home
    assert "27 days overdue" in home


def test_the_picture_beside_it_is_the_last_look() -> None:
    page = laid_out(drawn(numbers=("SH-001",)))
    (tile,) = (*page.overdue, *page.ahead)
    assert tile.shown is not None
    assert tile.looked.removeprefix("last look ") in tile.shown.alt


def test_a_piece_without_a_day_to_count_from_is_named_with_what_is_missing() -> None:
    found = find((entry_of(**{**BARE, "sealant": "shellac"}),), [], EARLY)
    assert "SH-901 : the day of sealing is not written" in html_of(found, "due.md")


def test_checks_that_are_kept_back_are_not_published() -> None:
    look = photo("SH-901", dt.date(2024, 7, 31), State.RECHECK)
    for share, shown in (({}, True), ({"checks": "private"}, False)):
        found = tell_students(find((entry_of(**BARE, share=share),), [look], EARLY))
        html = html_of(found, "due.md")
        assert ("last look 31 Jul 2024" in html) is shown
        assert "not looked at yet" not in html
        assert ("1 month: missed" in html) is shown


@pytest.mark.parametrize("outcome", ["lost", "stripped"])
def test_what_is_gone_is_not_on_the_page(outcome: str) -> None:
    found = find((entry_of(**BARE, outcome=outcome),), [], EARLY)
    page = laid_out(found)
    assert (page.overdue, page.ahead, page.past) == ((), (), ())
    assert "Nothing is due." in html_of(found, "due.md")
