"""Known change on drawn plates: where it is found, and that nothing is found where nothing is."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.changes import CellChanges, find_changes
from tests.measure.plates import (
    BROWN,
    CELLS,
    GREEN,
    chips,
    grain,
    millimetres,
    moved_places,
    see_plate,
)

U, THRESHOLD = 1.5, 2.3
# Of an unchanged plate one square in a hundred may pass.
CHANCE = 0.01
PATTERNS = {
    "chips of 4 mm": lambda x, y: chips(x, y, 4.0),
    "chips of 2 mm": lambda x, y: chips(x, y, 2.0),
    "grain": grain,
    "plain": lambda x, y: np.ones_like(x),
}


def share(found: CellChanges) -> float:
    return float(found.moved.sum() / found.compared.sum())


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("laid", [(0.0, 0.0, 0.0), (0.7, 0.0, 0.0), (-0.5, 0.5, 0.5)])
def test_of_a_plate_that_only_lay_otherwise_one_square_in_a_hundred_moved_at_most(
    pattern: str, laid: tuple[float, float, float]
) -> None:
    draw = PATTERNS[pattern]
    first = see_plate(GREEN, BROWN, draw(*millimetres()), 1)
    second = see_plate(GREEN, BROWN, draw(*moved_places(*laid)), 2)
    assert share(find_changes(first, second, U, THRESHOLD)) <= CHANCE


@pytest.mark.parametrize(("pattern", "step"), [("plain", 6.0), ("grain", 6.0),
                                               ("chips of 4 mm", 12.0)])  # fmt: skip
def test_a_third_that_darkened_is_found_and_no_more(pattern: str, step: float) -> None:
    draw = PATTERNS[pattern]
    x, y = moved_places(0.7, 0.3, 0.3)
    upper = (y < -25)[..., None]  # of 150 mm the upper fifty
    green, brown = (np.where(upper, np.array(lab) - [step, 0, 0], lab) for lab in (GREEN, BROWN))
    first = see_plate(GREEN, BROWN, draw(*millimetres()), 1)
    found = find_changes(first, see_plate(green, brown, draw(x, y), 2), U, THRESHOLD)
    assert found.moved[:23].mean() > 0.9  # 2 mm from the border at least
    assert found.moved[27:].mean() <= CHANCE


def test_spots_are_found_where_they_are() -> None:
    x, y = moved_places(0.7, 0.3, 0.0)
    spots = (((x % 25) - 12.5) ** 2 + ((y % 25) - 12.5) ** 2 < 4.0**2)[..., None]
    plain = np.ones_like(x)
    rusty = np.where(spots, [40.0, 22.0, 31.0], np.array(GREEN))
    found = find_changes(
        see_plate(GREEN, BROWN, plain, 1), see_plate(rusty, BROWN, plain, 2), U, THRESHOLD
    )
    assert share(found) == pytest.approx(np.pi * 4**2 / 25**2, rel=0.35)  # squares cut rims
    row, column = (round((75 + 12.5) / 2), round((50 + 12.5) / 2))
    assert found.moved[row - 1 : row + 1, column - 1 : column + 1].all()


def test_a_change_below_the_noise_or_below_the_threshold_is_none() -> None:
    plain = np.ones_like(millimetres()[0])
    first = see_plate(GREEN, BROWN, plain, 1)
    darker = see_plate((GREEN[0] - 3.0, *GREEN[1:]), BROWN, plain, 2)  # ΔE00 about 2.6
    assert share(find_changes(first, darker, 0.5, 1.0)) > 0.9
    assert share(find_changes(first, darker, 4.0, 1.0)) == 0
    assert share(find_changes(first, darker, 0.5, 4.0)) == 0


def test_what_is_missing_is_not_compared() -> None:
    plain = np.ones_like(millimetres()[0])
    first = see_plate(GREEN, BROWN, plain, 1)
    holed = see_plate(GREEN, BROWN, plain, 2)
    holed[:20] = np.nan
    found = find_changes(first, holed, U, THRESHOLD)
    assert found.compared.shape == CELLS
    assert not found.compared[:19].any()
    assert found.compared[22:-1].all()
