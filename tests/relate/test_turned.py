"""Pieces laid otherwise than before, from drawn plates."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np

from builder.measure.grids import make_grid
from builder.records.photo import Grid, Light, Observation, State
from builder.relate.findings import Findings
from tests.measure.plates import (
    BROWN,
    GREEN,
    MARGIN,
    MM_PER_PX,
    chips,
    draw_plate,
    millimetres,
)
from tests.relate.demo import entry_of, find, photo, read, strand_of

TOLD = {"started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}


def draw(seed: int, scale: float = 1.0) -> np.ndarray:
    """A plate in linear light; of another pattern where the scale is another."""
    x, y = millimetres()
    edge = round(MARGIN / MM_PER_PX)
    plate = draw_plate(GREEN, BROWN, chips(x * scale, y * scale), seed)
    return np.asarray(plate[edge:-edge, edge:-edge])


def squares(light: np.ndarray) -> Grid:
    return make_grid(light, np.ones(light.shape[:2], bool), MM_PER_PX)


def shot(day: int, plate: np.ndarray | None, zones: tuple[str, ...] = ("",), **told: Any) -> Any:
    readings = tuple(read(GREEN, u=1.5, zone=zone) for zone in zones)
    state = told.pop("state", State.RECHECK if day > 3 else State.DRY)
    name = f"{day}-{told.get('side', 'front')}.jpg"
    seen = photo("SH-901", dt.date(2024, 10, day), state, readings, name, **told)
    grid = None if plate is None else squares(plate)
    return replace(seen, picture=replace(seen.picture, grid=grid))


def find_in(*shots: Observation, **fields: Any) -> Findings:
    return find((entry_of(**TOLD, **fields),), list(shots))


def test_half_a_turn_is_told_with_both_photographs_and_no_map_is_drawn() -> None:
    found = find_in(shot(3, draw(1)), shot(20, np.rot90(draw(2), 2)))
    (problem,) = found.problems
    assert problem.file == "samples/SH-901/20-front.jpg"
    assert problem.found == (
        "lies half a turn round from the photograph of 2024-10-03, samples/SH-901/3-front.jpg"
    )
    strand = strand_of(found, "SH-901")
    assert strand.change is None
    assert strand.change_withheld == (
        "No change map: the photograph of 2024-10-20 lies half a turn round from the photograph "
        "of 2024-10-03."
    )


def test_colour_of_the_whole_is_compared_however_it_lies() -> None:
    found = find_in(shot(3, draw(1)), shot(20, np.rot90(draw(2), 2)))
    assert [look.excluded for look in strand_of(found, "SH-901").looks] == ["", ""]


def test_zones_of_a_turned_piece_are_not_compared() -> None:
    zones = [{"name": name, "sealant": "none"} for name in ("left", "right")]
    names = ("left", "right")
    found = find_in(shot(3, draw(1), names), shot(20, np.rot90(draw(2), 2), names), zones=zones)
    later = strand_of(found, "SH-901", "left").looks[1]
    assert later.excluded == "lies half a turn round from the photograph of 2024-10-03"
    assert later.colour is None


def test_laid_as_before_again_it_is_as_before() -> None:
    found = find_in(shot(3, draw(1)), shot(10, np.rot90(draw(2), 2)), shot(20, draw(3)))
    assert [problem.file for problem in found.problems] == ["samples/SH-901/10-front.jpg"]
    strand = strand_of(found, "SH-901")
    assert strand.change is not None
    assert strand.change_withheld == ""


def test_two_that_lie_alike_are_mapped_though_both_lie_turned() -> None:
    bare = shot(1, draw(1), state=State.BARE)
    turned = [shot(day, np.rot90(draw(day), 2)) for day in (3, 20)]
    found = find_in(bare, *turned)
    assert len(found.problems) == 2
    assert strand_of(found, "SH-901").change is not None


def test_a_back_called_a_front_is_compared_with_nothing() -> None:
    back = shot(3, draw(4, 1.8), side="back")
    found = find_in(shot(3, draw(1)), back, shot(20, np.rot90(draw(5, 1.8), 2)))
    (problem,) = found.problems
    assert problem.found == (
        "looks like the back (the photograph of 2024-10-03), samples/SH-901/3-back.jpg"
    )
    assert "side: back" in problem.remedy
    later = strand_of(found, "SH-901").looks[-1]
    assert later.excluded == "looks like the back (the photograph of 2024-10-03)"
    assert later.reading is None


def test_bare_faces_of_one_blank_are_not_told_apart() -> None:
    back = shot(3, draw(4), side="back")
    found = find_in(shot(1, draw(1, 1.8)), shot(2, draw(5), state=State.BARE), back)
    assert found.problems == ()


def test_a_mirrored_picture_is_told() -> None:
    found = find_in(shot(3, draw(1)), shot(20, draw(2)[:, ::-1]))
    (problem,) = found.problems
    assert problem.found.startswith("is mirrored against the photograph of 2024-10-03")


def test_nothing_is_said_of_a_piece_whose_pattern_went_or_was_never_kept() -> None:
    assert find_in(shot(3, draw(1)), shot(20, draw(2, 1.8))).problems == ()
    assert find_in(shot(3, draw(1)), shot(20, None)).problems == ()


def test_raking_light_makes_a_pattern_of_its_own() -> None:
    raking = shot(20, np.rot90(draw(2), 2), light=Light.RAKING)
    assert find_in(shot(3, draw(1)), raking).problems == ()
