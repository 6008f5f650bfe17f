"""Dates as written. Forms with figures alone: ISO 8601; the others: common practice, no source."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.records.moments import explain_date, read_moment

OCTOBER = dt.date(2024, 10, 1)


@pytest.mark.parametrize(
    "written",
    [
        "2024-10-01",
        "1 Oct 2024",
        "1 October 2024",
        "1st October 2024",
        "01 oct. 2024",
        "Oct 1, 2024",
        "October 1 2024",
        "1-Oct-2024",
    ],
)
def test_a_day_is_read_where_it_can_be_read_one_way_only(written):
    moment = read_moment(written)
    assert (moment.day, moment.time) == (OCTOBER, None)


@pytest.mark.parametrize(
    "written",
    [
        "2024-10-01T19:30",
        "2024-10-01 19:30",
        "2024-10-01T19:30:00",
        "2024-10-01T19:30:00+01:00",
        "1 Oct 2024, 19:30",
        "1 Oct 2024 at 19.30",
    ],
)
def test_the_time_of_day_is_kept(written):
    assert read_moment(written).time == dt.time(19, 30)


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("01/10/2024", "cannot be told"),
        ("1.10.24", "cannot be told"),
        ("2024-02-30", "no such day"),
        ("2024-10-01T25:00", "no such day or time"),
        ("2024-10", "the day is missing"),
        ("2024", "the day is missing"),
        ("last autumn", ""),
    ],
)
def test_a_date_that_is_none_is_explained(written, why):
    assert read_moment(written) is None
    assert why in explain_date(written)


@pytest.mark.parametrize("written", ["0001-01-01", "2924-10-01", "30 Feb 2024", "1 Sometober 2024"])
def test_a_slip_of_the_finger_is_no_date(written):
    assert read_moment(written) is None


@given(st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31)))
def test_every_day_comes_back_however_it_is_written(day):
    assert read_moment(day.isoformat()).day == day
    assert read_moment(f"{day.day} {day:%B} {day.year}").day == day


@given(
    st.text() | st.from_regex(r"[0-9]{1,4}[-/. ][0-9A-Za-z]{1,4}[-/. ][0-9]{1,4}", fullmatch=True)
)
def test_no_text_makes_a_date_raise(text):
    moment = read_moment(text)
    assert moment is None or 1900 <= moment.day.year <= 2199
    explain_date(text)
