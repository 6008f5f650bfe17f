"""How things lay: near their places, never twice alike, and the outline where the paint ends."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from builder.records.jig import BoxMm
from tests.studio import faults
from tests.studio.diary import Shot, list_all_shots, list_shots
from tests.studio.lying import STEEPEST, Laid, lie_of, outline_of
from tests.studio.paint import PX, paint, prepare
from tests.studio.pieces import read_pieces
from tests.studio.scene import compose, scene_shape
from tests.studio.stand import BENCH_MM, JIG, PLATES

#: mm and degrees by which a hand misses the printed outline.
MISSED_MM, MISSED_TURN = 3.0, 2.0
#: mm by which the slip, which fits its frame with 1 mm of air, may stand over it.
OVER_MM = 0.3
#: Of the area: pixels along the rim, where the paint ends over half a millimetre.
AREA = 0.004


def _last(number: str) -> Shot:
    return next(s for s in list_shots(read_pieces()[number]) if s.planned == 365)


def _widen(box: BoxMm, by: float) -> BoxMm:
    left, top, right, bottom = box
    return left - by, top - by, right + by, bottom + by


def _area(rim: np.ndarray) -> float:
    x, y = rim[:, 0], rim[:, 1]
    return 0.5 * abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))  # Gauss's shoelace


def _holds(box: BoxMm, laid: Laid) -> bool:
    return bool((laid.corners >= box[:2]).all() and (laid.corners <= box[2:]).all())


def test_things_lie_in_their_places_a_little_off_and_turned() -> None:
    shots = list_all_shots()
    for shot in shots:
        lie = lie_of(shot)
        assert np.hypot(*np.subtract(lie.piece.middle, JIG.middle)) <= MISSED_MM
        assert abs(lie.piece.turn) <= MISSED_TURN
        assert lie.card is None or _holds(JIG.slot, lie.card)
        assert _holds(_widen(JIG.label, OVER_MM), lie.label)
        if shot.place is PLATES:
            assert _holds(JIG.place, lie.piece)
    assert len({lie_of(shot).piece for shot in shots}) == len(shots)
    assert len({lie_of(shot).card for shot in shots}) == len(shots)


def test_the_card_is_missing_where_it_was_forgotten_and_nowhere_else() -> None:
    without = [s for s in list_all_shots() if lie_of(s).card is None]
    assert [(s.piece.number, s.planned) for s in without] == [faults.WARM_WITHOUT_CARD]
    assert lie_of(without[0]).card_grid is None


def test_the_first_cameras_lens_bends_and_the_seconds_does_not() -> None:
    assert {(s.camera, lie_of(s).view.k) for s in list_all_shots()} == {("B1", -0.008), ("B2", 0.0)}
    assert STEEPEST == 6.0


def test_corners_run_clockwise_and_turn_clockwise() -> None:
    laid = Laid((50.0, 40.0), (20.0, 10.0), 90.0)
    # A quarter turn clockwise takes the left top corner to the right top; y runs down.
    assert laid.corners == pytest.approx(np.array([(55, 30), (55, 50), (45, 50), (45, 30)]))


@pytest.mark.parametrize("number", ["SH-012", "SH-019", "SH-029"])
def test_the_outline_holds_what_is_painted(number: str) -> None:
    shot = _last(number)
    rims = outline_of(shot)
    assert len(rims) == 2  # every piece has one hole to hang it by
    painted = paint(shot, prepare(shot)).alpha.sum() / PX**2
    assert _area(rims[0]) - _area(rims[1]) == pytest.approx(painted, rel=AREA)


def test_a_plates_outline_is_its_blank() -> None:
    shot = _last("SH-012")
    # 100 × 150 mm, corners filed to a radius of 2.6 mm: (4 − π) r² less; hole of 4.1 mm.
    outer, hole = outline_of(shot)
    assert _area(outer) == pytest.approx(100 * 150 - (4 - np.pi) * 2.6**2, rel=AREA)
    assert _area(hole) == pytest.approx(np.pi * 2.05**2, rel=0.05)
    assert outer.mean(axis=0) == pytest.approx(lie_of(shot).piece.middle, abs=1.0)


def test_the_scene_shows_the_piece_inside_its_outline() -> None:
    # The painted middle row of a turned piece ends where the outline says it does.
    shot = _last("SH-003")
    scene = compose(shot, paint(shot, prepare(shot))).mean(axis=-1)
    height, width = scene_shape()
    drawn = Image.new("L", (width, height), 0)
    outer, hole = ((rim + BENCH_MM) * PX for rim in outline_of(shot))
    ImageDraw.Draw(drawn).polygon([(float(x), float(y)) for x, y in outer], fill=255)
    ImageDraw.Draw(drawn).polygon([(float(x), float(y)) for x, y in hole], fill=0)
    inside = np.asarray(drawn) > 0
    left, top, right, bottom = JIG.place
    place = np.zeros_like(inside)
    rows = slice(round((top + BENCH_MM) * PX), round((bottom + BENCH_MM) * PX))
    place[rows, round((left + BENCH_MM) * PX) : round((right + BENCH_MM) * PX)] = True
    dark = (scene < 0.25) & place  # a sooty piece on white paper
    assert (dark & inside).sum() / inside.sum() > 0.97
    assert (dark & ~inside).sum() / dark.sum() < 0.02
