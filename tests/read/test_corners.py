"""Places as fractions. The order of corners is this project's own rule."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.corners import read_box, read_quad


def test_two_corners_make_four():
    corners = read_quad(["0.1", "0.2", "0.6", "0.8"])
    assert corners == ((0.1, 0.2), (0.6, 0.2), (0.6, 0.8), (0.1, 0.8))


def test_four_corners_are_taken_as_they_are():
    corners = ((0.1, 0.2), (0.6, 0.25), (0.62, 0.8), (0.1, 0.8))
    assert read_quad([list(corner) for corner in corners]) == corners


def test_thirds_may_be_written_as_fractions():
    assert read_box(["0", "0", "1/3", "1"]) == (0, 0, pytest.approx(1 / 3), 1)


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("left half", "no list"),
        ([0.1, 0.2, 0.6], "3 parts"),
        ([0.6, 0.2, 0.1, 0.8], "larger"),
        ([0.1, 0.2, 1.6, 0.8], "from 0 to 1"),
        (["a", 0.2, 0.6, 0.8], "from 0 to 1"),
        ([[0.1, 0.2], [0.6, 0.2], [0.6, 0.8], [0.1]], "two numbers"),
        ([[0.1, 0.2], [0.1, 0.8], [0.6, 0.8], [0.6, 0.2]], "clockwise"),
        ([[0.1, 0.2], [0.6, 0.8], [0.6, 0.2], [0.1, 0.8]], "clockwise"),
        ([[0.1, 0.2], [0.1, 0.2], [0.6, 0.8], [0.1, 0.8]], "clockwise"),
        ({"left": 0}, "no list"),
    ],
)
def test_what_is_wrong_with_corners_is_said(written, why):
    assert why in read_quad(written)


@given(
    st.recursive(
        st.none() | st.floats() | st.text(max_size=5), lambda inner: st.lists(inner, max_size=5)
    )
)
def test_nothing_makes_corners_raise(written):
    quad = read_quad(written)
    assert isinstance(quad, str) or all(0 <= part <= 1 for corner in quad for part in corner)
