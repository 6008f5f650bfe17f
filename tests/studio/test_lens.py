"""The lens: there and back, against the pinhole model and the marks that are read in a picture."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import zxingcpp

from builder.records.jig import read_label, read_mark
from tests.studio.diary import Shot, list_shots
from tests.studio.files import draw
from tests.studio.lens import FOCAL_PX, Hold, View, look_down, project
from tests.studio.lying import lie_of
from tests.studio.paint import prepare
from tests.studio.pieces import read_pieces
from tests.studio.stand import JIG, PICTURE_PX, SHEET_NUMBER

LEVEL = Hold(0.0, 0.0, 0.0, 40.0, (0.0, 0.0))
TILTED = Hold(6.0, 70.0, 1.5, 30.0, (8.0, -12.0))
#: px by which noise, the fall of light and the packing into bytes shift the middle of a disc.
SEEN_PX = 0.12
#: px. The reader of codes gives whole pixels; the corner without a finder pattern is a guess of its
#: own and not asked for here.
READ_PX = 1.6


@pytest.mark.parametrize("k", [0.0, -0.008])
@pytest.mark.parametrize("hold", [LEVEL, TILTED], ids=["level", "tilted"])
def test_sheet_to_picture_and_back_is_where_one_began(hold: Hold, k: float) -> None:
    view = look_down(hold, k)
    points = np.random.default_rng(4).uniform((0, 0), (JIG.width, JIG.height), (200, 2))
    assert view.to_sheet(view.to_picture(points)) == pytest.approx(points, abs=1e-6)


def test_a_level_camera_sees_every_millimetre_alike() -> None:
    view = look_down(LEVEL, 0.0)
    row = np.stack([np.linspace(0, JIG.width, 30), np.full(30, 50.0)], axis=-1)
    steps = np.diff(view.to_picture(row), axis=0)
    assert steps == pytest.approx(np.broadcast_to(steps[0], steps.shape), abs=1e-6)


def test_a_tilted_camera_is_the_pinhole_it_claims_to_be() -> None:
    # Hartley and Zisserman 2004, 8.4: H = K [r1 r2 t], so that the first two columns of K^-1 H are
    # square to each other and of one length.
    lens = np.array([[FOCAL_PX, 0, PICTURE_PX[0] / 2], [0, FOCAL_PX, PICTURE_PX[1] / 2], [0, 0, 1]])
    first, second, _ = (np.linalg.inv(lens) @ look_down(TILTED, 0.0).homography).T
    assert first @ second == pytest.approx(0, abs=1e-9 * (first @ first))
    assert first @ first == pytest.approx(second @ second)
    depth = np.cross(first, second) / (first @ first)
    assert np.degrees(np.arccos(depth[2])) == pytest.approx(TILTED.tilt)


def test_the_nearer_side_of_the_sheet_is_the_larger_one() -> None:
    view = look_down(Hold(5.0, 90.0, 0.0, 30.0, (0.0, 0.0)), 0.0)
    left_top, right_top, right_low, left_low = view.to_picture(
        np.array([(0.0, 0.0), (JIG.width, 0.0), (JIG.width, JIG.height), (0.0, JIG.height)])
    )
    assert right_low[0] - left_low[0] > 1.03 * (right_top[0] - left_top[0])


def test_a_barrel_draws_the_corner_of_the_picture_in() -> None:
    corner = np.array([[0.0, 0.0]])
    plain = View(np.eye(3))
    assert plain.to_picture(corner) == pytest.approx(corner)
    drawn_in = View(np.eye(3), k=-0.01).to_picture(corner)
    # r' = r (1 + k r²), r = 1 at the corner: one per cent of the way to the middle.
    assert drawn_in == pytest.approx(0.01 * np.array([PICTURE_PX]) / 2)


def _shot(planned: int) -> Shot:
    return next(s for s in list_shots(read_pieces()["SH-022"]) if s.planned == planned)


@cache
def _picture(planned: int) -> np.ndarray:
    return draw(_shot(planned), prepare(_shot(planned))).pixels


CAMERAS = pytest.mark.parametrize("planned", [30, 365], ids=["first camera", "second camera"])


@CAMERAS
def test_discs_are_seen_where_the_view_says(planned: int) -> None:
    grey = _picture(planned).mean(axis=-1)
    view = lie_of(_shot(planned)).view
    for dot in JIG.dots:
        x, y = view.to_picture(np.array(dot))
        half = 20  # px: the disc and paper all round it
        rows = slice(round(y) - half, round(y) + half)
        columns = slice(round(x) - half, round(x) + half)
        patch = grey[rows, columns]
        dark = np.clip(np.median(patch) - 25 - patch, 0, None)
        own_y, own_x = np.mgrid[rows, columns] + 0.5
        seen = (float((dark * own_x).sum()), float((dark * own_y).sum())) / dark.sum()
        assert seen == pytest.approx((x, y), abs=SEEN_PX)


@CAMERAS
def test_marks_and_label_are_read_where_they_are_said_to_lie(planned: int) -> None:
    view = lie_of(_shot(planned)).view
    codes = zxingcpp.read_barcodes(_picture(planned))
    assert {read_label(code.text) for code in codes} == {None, "SH-022"}
    marks = {mark.corner: code for code in codes if (mark := read_mark(code.text))}
    assert sorted(marks) == [0, 1, 2, 3]
    for corner, code in marks.items():
        mark = read_mark(code.text)
        assert mark and (mark.number, mark.jig) == (SHEET_NUMBER, JIG)
        left, top, right, bottom = JIG.marks[corner]
        true = view.to_picture(np.array([(left, top), (right, top), (left, bottom)]))
        at = code.position
        read = [(point.x, point.y) for point in (at.top_left, at.top_right, at.bottom_left)]
        assert np.abs(np.array(read) - true).max() < READ_PX


def test_a_homography_is_not_bothered_by_its_scale() -> None:
    view = look_down(TILTED, 0.0)
    points = np.array([[10.0, 20.0], [200.0, 100.0]])
    assert project(3 * view.homography, points) == pytest.approx(project(view.homography, points))
