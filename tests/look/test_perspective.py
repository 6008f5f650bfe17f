"""Straightening, against scikit-image's own solution and by plain geometry."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skimage.transform import ProjectiveTransform

from builder.look.perspective import CornersError, carry, coefficients, map_plane, native_size
from builder.records.photo import Quad

ASKEW: Quad = ((0.21, 0.12), (0.78, 0.17), (0.74, 0.91), (0.24, 0.83))
UNIT = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
# Double precision through one small linear system.
EXACT = 1e-9


def test_the_corners_come_out_where_they_are() -> None:
    assert np.allclose(
        carry(map_plane(ASKEW, 1600, 1200), UNIT), np.array(ASKEW) * (1600, 1200), atol=EXACT
    )


def test_the_way_between_them_is_scikit_images() -> None:
    corners = np.array(ASKEW) * (1600, 1200)
    if hasattr(ProjectiveTransform, "from_estimate"):  # scikit-image 0.26 and later
        theirs = ProjectiveTransform.from_estimate(UNIT, corners)
    else:
        theirs = ProjectiveTransform()
        assert theirs.estimate(UNIT, corners)
    points = np.random.default_rng(4).uniform(0, 1, (500, 2))
    assert np.allclose(carry(map_plane(ASKEW, 1600, 1200), points), theirs(points), atol=1e-7)


@given(st.tuples(*[st.floats(-0.08, 0.08) for _ in range(8)]))
def test_straight_lines_stay_straight_and_the_way_back_is_found(shift: tuple[float, ...]) -> None:
    quad = np.array([(0.2, 0.2), (0.8, 0.2), (0.8, 0.8), (0.2, 0.8)]) + np.reshape(shift, (4, 2))
    a, b, c, d = ((float(x), float(y)) for x, y in quad)
    matrix = map_plane((a, b, c, d), 1000, 800)
    line = carry(matrix, np.array([(0.1, 0.2), (0.5, 0.5), (0.9, 0.8)]))
    (x1, y1), (x2, y2) = line[1] - line[0], line[2] - line[0]
    assert abs(x1 * y2 - y1 * x2) < 1e-5  # square pixels, of several hundred a side
    back = carry(np.linalg.inv(matrix), carry(matrix, UNIT))
    assert np.allclose(back, UNIT, atol=EXACT)


def test_the_coefficients_lead_from_cells_to_pixels() -> None:
    matrix = map_plane(ASKEW, 1600, 1200)
    a, b, c, d, e, f, g, h = coefficients(matrix, 320, 480)
    i, j = 17.5, 402.5
    scale = g * i + h * j + 1
    found = ((a * i + b * j + c) / scale, (d * i + e * j + f) / scale)
    assert np.allclose(found, carry(matrix, np.array((i / 320, j / 480))), atol=EXACT)


def test_the_own_size_is_the_mean_of_opposite_edges() -> None:
    quad: Quad = ((0.1, 0.1), (0.5, 0.1), (0.6, 0.6), (0.1, 0.6))
    width, height = native_size(quad, 1000, 1000)
    assert width == round((400 + 500) / 2)
    assert height == round((500 + np.hypot(100, 500)) / 2)


@pytest.mark.parametrize(
    "quad",
    [
        ((0.1, 0.1), (0.1, 0.1), (0.9, 0.9), (0.1, 0.9)),  # two corners in one place
        ((0.1, 0.1), (0.5, 0.5), (0.9, 0.9), (0.1, 0.9)),  # three on a line
        ((0.1, 0.1), (0.1, 0.9), (0.9, 0.9), (0.9, 0.1)),  # anticlockwise
        ((0.1, 0.1), (0.9, 0.9), (0.9, 0.1), (0.1, 0.9)),  # crossed
        ((0.1, 0.1), (0.9, 0.1), (0.2, 0.2), (0.1, 0.9)),  # one corner pushed in
        ((0.1, 0.1), (float("nan"), 0.1), (0.9, 0.9), (0.1, 0.9)),
    ],
)
def test_corners_that_go_round_no_place_are_told(quad: Quad) -> None:
    with pytest.raises(CornersError):
        map_plane(quad, 100, 100)
