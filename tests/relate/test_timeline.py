from __future__ import annotations

import datetime as dt

from builder.relate.timeline import draw_timeline, exposure_seconds
from tests.relate.demo import entry_of


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def test_days_follow_from_start_exposure_drying_sealing_and_cure() -> None:
    piece = entry_of(
        started="2024-10-01T19:30", exposure="7 d", dry={"for": "7 d"},
        sealant={"kind": "shellac", "date": "2024-10-16"}, cure={"for": "36 h"},
    ).piece  # fmt: skip
    line = draw_timeline(piece)
    assert line.started == day("2024-10-01")
    assert line.coloured_on == day("2024-10-08")
    assert line.dried_on == day("2024-10-15")
    assert line.sealed_on == day("2024-10-16")
    assert line.cured_on == day("2024-10-18")


def test_drying_past_midnight_ends_the_next_day() -> None:
    piece = entry_of(started="2024-10-01T19:30", exposure="45 s", dry={"for": "6 h"}).piece
    assert draw_timeline(piece).coloured_on == day("2024-10-01")
    assert draw_timeline(piece).dried_on == day("2024-10-02")


def test_day_it_was_lifted_out_goes_before_the_exposure() -> None:
    piece = entry_of(started="2024-10-01", exposure="7 d", finished="2024-10-09").piece
    assert draw_timeline(piece).coloured_on == day("2024-10-09")


def test_passes_take_no_day() -> None:
    piece = entry_of(started="2024-10-01", exposure="4 passes").piece
    assert draw_timeline(piece).coloured_on == day("2024-10-01")


def test_cure_of_less_than_a_day_ends_the_same_day() -> None:
    piece = entry_of(sealant={"kind": "shellac", "date": "2024-10-16"}, cure={"for": "2 h"}).piece
    assert draw_timeline(piece).cured_on == day("2024-10-16")


def test_zone_is_sealed_on_its_own_day() -> None:
    piece = entry_of(
        sealant={"kind": "shellac", "date": "2024-01-01"},
        zones=[
            {"name": "left", "sealant": {"kind": "beeswax", "date": "2024-10-16"}},
            {"name": "right", "sealant": "none"},
        ],
    ).piece
    assert draw_timeline(piece, piece.zones[0]).sealed_on == day("2024-10-16")
    assert draw_timeline(piece, piece.zones[1]).sealed_on is None


def test_silent_sidecar_gives_no_days() -> None:
    line = draw_timeline(entry_of().piece)
    assert (line.started, line.coloured_on, line.dried_on, line.sealed_on, line.cured_on) == (
        None, None, None, None, None,
    )  # fmt: skip


def test_time_beyond_the_calendar_is_no_crash() -> None:
    piece = entry_of(
        started="2024-10-01", exposure="9000000 d",
        sealant={"kind": "shellac", "date": "9999-12-31"}, cure={"for": "9000000 d"},
    ).piece  # fmt: skip
    draw_timeline(piece)


def test_exposure_may_be_told_by_its_two_ends() -> None:
    ends = entry_of(started="2024-10-01T19:30", finished="2024-10-01T20:15").piece
    days = entry_of(started="2024-10-01", finished="2024-10-08").piece
    lost = entry_of(started="2024-10-01", finished="2024-10-08", exposure="unknown").piece
    assert exposure_seconds(ends) == 45 * 60
    assert exposure_seconds(days) == 7 * 86_400
    assert exposure_seconds(lost) is None
