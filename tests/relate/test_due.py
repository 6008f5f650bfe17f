"""When a piece is to be looked at again, from its own dates."""

from __future__ import annotations

import datetime as dt
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.photo import State
from builder.records.settings import Settings
from builder.records.spans import Span
from builder.relate.due import (
    Due,
    draw_slots,
    find_due,
    is_heat_colour,
    list_coming,
    say_next,
    sort_by_day,
    watch_zones,
)
from builder.relate.findings import Findings
from tests.relate.demo import entry_of, find, find_written, photo

TODAY = dt.date(2025, 11, 1)
FAR = dt.date(2030, 1, 1)


@cache
def demo(today: dt.date = TODAY) -> Findings:
    return find_written(today)


def due_of(piece: str, today: dt.date = TODAY) -> Due:
    found = [due for due in find_due(demo(today)) if due.entry.piece.piece == piece]
    assert len(found) == 1, [due.name for due in found]
    return found[0]


#: The demo on 1 November 2025, reckoned by hand from samples/*/sample.yaml and the file names: the
#: day the watch opened, what is due next and when, and the last look.
DEMO = """
001  2024-09-18  2 years    2026-09-18  2025-09-20
002  2024-09-18  2 years    2026-09-18  2025-09-17
003  2024-09-18  2 years    2026-09-18  2025-09-16
004  2024-09-19  2 years    2026-09-19  2025-09-22
005  2024-09-19  2 years    2026-09-19  2025-09-22
006  2024-10-09  2 years    2026-10-09  2025-10-11
007  2024-11-06  12 months  2025-11-06  2025-05-05
008  2024-09-25  2 years    2026-09-25  2025-09-23
009  2024-09-25  2 years    2026-09-25  2025-09-24
010  2024-09-25  2 years    2026-09-25  2025-09-24
011  2024-10-11  2 years    2026-10-11  2025-10-11
012  2024-10-15  2 years    2026-10-15  2025-10-15
013  2024-10-22  2 years    2026-10-22  2025-10-20
014  2024-10-16  2 years    2026-10-16  2025-10-19
015  2024-10-16  2 years    2026-10-16  2025-10-18
016  2024-10-09  2 years    2026-10-09  2025-10-13
017  2024-10-29  2 years    2026-10-29  2025-10-27
018  2024-10-29  2 years    2026-10-29  2025-10-29
019  2024-11-13  12 months  2025-11-13  2025-05-12
020  2024-11-14  12 months  2025-11-14  2025-06-17
021  2024-11-13  12 months  2025-11-13  2025-05-15
022  2024-11-21  12 months  2025-11-21  2025-05-25
023  2024-12-03  12 months  2025-12-03  2025-06-02
024  2024-12-03  12 months  2025-12-03  2025-06-02
025  2024-12-03  12 months  2025-12-03  2025-06-04
026  2025-01-14  12 months  2026-01-14  2025-07-18
027  2025-01-14  12 months  2026-01-14  2025-07-15
028  2025-01-25  12 months  2026-01-25  2025-07-25
029  2025-01-23  12 months  2026-01-23  2025-07-25
030  2025-02-08  12 months  2026-02-08  2025-08-11
"""
ROWS = [line.split("  ") for line in DEMO.strip().splitlines()]

#: All that was missed or late in the demo by then, by hand from the same days.
FIRST_DAY_MISSED = (
    "001", "002", "003", "006", "007", "008", "009", "010", "011", "012", "013", "017", "018",
    "019", "021", "023", "025", "026", "027", "028", "029", "030",
)  # fmt: skip
ELSE_MISSED = {
    "005": ("3 months: missed",),  # 2024-12-19; looked at on 2024-10-20 and 2025-03-23
    "021": ("1 week: missed",),  # its picture carries the date of a dead battery
    "023": ("3 days: missed",),
    "024": ("3 days: missed",),
    "027": ("3 days: missed",),
}
LATE = {
    "004": ("1 week: taken at 9 days, 2 days late",),  # 2024-09-28
    # 2024-11-24, and 2025-06-17 for 2025-05-14
    "020": ("1 week: taken at 10 days, 3 days late", "6 months: taken at 7 months, 34 days late"),
    "025": ("1 week: taken at 9 days, 2 days late",),  # 2024-12-12
    "026": ("1 week: taken at 10 days, 3 days late",),  # 2025-01-24
    "030": ("1 month: taken at 32 days, 4 days late",),  # 2025-03-12 for 2025-03-08
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0])
def test_the_demo_is_due_as_reckoned_by_hand(row: list[str]) -> None:
    number, opened, words, day, last = (part.strip() for part in row if part.strip())
    due = due_of(f"SH-{number}")
    assert due.next is not None
    assert (str(due.opened), due.next.span.words, str(due.next.day)) == (opened, words, day)
    assert due.days_late == (TODAY - dt.date.fromisoformat(day)).days
    assert str(due.looked_on) == last
    assert due.last is not None and str(due.last.taken) == last


def test_every_piece_of_the_demo_is_reckoned() -> None:
    assert sorted(due.entry.piece.piece for due in find_due(demo())) == [
        f"SH-{row[0]}" for row in ROWS
    ]


@pytest.mark.parametrize("number", [row[0] for row in ROWS])
def test_what_the_demo_missed_and_was_late_with_is_as_reckoned_by_hand(number: str) -> None:
    past = due_of(f"SH-{number}").past
    first = ("1 day: missed",) if number in FIRST_DAY_MISSED else ()
    assert tuple(told.words for told in past if told.missed) == (
        *first,
        *ELSE_MISSED.get(number, ()),
    )
    assert tuple(told.words for told in past if told.late) == LATE.get(number, ())


def test_a_picture_of_another_piece_in_the_folder_is_no_look() -> None:
    """SH-012's picture of 2024-11-05 lies in the folder of SH-014."""
    assert dt.date(2024, 11, 5) not in {told.met_on for told in due_of("SH-014").past}


def test_the_zones_of_one_piece_due_one_day_are_one_line() -> None:
    due = due_of("SH-024")
    assert due.name == "SH-024 left, centre, right"
    assert [told.zones for told in due.past] == [("left", "centre", "right")] * len(due.past)


def test_before_the_late_look_it_was_overdue() -> None:
    due = due_of("SH-020", dt.date(2025, 6, 10))
    assert say_next(due) == "6 months, overdue by 27 days"  # 2025-05-14
    assert due.overdue


def test_the_longest_overdue_comes_first() -> None:
    order = sort_by_day(find_due(demo(dt.date(2025, 6, 10))))
    assert order[0].entry.piece.piece == "SH-020"
    assert len(order) == len(ROWS)


# ------------------------------------------------------------------------------- a piece of its own

OPENED = dt.date(2024, 1, 31)
BARE = {"started": "2024-01-31", "exposure": "1 min", "sealant": "none"}
Day = dt.date


def watched(looks: list[dt.date], today: dt.date, **fields: object) -> Due:
    entry = entry_of(**{**BARE, **fields})
    photos = [photo("SH-901", day, State.RECHECK) for day in looks]
    found = find_due(find((entry,), photos, today))
    assert len(found) == 1
    return found[0]


def test_months_are_the_calendars_and_short_ones_end_early() -> None:
    """From 31 January: the last day of February of a leap year, and 30 April."""
    slots = draw_slots(OPENED, Settings(), entry_of(**BARE))
    days = [next(slots).day for _ in range(8)]
    assert days == [
        Day(2024, 2, 1), Day(2024, 2, 7), Day(2024, 2, 29), Day(2024, 4, 30), Day(2024, 7, 31),
        Day(2025, 1, 31), Day(2026, 1, 31), Day(2027, 1, 31),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("method", "heat"),
    [
        ("heat colour, soft flame", True),
        ("oven heat-color", True),
        ("torch tint", True),
        ("torch-tinted", True),
        ("torch and stipple", False),
        ("heat, quench, acid swab", False),
        ("buried in damp sawdust", False),
    ],
)
def test_heat_colours_are_looked_at_on_the_third_day_too(method: str, heat: bool) -> None:
    entry = entry_of(**{**BARE, "method": method})
    assert is_heat_colour(entry) is heat
    slots = draw_slots(OPENED, Settings(), entry)
    assert ("3 days" in [next(slots).span.words for _ in range(4)]) is heat


def test_the_schedule_is_the_librarys_own_and_then_yearly() -> None:
    settings = Settings(rechecks=(Span(days=14), Span(months=18)))
    slots = draw_slots(OPENED, settings, entry_of(**BARE))
    words = [next(slots).span.words for _ in range(4)]
    assert words == ["2 weeks", "18 months", "2 years", "3 years"]


@pytest.mark.parametrize(
    ("today", "said"),
    [
        (Day(2024, 7, 30), "6 months, due on 2024-07-31"),
        (Day(2024, 7, 31), "6 months, due today"),
        (Day(2024, 8, 1), "6 months, overdue by 1 day"),
        (Day(2025, 1, 11), "6 months, overdue by 164 days"),
        # 184 days from 31 July to 31 January: a tenth is 19 days
        (Day(2025, 1, 12), "12 months, due on 2025-01-31"),
    ],
)
def test_a_recheck_is_asked_for_until_the_next_ones_time_begins(today: Day, said: str) -> None:
    assert say_next(watched([Day(2024, 4, 30)], today)) == said


def test_what_was_missed_is_never_asked_for_again() -> None:
    due = watched([], Day(2025, 1, 20))
    assert [told.words for told in due.past if told.missed][-1] == "6 months: missed"
    assert due.next is not None and due.next.span == Span(months=12)
    assert due.looked_on is None


def test_a_second_look_in_one_slots_time_meets_nothing_more() -> None:
    due = watched([Day(2024, 7, 31), Day(2024, 10, 1)], Day(2024, 11, 1))
    assert due.past[-1].met_on == Day(2024, 7, 31)
    assert due.next is not None and due.next.span == Span(months=12)


def test_a_note_is_a_look_without_a_photograph() -> None:
    due = watched([], Day(2024, 9, 1), checks=[{"date": "2024-08-20", "state": "recheck"}])
    assert due.past[-1].words == "6 months: noted at 6 months, 20 days late"
    assert due.last is None and due.looked_on == Day(2024, 8, 20)


@pytest.mark.parametrize("state", ["wet", "event", "before seal"])
def test_a_note_of_another_state_is_no_recheck(state: str) -> None:
    due = watched([], Day(2024, 9, 1), checks=[{"date": "2024-08-20", "state": state}])
    assert due.looked_on is None


@pytest.mark.parametrize(
    "told",
    [{"side": "back"}, {"exif": False, "written": None}],
    ids=["the back", "a day from the file alone"],
)
def test_a_photograph_that_does_not_show_the_front_on_a_known_day_is_no_look(
    told: dict[str, object],
) -> None:
    entry = entry_of(**BARE)
    day = Day(2024, 7, 31)
    seen = photo("SH-901", day, State.RECHECK, file_day=day, **told)  # type: ignore[arg-type]
    (due,) = find_due(find((entry,), [seen], Day(2024, 8, 5)))
    assert due.looked_on is None


def test_a_photograph_without_a_card_is_a_look() -> None:
    entry = entry_of(**BARE)
    look = photo("SH-901", Day(2024, 7, 31), State.RECHECK)
    (due,) = find_due(find((entry,), [look], Day(2024, 8, 5)))
    assert due.last is not None and due.last.excluded
    assert due.looked_on == Day(2024, 7, 31)


@pytest.mark.parametrize("outcome", ["lost", "stripped"])
def test_what_is_gone_is_not_due(outcome: str) -> None:
    due = watched([], FAR, outcome=outcome)
    assert (due.next, due.past, due.gone) == (None, (), outcome)


def test_an_earlier_attempt_on_the_same_blank_is_not_due() -> None:
    first = entry_of(**BARE)
    second = entry_of(**{**BARE, "started": "2024-06-01", "attempt": 2})
    one, two = find_due(find((first, second), [], Day(2024, 6, 2)))
    assert (one.next, one.gone) == (None, "coloured again")
    assert two.next is not None and two.name == "SH-901 attempt 2"


def test_a_sealed_piece_counts_from_the_end_of_its_cure() -> None:
    sealant = {"kind": "shellac", "date": "2024-02-10"}
    due = watched([], Day(2024, 2, 13), sealant=sealant, cure={"for": "48 h"})
    assert due.opened == Day(2024, 2, 12)
    assert say_next(due) == "1 day, due today"


def test_a_finish_that_seals_itself_counts_as_bare() -> None:
    due = watched([], Day(2024, 2, 3), sealant="finish is the sealant", dry={"for": "48 h"})
    assert due.opened == Day(2024, 2, 2)


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"sealant": "shellac"}, "the day of sealing is not written"),
        ({"started": "unknown", "finished": "unknown"}, "the day it was coloured is not written"),
    ],
)
def test_without_a_day_to_count_from_it_cannot_be_told(fields: dict[str, object], why: str) -> None:
    due = watched([Day(2024, 7, 31)], FAR, **fields)
    assert (due.next, due.untold) == (None, why)


def test_what_comes_within_a_year_is_listed() -> None:
    due = watched([Day(2024, 7, 31)], Day(2024, 8, 5))
    coming = list_coming(due, Settings(), Day(2026, 1, 31))
    assert [slot.span.words for slot in coming] == ["12 months", "2 years"]


# -------------------------------------------------------------------------------------- properties

days = st.dates(Day(1990, 1, 1), Day(2060, 1, 1))
spans = st.one_of(
    st.integers(1, 400).map(lambda n: Span(days=n)),
    st.integers(1, 60).map(lambda n: Span(months=n)),
)
schedules = st.builds(
    Settings,
    rechecks=st.lists(spans, min_size=1, max_size=8).map(tuple),
    rechecks_heat=st.lists(spans, max_size=3).map(tuple),
)
methods = st.sampled_from(["dip", "heat colour"])


@given(opened=days, settings=schedules, method=methods)
def test_slots_never_go_back_in_time_and_leave_no_gap(
    opened: Day, settings: Settings, method: str
) -> None:
    slots = draw_slots(opened, settings, entry_of(**{**BARE, "method": method}))
    before = None
    for slot in (next(slots) for _ in range(12)):
        assert opened < slot.opens <= slot.day < slot.closes
        assert slot.day < slot.in_time
        if before is not None:
            assert before.day < slot.opens == before.closes
        before = slot


looks_of_a_piece = st.lists(st.integers(-30, 1500), max_size=25)


def findings_on(today: int, looks: list[int], method: str) -> Findings:
    entry = entry_of(**{**BARE, "method": method})
    photos = [photo("SH-901", OPENED + dt.timedelta(n), State.RECHECK) for n in set(looks)]
    return find((entry,), photos, OPENED + dt.timedelta(today))


@given(looks=looks_of_a_piece, today=st.integers(0, 1600), method=methods)
def test_each_look_meets_at_most_one_slot_and_in_its_time(
    looks: list[int], today: int, method: str
) -> None:
    (due,) = watch_zones(findings_on(today, looks, method))
    met = [told for told in due.past if told.met_on is not None]
    assert len({told.met_on for told in met}) == len(met)
    for told in met:
        assert told.met_on is not None
        assert told.slot.opens <= told.met_on < told.slot.closes
        assert told.days_late == (told.met_on - told.slot.day).days
    for told in due.past:
        if told.missed:
            between = [OPENED + dt.timedelta(n) for n in looks]
            assert not [day for day in between if told.slot.opens <= day < told.slot.closes]
            assert told.slot.closes <= OPENED + dt.timedelta(today)


@given(looks=looks_of_a_piece, one=st.integers(0, 1600), other=st.integers(0, 1600))
def test_as_days_pass_the_next_one_never_comes_nearer_and_what_was_told_stays(
    looks: list[int], one: int, other: int
) -> None:
    early, late = sorted((one, other))
    (before,), (after,) = (watch_zones(findings_on(day, looks, "dip")) for day in (early, late))
    assert before.next is not None and after.next is not None
    assert before.next.day <= after.next.day
    assert after.past[: len(before.past)] == before.past
