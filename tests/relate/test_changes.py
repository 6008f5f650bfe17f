"""Change maps of strands, from drawn plates of known change."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from builder.measure.grids import make_grid
from builder.records.photo import Grid, Observation, State
from builder.relate.changes import map_change
from builder.relate.findings import ChangeMap, Difference
from builder.relate.memory import Memory
from tests.measure.plates import (
    BROWN,
    GREEN,
    MARGIN,
    MM_PER_PX,
    chips,
    draw_plate,
    millimetres,
    moved_places,
)
from tests.relate.demo import entry_of, find, photo, read, strand_of

TOLD = {"started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}
THRESHOLD = 2.3


def squares(light: np.ndarray) -> Grid:
    edge = round(MARGIN / MM_PER_PX)
    inner = light[edge:-edge, edge:-edge]
    return make_grid(inner, np.ones(inner.shape[:2], bool), MM_PER_PX)


def before() -> Grid:
    return squares(draw_plate(GREEN, BROWN, chips(*millimetres()), 1))


def after(right: float = 0.0, darker: np.ndarray | None = None, step: float = 14.0) -> Grid:
    x, y = moved_places(right, 0.0, 0.0)
    lost = (np.zeros_like(x) if darker is None else darker.astype(float))[..., None] * [step, 0, 0]
    return squares(draw_plate(np.array(GREEN) - lost, np.array(BROWN) - lost, chips(x, y), 2))


def shot(day: int, state: State, grid: Grid | None, zones: tuple[str, ...]) -> Observation:
    readings = tuple(read(GREEN, u=1.5, zone=zone) for zone in zones)
    seen = photo("SH-901", dt.date(2024, 10, day), state, readings)
    return replace(seen, picture=replace(seen.picture, grid=grid))


def changed(
    first: Grid | None, second: Grid | None, zones: tuple[str, ...] = ("",), zone: str = ""
) -> ChangeMap | None:
    named = {"zones": [{"name": name, "sealant": "none"} for name in zones]} if zone else {}
    shots = [
        shot(3, State.DRY, first, zones),
        shot(20, State.RECHECK, second, zones),
    ]
    found = find((entry_of(**TOLD, **named),), shots)
    return next(s for s in found.strands if s.zone == zone).change


def test_a_darkened_lower_third_is_named_and_drawn() -> None:
    _, y = millimetres()
    change = changed(before(), after(darker=y > 25))
    assert change is not None
    assert change.where == "the lower third"
    assert change.words.startswith("Changed on 3")
    assert "lower" in change.largest_where
    assert change.largest == pytest.approx(12, abs=3)  # ΔL* of 14 in two colours
    rows = change.levels.splitlines()
    upper, lower = rows[:45], rows[52:]
    assert set("".join(upper)) <= {"0", "?", "1"}
    assert sum(sign in "123" for sign in "".join(lower)) > 0.9 * 23 * 50


def test_a_piece_that_only_lay_otherwise_did_not_change() -> None:
    change = changed(before(), after(right=0.7))
    assert change is not None
    assert change.where == ""
    assert change.words.startswith("No place changed")
    assert change.shift_mm == pytest.approx(0.7, abs=0.2)
    assert "lay" not in change.words


def test_a_shift_that_the_views_show_is_said() -> None:
    change = changed(before(), after(right=2.4))
    assert change is not None
    assert "The piece lay 2." in change.words


def test_a_zone_has_the_map_of_its_own_squares() -> None:
    x, _ = millimetres()
    zones = ("left", "right")
    maps = {zone: changed(before(), after(darker=x > 0), zones, zone) for zone in zones}
    left, right = maps["left"], maps["right"]
    assert left is not None and right is not None
    assert left.share < 0.02 < 0.9 < right.share
    assert right.where == "the whole face"
    rows = left.levels.splitlines()
    assert (len(rows), len(rows[0])) == (75, 25)
    assert {row[-1] for row in rows} == {"-"}  # the border square is the neighbour's too


def test_without_squares_in_both_there_is_no_map() -> None:
    assert changed(before(), None) is None
    assert changed(None, before()) is None
    assert changed(before(), replace(before(), mm=3.0)) is None


def test_the_noise_of_the_difference_counts() -> None:
    _, y = millimetres()
    shots = [
        shot(3, State.DRY, before(), ("",)),
        shot(20, State.RECHECK, after(darker=y > 25), ("",)),
    ]
    strand = strand_of(find((entry_of(**TOLD),), shots), "SH-901")
    difference: Difference = strand.drifts[-1]
    loud = map_change(replace(difference, u=20.0), THRESHOLD, Memory())
    assert loud is not None and loud.share == 0
