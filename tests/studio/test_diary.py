"""The diary keeps to the table and to the calendar."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.studio import faults
from tests.studio.diary import date_piece, find_shot, list_all_shots, list_shots
from tests.studio.pieces import read_pieces
from tests.studio.truths import Phase

PIECES = read_pieces()
#: A recheck may fall this many days from its plan; the one late recheck is a planted fault.
SLACK_DAYS = 2


def test_there_are_thirty_pieces() -> None:
    assert len(PIECES) == 30


def test_every_photograph_has_a_name_of_its_own() -> None:
    names = [shot.name for shot in list_all_shots()]
    assert len(set(names)) == len(names)


def test_the_chalky_piece_is_rechecked_three_months_on_to_the_day() -> None:
    assert find_shot("SH-012_2025-01-14_recheck_front.jpg").days == 91


def test_its_waxed_sister_is_sealed_the_day_after_it_was_dry() -> None:
    assert date_piece(PIECES["SH-014"]).sealed == dt.date(2024, 10, 16)


@pytest.mark.parametrize("piece", PIECES.values(), ids=PIECES)
def test_looks_follow_the_work_in_order(piece) -> None:  # type: ignore[no-untyped-def]
    dates = date_piece(piece)
    assert dates.started.date() == piece.coloured_on
    assert dates.started <= dates.lifted < dates.fresh_look
    if dates.sealed and dates.cured_look:
        assert dates.fresh_look.date() <= dates.sealed < dates.cured_look.date()
    for shot in list_shots(piece):
        if shot.state == "bare":
            assert shot.taken < dates.started
        elif (piece.number, shot.planned) != faults.CLOCK_RESET:
            assert shot.taken > dates.started


def test_rechecks_fall_near_their_plan_but_for_the_late_one() -> None:
    late = [
        (shot.piece.number, shot.planned)
        for shot in list_all_shots()
        if shot.phase is Phase.WATCHED and abs(shot.days - shot.planned) > SLACK_DAYS
    ]
    assert late == [faults.LATE_RECHECK[:2]]


def test_the_clock_follows_summer_time() -> None:
    # United Kingdom, Summer Time Order 2002: last Sundays of March and October.
    offsets = {shot.taken.date(): shot.offset_minutes for shot in list_all_shots()}
    assert all(
        offset == (60 if dt.date(2024, 3, 31) <= day < dt.date(2024, 10, 27) else 0)
        for day, offset in offsets.items()
        if day < dt.date(2025, 3, 30)
    )


def test_a_name_that_is_no_shots_is_refused() -> None:
    with pytest.raises(KeyError):
        find_shot("SH-012_1999-01-01_recheck_front.jpg")
