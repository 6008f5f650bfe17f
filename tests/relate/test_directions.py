"""Directions in words. Hues: CIE L*a*b*, where a* runs green to red, b* blue to yellow."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.measure.difference import delta_e_2000
from builder.records.photo import Lab
from builder.relate.directions import name_direction, name_hue, name_turn

U = 2.0
labs = st.tuples(st.floats(0, 100), st.floats(-80, 80), st.floats(-80, 80))


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ((50, 0, 0), (40, 0, 0), ("darker",)),
        ((50, 0, 0), (60, 0, 0), ("lighter",)),
        ((50, 20, 20), (50, 8, 8), ("greyer",)),
        ((50, 10, 10), (50, 25, 25), ("stronger in colour",)),
        ((60, -24, 0), (60, -20, 12), ("yellower",)),
        ((60, -20, 12), (60, -22, -10), ("greener",)),
        ((70, 3, 40), (70, 15, 36), ("redder",)),
        ((60, -25, -8), (60, -14, -22), ("bluer",)),
        ((42, 30, -2), (42, 28, 20), ("browner",)),
        ((57, -25, -2), (60, -15, 1), ("lighter", "greyer")),
        ((71, -1, 4), (70, 0, 16), ("yellower",)),
    ],
)
def test_way_in_words(before: Lab, after: Lab, words: tuple[str, ...]) -> None:
    assert name_direction(before, after, U) == words


@given(labs, labs, st.floats(0, 20))
def test_nothing_is_said_within_noise(before: Lab, after: Lab, u: float) -> None:
    if float(delta_e_2000(before, after)) <= u:
        assert name_direction(before, after, u) == ()


@given(labs, labs, st.floats(0, 20))
def test_darker_and_lighter_follow_the_lightness(before: Lab, after: Lab, u: float) -> None:
    words = name_direction(before, after, u)
    assert "darker" not in words or after[0] < before[0]
    assert "lighter" not in words or after[0] > before[0]


@given(st.floats(0, 100), st.floats(0, 5.6), st.floats(0, 5.6), st.floats(-5, 5), st.floats(-5, 5))
def test_grey_has_no_hue(L: float, a: float, b: float, a2: float, b2: float) -> None:
    words = set(name_direction((L, a, b), (L, a2, b2), 0.1))
    assert words <= {"stronger in colour", "greyer"}


def test_great_turn_is_told_by_both_names() -> None:
    assert name_turn((43, 11, 15), (63, -24, -3)) == "brown to green"
    assert name_direction((42, 30, -8), (39, 14, 15), U) == ("purple to brown",)


def test_small_turn_and_grey_have_no_names() -> None:
    assert name_turn((43, 11, 15), (40, 9, 14)) == ""
    assert name_turn((43, 1, 2), (63, -24, -3)) == ""


@pytest.mark.parametrize(
    ("lab", "name"),
    [
        ((33, 10, 12), "brown"), ((80, 20, 30), "orange"), ((75, 2, 60), "yellow"),
        ((63, -24, -3), "green"), ((37, 4, -26), "blue"), ((42, 30, -8), "purple"),
        ((45, 45, 12), "red"), ((50, 2, 2), "grey"),
    ],
)  # fmt: skip
def test_hues_have_plain_names(lab: Lab, name: str) -> None:
    assert name_hue(lab) == name
