"""The grey scale grade, against the steps of the printed scale."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.grey_scale import assessed_difference, grade_a05, grade_in_words

EXACT = 1e-12
PRINTED_3 = 5.1e-4
# The older worked examples were rounded to four decimals at every line.
WORKED = 2e-4

# Source: ISO 105-A02:1993, table 1 (CIELAB units), as adopted in EN 20105-A02:1994.
SCALE = [
    (0.0, "5"),
    (0.8, "4-5"),
    (1.7, "4"),
    (2.5, "3-4"),
    (3.4, "3"),
    (4.8, "2-3"),
    (6.8, "2"),
    (9.6, "1-2"),
    (13.6, "1"),
]
# Source: clause 8 of EN ISO 105-A05:1997 on the differences above; greys need no other clause.
GRADES = [
    (1.7, 4.0),
    (3.4, 3.0),
    (6.8, 2.0),
    (13.6, 1.0),
    (0.8, 4.529),
    (2.5, 3.529),
    (4.8, 2.503),
    (9.6, 1.503),
]


@pytest.mark.parametrize(("difference", "grade"), GRADES)
@pytest.mark.parametrize("sign", [1, -1])
def test_a_grey_step_of_the_printed_scale_has_its_grade(
    difference: float, grade: float, sign: int
) -> None:
    found = float(grade_a05((50, 0, 0), (50 + sign * difference, 0, 0)))
    assert found == pytest.approx(grade, abs=PRINTED_3)


@pytest.mark.parametrize(("difference", "words"), SCALE)
def test_every_step_of_the_printed_scale_is_named_as_printed(difference: float, words: str) -> None:
    assert grade_in_words(float(grade_a05((50, 0, 0), (50 - difference, 0, 0)))) == words


def test_the_two_branches_meet() -> None:
    either_side = grade_a05((50, 0, 0), [(50 - 3.4, 0, 0), (50 - 3.4 - 1e-9, 0, 0)])
    assert either_side[0] == pytest.approx(either_side[1], abs=1e-8)


def test_grades_end_at_one_and_five() -> None:
    assert float(grade_a05((90, 0, 0), (10, 60, 60))) == 1.0
    assert float(grade_a05((40, 20, 30), (40, 20, 30))) == 5.0


# Regression only: clause 7 here rests on terms remembered and not seen.  Source: from memory.
@pytest.mark.parametrize(
    ("reference", "test", "difference", "grade"),
    [
        ((40, 10, -40), (42, 8, -33), 4.1336, 2.718),
        ((30, 6, 8), (31.5, 5, 6), 2.6375, 3.4485),
    ],
)
def test_worked_examples_of_the_whole_chain_stay(
    reference: tuple[float, ...], test: tuple[float, ...], difference: float, grade: float
) -> None:
    assert float(assessed_difference(reference, test)) == pytest.approx(difference, abs=WORKED)
    assert float(grade_a05(reference, test)) == pytest.approx(grade, abs=PRINTED_3)


def test_grades_come_for_many_colours_at_once() -> None:
    many = np.broadcast_to([50, 10, -10], (3, 4, 3))
    assert grade_a05(many, (50, 10, -10)).shape == (3, 4)


def test_a_hue_step_across_red_is_taken_the_short_way() -> None:
    # Hues 359° and 1° are two degrees apart: ΔH*ab = 2 · 40 · sin 1° = 1.396. Source: CIE 15:2004.
    angle = np.radians(1)
    one, other = (
        (50, 40 * np.cos(angle), -40 * np.sin(angle)),
        (50, 40 * np.cos(angle), 40 * np.sin(angle)),
    )
    assert 0 < float(assessed_difference(one, other)) < 1.396 + EXACT
