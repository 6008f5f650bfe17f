"""Times by the calendar."""

from __future__ import annotations

import datetime as dt

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from builder.records.spans import Span, read_span


@given(
    day=st.dates(dt.date(1900, 1, 1), dt.date(2199, 12, 31)),
    months=st.integers(0, 1200),
    days=st.integers(0, 800),
)
def test_the_calendar_is_dateutils(day: dt.date, months: int, days: int) -> None:
    """Source: python-dateutil, relativedelta."""
    expected = day + relativedelta(months=months, days=days)
    assert Span(months, days).after(day) == expected


@pytest.mark.parametrize(
    ("text", "span", "words"),
    [
        ("1 d", Span(days=1), "1 day"),
        ("3 days", Span(days=3), "3 days"),
        ("1 week", Span(days=7), "1 week"),
        ("14 d", Span(days=14), "2 weeks"),
        ("1 month", Span(months=1), "1 month"),
        ("12 months", Span(months=12), "12 months"),
        ("1 year", Span(months=12), "12 months"),
        ("18 mo", Span(months=18), "18 months"),
        ("2 years", Span(months=24), "2 years"),
    ],
)
def test_what_is_written_is_read_and_said(text: str, span: Span, words: str) -> None:
    read = read_span(text)
    assert read == span
    assert read is not None and read.words == words


@pytest.mark.parametrize(
    "text", ["", "7", "soon", "0 d", "-1 week", "½ d", "1.5 months", "about 1 week", "3 h", "101 y"]
)
def test_what_is_no_whole_time_is_refused(text: str) -> None:
    assert read_span(text) is None


def test_beyond_the_calendar_there_is_no_day() -> None:
    with pytest.raises(OverflowError):
        Span(months=1).after(dt.date(9999, 12, 1))
