from __future__ import annotations

import datetime as dt

import pytest

from builder.records.photo import State
from builder.relate.states import infer_states
from builder.relate.timeline import Timeline


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(f"2024-{text}")


LINE = Timeline(day("10-01"), day("10-08"), day("10-15"), day("10-16"), day("10-18"))
BARE_LINE = Timeline(day("10-01"), day("10-08"), day("10-15"), None, None)


def test_a_picture_of_the_one_day_of_work_is_not_guessed_to_be_the_finished_look() -> None:
    one_day = Timeline(day("10-01"), day("10-01"), day("10-01"), None, None)
    taken = [day("10-01"), day("10-02")]
    assert infer_states(taken, [None, None], one_day, sealed=False)[0] is None


@pytest.mark.parametrize(
    ("taken", "state"),
    [
        ("09-30", State.BARE),
        ("10-01", State.DURING),
        ("10-07", State.DURING),
        ("10-08", State.BEFORE_SEAL),
        ("10-15", State.BEFORE_SEAL),
        ("10-16", None),
        ("10-17", State.AFTER_SEAL),
        ("10-18", State.AFTER_SEAL),
        ("10-21", State.AFTER_SEAL),
        ("10-22", State.RECHECK),
    ],
)
def test_state_of_a_lone_photograph_of_a_sealed_piece(taken: str, state: State | None) -> None:
    assert infer_states([day(taken)], [None], LINE, sealed=True) == (state,)


@pytest.mark.parametrize(
    ("taken", "state"),
    [
        ("09-30", State.BARE),
        ("10-07", State.DURING),
        ("10-14", State.DURING),
        ("10-15", State.DRY),
        ("10-18", State.DRY),
        ("10-19", State.RECHECK),
    ],
)
def test_state_of_a_lone_photograph_of_a_bare_piece(taken: str, state: State) -> None:
    assert infer_states([day(taken)], [None], BARE_LINE, sealed=False) == (state,)


def test_only_the_first_look_after_cure_opens_the_watch() -> None:
    states = infer_states([day("10-18"), day("10-20")], [None, None], LINE, sealed=True)
    assert states == (State.AFTER_SEAL, State.RECHECK)


def test_word_of_sidecar_or_file_name_goes_before_the_date() -> None:
    assert infer_states([day("10-20")], [State.EVENT], LINE, sealed=True) == (State.EVENT,)


def test_without_days_nothing_is_inferred() -> None:
    nothing = Timeline(None, None, None, None, None)
    assert infer_states([day("10-20"), None], [None, None], nothing, sealed=False) == (None, None)
    unsealed = Timeline(day("10-01"), day("10-08"), day("10-15"), None, None)
    assert infer_states([day("10-20")], [None], unsealed, sealed=True) == (None,)
