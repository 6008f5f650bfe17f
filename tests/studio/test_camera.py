"""The camera: steady, unclipped, and the same twice."""

from __future__ import annotations

import numpy as np
import pytest

from tests.studio import faults
from tests.studio.camera import conditions_of, light_on_bench, vignette
from tests.studio.diary import Shot, list_all_shots, list_shots
from tests.studio.files import draw
from tests.studio.lens import sheet_edge
from tests.studio.paint import PX, prepare
from tests.studio.pieces import read_pieces
from tests.studio.stand import BENCH_MM, JIG, PICTURE_PX

#: Stray pixels of paper that noise lifts to the end of the scale, per cent.
CLIPPED_PCT = 0.1
#: From the darkest to the lightest part of the sheet, per cent of the mean: what two lamps on a
#: bench give (common practice, no source).
UNEVEN_PCT = (10.0, 16.0)


def _fresh(number: str) -> Shot:
    return next(s for s in list_shots(read_pieces()[number]) if s.state in ("dry", "before seal"))


def test_the_same_shot_gives_the_same_pixels() -> None:
    shot = _fresh("SH-003")
    first, second = (draw(shot, prepare(shot)).pixels for _ in range(2))
    assert np.array_equal(first, second)
    assert first.shape == (PICTURE_PX[1], PICTURE_PX[0], 3)
    assert 100 * (first >= 254).any(axis=-1).mean() < CLIPPED_PCT


def test_the_two_lamps_light_the_sheet_unevenly_and_never_twice_alike() -> None:
    passed = vignette()
    on_sheet = np.stack(np.meshgrid(np.arange(2, JIG.width, 5), np.arange(2, JIG.height, 5)), -1)
    column, row = np.moveaxis(((on_sheet + BENCH_MM) * PX).astype(int), -1, 0)
    found = []
    for shot in list_all_shots()[::16]:
        conditions = conditions_of(shot)
        x, y = np.moveaxis(conditions.view.to_picture(on_sheet).astype(int), -1, 0)
        light = light_on_bench(conditions.lamps)[row, column] * passed[y, x]
        found.append(100 * float(np.ptp(light) / light.mean()))
    assert UNEVEN_PCT[0] < min(found) < max(found) < UNEVEN_PCT[1]
    assert len(set(found)) == len(found)


def test_the_whole_sheet_is_in_every_picture() -> None:
    for shot in list_all_shots():
        seen = conditions_of(shot).view.to_picture(sheet_edge())
        assert (seen > 0).all() and (seen < PICTURE_PX).all()


def test_the_bench_fills_every_picture() -> None:
    width, height = PICTURE_PX
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=np.float64)
    for shot in list_all_shots():
        shown = conditions_of(shot).view.to_sheet(corners)
        assert (shown > -BENCH_MM).all()
        assert (shown < (JIG.width + BENCH_MM, JIG.height + BENCH_MM)).all()


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
