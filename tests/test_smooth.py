"""Smooth things laid through a few places, against asking at every pixel."""

from __future__ import annotations

import numpy as np
import pytest

from builder.look.lens import Lens
from builder.smooth import spread

# A photograph of a sheet from 20° aside.
ASIDE = np.array([[12.0, 1.5, 300.0], [-1.0, 11.0, 250.0], [4e-4, 9e-4, 1.0]])


@pytest.mark.parametrize("bend", [0.0, -0.12, 0.12])
def test_perspective_and_a_bent_lens_are_followed_to_a_ten_thousandth_of_a_pixel(
    bend: float,
) -> None:
    lens = Lens(ASIDE, bend, np.array([2000.0, 1500.0]), 2500.0)
    x, y = lens.over(np.array([40.0, 20.0]), np.array([200.0, 150.0]), 300, 400)
    places = np.stack(np.meshgrid((np.arange(400) + 0.5) / 2, (np.arange(300) + 0.5) / 2), axis=-1)
    asked = lens.to_picture(np.array([40.0, 20.0]) + places)
    assert np.abs(np.stack([x, y], axis=-1) - asked).max() < 1e-4


def test_one_row_and_one_column_lie_in_the_middle() -> None:
    (seen,) = spread(lambda place: place[..., :1] + 10 * place[..., 1:], 1, 1)
    assert seen.shape == (1, 1)
    assert seen[0, 0] == pytest.approx(5.5)
