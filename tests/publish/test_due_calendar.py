"""The calendar of rechecks, read again by others' reader and held against RFC 5545."""

from __future__ import annotations

import datetime as dt
from functools import cache

import icalendar
import pytest

from builder.publish.due_calendar import write_calendar
from builder.relate.findings import Findings
from tests.relate.demo import entry_of, find, find_written

TODAY = dt.date(2025, 11, 1)
BARE = {"started": "2024-01-31", "exposure": "1 min", "sealant": "none"}
HOSTILE = "Bell; tests, one\\two\nthree " + "grün " * 30


@cache
def demo(today: dt.date = TODAY) -> Findings:
    return find_written(today)


def events_of(content: bytes) -> dict[str, icalendar.Event]:
    """A calendar that takes the file in: events by their UID."""
    read = icalendar.Calendar.from_ical(content)
    return {str(event["UID"]): event for event in read.walk("VEVENT")}


def test_every_recheck_of_the_year_ahead_is_an_event_of_a_whole_day() -> None:
    content, count = write_calendar(demo(), "Sparrowhithe")
    events = events_of(content)
    assert len(events) == count
    days = sorted(
        (str(event["SUMMARY"]), event.decoded("DTSTART"))
        for event in events.values()
        if str(event["SUMMARY"]).startswith(("SH-007", "SH-014", "SH-024"))
    )
    # one year from 1 November 2025: SH-007's second year, 6 November 2026, lies beyond it
    assert days == [
        ("SH-007: recheck, 12 months", dt.date(2025, 11, 6)),
        ("SH-014: recheck, 2 years", dt.date(2026, 10, 16)),
        ("SH-024 centre: recheck, 12 months", dt.date(2025, 12, 3)),
        ("SH-024 left: recheck, 12 months", dt.date(2025, 12, 3)),
        ("SH-024 right: recheck, 12 months", dt.date(2025, 12, 3)),
    ]


def test_a_second_import_changes_events_and_doubles_none() -> None:
    calendar: dict[str, icalendar.Event] = {}
    calendar |= events_of(write_calendar(demo(), "Sparrowhithe")[0])
    first = dict(calendar)
    later = events_of(write_calendar(demo(dt.date(2025, 11, 4)), "Sparrowhithe")[0])
    calendar |= later
    assert set(first) <= set(calendar)
    summaries = [(str(e["SUMMARY"]), e.decoded("DTSTART")) for e in calendar.values()]
    assert len(summaries) == len(set(summaries))
    same = set(first) & set(later)
    assert same
    for uid in same:
        assert calendar[uid].decoded("DTSTAMP") > first[uid].decoded("DTSTAMP")


def test_a_day_put_right_moves_the_event() -> None:
    events = []
    for started in ("2024-01-31", "2024-02-05"):
        entry = entry_of(**{**BARE, "started": started})
        content, _ = write_calendar(find((entry,), [], dt.date(2024, 12, 1)), "Bells")
        events.append(events_of(content))
    assert set(events[0]) == set(events[1])
    moved = [{e.decoded("DTSTART") for e in one.values()} for one in events]
    assert moved[0].isdisjoint(moved[1])


def test_the_same_piece_in_another_library_is_another_event() -> None:
    one, other = (events_of(write_calendar(demo(), name)[0]) for name in ("Bells", "Numerals"))
    assert set(one).isdisjoint(other)


@pytest.mark.parametrize("library", ["Sparrowhithe", HOSTILE])
def test_lines_are_as_rfc_5545_has_them(library: str) -> None:
    content, _ = write_calendar(demo(), library)
    # 3.1: lines end with CRLF and have at most 75 octets; no bare CR or LF
    assert content.endswith(b"\r\n")
    lines = content.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    # 3.1: a line is folded by CRLF and one white space; each part is whole UTF-8 in what is written
    unfolded = content.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")
    assert unfolded[0] == "BEGIN:VCALENDAR" and unfolded[-2] == "END:VCALENDAR"
    # 3.6: PRODID and VERSION once each
    for name in ("PRODID:", "VERSION:2.0"):
        assert sum(line.startswith(name) for line in unfolded) == 1
    # 3.6.1: UID and DTSTAMP once in an event; a DATE as DTSTART alone is one whole day
    events = "\n".join(unfolded).split("BEGIN:VEVENT\n")[1:]
    for event in events:
        for name in ("UID:", "DTSTAMP:20251101T000000Z", "DTSTART;VALUE=DATE:"):
            assert sum(line.startswith(name) for line in event.split("\n")) == 1
        assert "DTEND" not in event and "DURATION" not in event
    # 3.8.4.7: a UID is unique
    uids = [line for line in unfolded if line.startswith("UID:")]
    assert len(uids) == len(set(uids)) == len(events)
    # 3.3.11: backslash, semicolon, comma and line break are escaped in text
    said = next(line for line in unfolded if line.startswith("DESCRIPTION:"))
    if library == HOSTILE:
        assert said.startswith("DESCRIPTION:Bell\\; tests\\, one\\\\two\\nthree ")


def test_what_is_escaped_is_read_back() -> None:
    content, _ = write_calendar(demo(), HOSTILE)
    event = next(iter(events_of(content).values()))
    assert str(event["DESCRIPTION"]).startswith(HOSTILE)


def test_what_is_overdue_stands_on_its_own_day_and_says_so() -> None:
    content, _ = write_calendar(demo(dt.date(2025, 6, 10)), "Sparrowhithe")
    event = next(
        e for e in events_of(content).values() if e["SUMMARY"] == "SH-020: recheck, 6 months"
    )
    assert event.decoded("DTSTART") == dt.date(2025, 5, 14)
    assert "overdue by 27 days" in str(event["DESCRIPTION"])


def test_the_same_day_gives_the_same_bytes() -> None:
    assert write_calendar(demo(), "Sparrowhithe") == write_calendar(
        find_written(TODAY), "Sparrowhithe"
    )
