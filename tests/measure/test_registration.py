"""The motion between two drawn plates, laid off by a known shift and turn."""

from __future__ import annotations

import math

import numpy as np
import pytest

from builder.measure.registration import register
from tests.measure.plates import BROWN, GREEN, chips, grain, millimetres, moved_places, see_plate

# A tenth of a millimetre is a twentieth of a square; a tenth of a degree moves the far end of a
# plate by as much.
SHIFT_WITHIN_MM = 0.2
TURN_WITHIN = 0.12  # degrees
MM = 2.0


def lay(part: str, right: float, down: float, degrees: float, seed: int) -> np.ndarray:
    x, y = moved_places(right, down, degrees)
    drawn = chips(x, y) if part == "chips" else grain(x, y)
    return see_plate(GREEN, BROWN, drawn, seed)


@pytest.mark.parametrize(
    ("right", "down", "degrees"),
    [(0, 0, 0), (0.7, 0, 0), (-0.5, 0.5, 0), (1.3, 0.9, 0.4), (3.1, -2.2, 0.3), (0.7, 0.3, -1.2)],
)
def test_a_shift_and_a_turn_are_found(right: float, down: float, degrees: float) -> None:
    motion = register(lay("chips", 0, 0, 0, 1), lay("chips", right, down, degrees, 2))
    assert abs(MM * motion.across - right) < SHIFT_WITHIN_MM
    assert abs(MM * motion.down - down) < SHIFT_WITHIN_MM
    assert abs(math.degrees(motion.turn) - degrees) < TURN_WITHIN


def test_what_changed_does_not_pull_the_piece_along() -> None:
    x, y = moved_places(0.7, 0.3, 0.3)
    changed = np.where((y < -25)[..., None], np.array(GREEN) - [15, -10, 0], np.array(GREEN))
    motion = register(lay("chips", 0, 0, 0, 1), see_plate(changed, BROWN, chips(x, y), 2))
    assert abs(MM * motion.across - 0.7) < SHIFT_WITHIN_MM
    assert abs(MM * motion.down - 0.3) < SHIFT_WITHIN_MM


def test_grids_that_differ_by_a_square_lie_middle_on_middle() -> None:
    one, two = lay("chips", 0, 0, 0, 1), lay("chips", 0, 0, 0, 2)
    motion = register(one, two[1:, :-1])
    # The middle of what is left lies half a square lower and half a square to the left.
    assert motion.down == pytest.approx(-0.5, abs=0.1)
    assert motion.across == pytest.approx(0.5, abs=0.1)


def test_across_the_grain_a_shift_is_found_and_along_it_none_is_made_up() -> None:
    motion = register(lay("grain", 0, 0, 0, 1), lay("grain", 0.9, 0, 0, 2))
    assert abs(MM * motion.down) < SHIFT_WITHIN_MM
    assert abs(MM * motion.across) <= 0.9 + SHIFT_WITHIN_MM


def test_a_plain_plate_gives_no_great_motion() -> None:
    plain = np.ones_like(millimetres()[0])
    motion = register(see_plate(GREEN, BROWN, plain, 1), see_plate(GREEN, BROWN, plain, 2))
    assert math.hypot(motion.down, motion.across) < 0.5  # LIKELY_SHIFT


def test_nothing_in_common_is_no_motion() -> None:
    lost = np.full((10, 8, 3), np.nan)
    motion = register(lost, lost)
    assert (motion.down, motion.across, motion.turn) == (0, 0, 0)
