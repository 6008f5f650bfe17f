from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st

from builder.measure.difference import delta_e_2000
from builder.records.photo import ColourShare, Lab
from builder.relate.following import (
    LOST_BEYOND,
    SHARE_WEIGHS,
    choose_colour,
    find_again,
    follow_colour,
)

GREEN: Lab = (63.0, -24.0, -3.0)
BROWN: Lab = (40.0, 13.0, 16.0)


def seen(*colours: tuple[Lab, float]) -> tuple[ColourShare, ...]:
    return tuple(sorted((ColourShare(*c) for c in colours), key=lambda c: -c.share))


def test_largest_colour_is_followed() -> None:
    assert choose_colour(seen((GREEN, 0.76), (BROWN, 0.24)), None) == 0


def test_written_share_names_a_smaller_colour() -> None:
    colours = seen((GREEN, 0.35), (BROWN, 0.65))
    assert colours[choose_colour(colours, 0.35)].lab == GREEN


def test_followed_colour_stays_itself_when_its_share_shrinks() -> None:
    looks = [seen((GREEN, 0.9), (BROWN, 0.1)), seen(((65, -20, 2), 0.4), (BROWN, 0.6))]
    found = follow_colour(looks, 0, None)
    assert [c.lab for c in found if c] == [GREEN, (65, -20, 2)]


def test_colour_that_moves_past_its_neighbour_is_not_taken_for_it() -> None:
    # The blue moves on by 8, nearer to where the pale blue stays than to where it was.
    blue, pale, moved = (38.0, 6.0, -19.0), (40.0, 3.0, -13.0), (39.5, 9.0, -10.0)
    before, after = seen((blue, 0.85), (pale, 0.15)), seen((moved, 0.7), (pale, 0.3))
    again = find_again(before, 0, after)
    assert again is not None
    assert after[again].lab == moved


def test_new_colour_leaves_the_followed_one_alone() -> None:
    rust = (45.0, 25.0, 33.0)
    before, after = seen((BROWN, 0.9), (GREEN, 0.1)), seen((BROWN, 0.4), (rust, 0.5), (GREEN, 0.1))
    again = find_again(before, 0, after)
    assert again is not None
    assert after[again].lab == BROWN


def test_small_colour_that_goes_missing_is_not_replaced_by_the_large_one() -> None:
    before, after = seen((BROWN, 0.9), (GREEN, 0.1)), seen((BROWN, 1.0))
    assert find_again(before, 1, after) is None


def test_colour_further_off_than_any_known_step_is_lost() -> None:
    assert find_again(seen((GREEN, 1.0)), 0, seen((BROWN, 1.0))) is None


def test_look_without_the_colour_is_skipped_and_the_next_found_again() -> None:
    looks = [seen((GREEN, 1.0)), seen((BROWN, 1.0)), seen(((62, -23, -2), 1.0))]
    found = follow_colour(looks, 0, None)
    assert [c.lab if c else None for c in found] == [GREEN, None, (62, -23, -2)]


def test_colour_that_goes_far_by_small_steps_is_not_lost() -> None:
    looks = [seen(((50.0, float(a), 0.0), 1.0)) for a in range(60, -61, -20)]
    assert None not in follow_colour(looks, 0, None)
    assert find_again(looks[0], 0, looks[-1]) is None


def test_colour_is_followed_back_from_where_it_was_chosen() -> None:
    looks = [seen(((60, -20, 0), 0.3), (BROWN, 0.7)), seen((GREEN, 0.8), (BROWN, 0.2))]
    found = follow_colour(looks, 1, None)
    assert [c.lab for c in found if c] == [(60, -20, 0), GREEN]


def test_nothing_seen_is_nothing_followed() -> None:
    assert follow_colour([], 0, None) == ()


colours = st.lists(
    st.tuples(
        st.tuples(st.floats(10, 90), st.floats(-40, 40), st.floats(-40, 40)),
        st.floats(0.03, 1.0),
    ),
    min_size=1,
    max_size=5,
)


@given(colours, st.integers(0, 9))
def test_unchanged_picture_shows_the_same_colour(given: list[tuple[Lab, float]], n: int) -> None:
    one = seen(*given)
    again = find_again(one, n % len(one), one)
    assert again is not None
    assert one[again].lab == one[n % len(one)].lab


@given(colours, colours, st.randoms(use_true_random=False))
def test_no_match_is_cheaper_than_the_one_taken(
    one: list[tuple[Lab, float]], two: list[tuple[Lab, float]], chance: random.Random
) -> None:
    before, after = seen(*one), seen(*two)

    def cost(match: list[int | None]) -> float:
        return sum(
            c.share * LOST_BEYOND if m is None else step(c, after[m])
            for c, m in zip(before, match, strict=True)
        )

    def step(one: ColourShare, two: ColourShare) -> float:
        apart = float(delta_e_2000(one.lab, two.lab))
        if apart > LOST_BEYOND:
            return float("inf")
        return one.share * apart + SHARE_WEIGHS * abs(one.share - two.share)

    taken = [find_again(before, i, after) for i in range(len(before))]
    used = [place for place in taken if place is not None]
    assert len(used) == len(set(used))
    for _ in range(5):
        other: list[int | None] = [*range(len(after)), *([None] * len(before))]
        chance.shuffle(other)
        assert cost(taken) <= cost(other[: len(before)]) + 1e-9
