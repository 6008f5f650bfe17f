"""The camera: steady, unclipped, and the same twice."""

from __future__ import annotations

import numpy as np
import pytest

from tests.studio import faults
from tests.studio.camera import conditions_of
from tests.studio.diary import Shot, list_all_shots, list_shots
from tests.studio.files import draw
from tests.studio.paint import prepare
from tests.studio.pieces import read_pieces
from tests.studio.stand import JITTER, PICTURE_PX, PLATES, SHEET_CORNERS_PX, homography, project

#: Stray pixels of paper that noise lifts to the end of the scale, per cent.
CLIPPED_PCT = 0.1


def _fresh(number: str) -> Shot:
    return next(s for s in list_shots(read_pieces()[number]) if s.state in ("dry", "before seal"))


def test_the_same_shot_gives_the_same_pixels() -> None:
    shot = _fresh("SH-003")
    first, second = (draw(shot, prepare(shot)).pixels for _ in range(2))
    assert np.array_equal(first, second)
    assert first.shape == (PICTURE_PX[1], PICTURE_PX[0], 3)
    assert 100 * (first >= 254).any(axis=-1).mean() < CLIPPED_PCT


def test_pieces_stay_in_the_place_that_was_marked_once() -> None:
    left, top, right, bottom = PLATES.box
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    marked = project(homography(SHEET_CORNERS_PX), corners) / PICTURE_PX
    for shot in list_all_shots():
        seen = project(homography(conditions_of(shot).corners), corners) / PICTURE_PX
        assert np.abs(seen - marked).max() <= JITTER


def test_warm_shots_are_the_planted_ones() -> None:
    warm = {
        (shot.piece.number, shot.planned)
        for shot in list_all_shots()
        if conditions_of(shot).gains[0] > 1.25 * conditions_of(shot).gains[2]
    }
    assert warm == {*faults.WARM_WITH_CARD, faults.WARM_WITHOUT_CARD}


def test_the_glaring_shot_glares_and_no_other() -> None:
    glaring = [s for s in list_all_shots() if conditions_of(s).glare]
    assert [(s.piece.number, s.planned) for s in glaring] == [faults.GLARE]


@pytest.mark.parametrize("body", ["B1", "B2"])
def test_both_bodies_were_used(body: str) -> None:
    assert any(shot.camera == body for shot in list_all_shots())
