"""Photographs of another piece, told by colour on the demo's table, and by pattern on drawn plates.

Source of every colour: the invented demo. The table's SH-012 and SH-014 are one recipe, bare and
waxed; SH-023 is a heat colour that moves 19 ΔE00 in its year.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from builder.errors import Problem
from builder.records.photo import Evidence, Lab, Light, Observation, Reading, State
from builder.relate.findings import Findings
from tests.relate.demo import U, demo_rows, entry_of, find, find_demo, photo, read, strand_of
from tests.relate.test_turned import draw, squares

DEMO = find_demo()
BARE, WAXED = "SH-012", "SH-014"
GREEN: Lab = (62.0, -23.0, -3.0)
BROWN: Lab = (40.0, 13.0, 16.0)
START = dt.date(2024, 10, 1)


def readings_of(piece: str, day: dt.date) -> tuple[dt.date, tuple[Reading, ...]]:
    """The piece's look nearest the day."""
    taken = [
        (abs((look.taken - day).days), look.taken, look.observation.readings)
        for look in strand_of(DEMO, piece).looks
        if look.taken is not None
    ]
    _, at, readings = min(taken, key=lambda one: one[0])
    return at, readings


def misfile(piece: str, folder: str, day: dt.date, **told: Any) -> Findings:
    """The demo with one photograph of ``piece`` in ``folder``, its label and name silent."""
    at, readings = readings_of(piece, day)
    wrong = photo(folder, at, State.RECHECK, readings, "wrong.jpg", **told)
    return find(DEMO.library.entries, [*DEMO.observations, wrong])


def of_colour(problems: Sequence[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.found.startswith(("its colour", "its patt"))]


def test_a_sister_s_photograph_is_known_by_its_colour_and_both_are_named() -> None:
    (problem,) = of_colour(misfile(BARE, WAXED, dt.date(2024, 11, 5)).problems)
    assert problem.file == "samples/SH-014/wrong.jpg"
    assert problem.found.startswith("its colour is SH-012’s (ΔE00 ")
    assert ", not SH-014’s (ΔE00 1" in problem.found
    assert "move it to the folder of SH-012" in problem.remedy


def test_a_doubt_by_colour_alone_keeps_the_photograph_in_comparison() -> None:
    found = misfile(BARE, WAXED, dt.date(2024, 11, 5))
    look = next(
        look
        for look in strand_of(found, WAXED).looks
        if look.observation.file.path.endswith("wrong.jpg")
    )
    # Colour says it, pattern does not: only "the colour followed is not found" may leave it out.
    assert "SH-012" not in look.excluded
    assert look.reading is not None


@pytest.mark.parametrize("u", [0.5, U, 4.0])
def test_no_look_of_the_demo_is_doubted(u: float) -> None:
    assert of_colour(find_demo(u).problems) == []


@pytest.mark.parametrize(
    "told", [{"side": "back"}, {"light": Light.RAKING}, {"exif": False, "written": None}]
)
def test_what_tells_nothing_of_the_colour_then_is_not_asked(told: dict[str, Any]) -> None:
    assert of_colour(misfile(BARE, WAXED, dt.date(2024, 11, 5), **told).problems) == []


@pytest.mark.parametrize("evidence", [Evidence.SHEET, Evidence.NONE])
def test_without_a_card_nothing_is_said(evidence: Evidence) -> None:
    at, readings = readings_of(BARE, dt.date(2024, 11, 5))
    weak = tuple(replace(reading, evidence=evidence) for reading in readings)
    wrong = photo(WAXED, at, State.RECHECK, weak, "wrong.jpg")
    found = find(DEMO.library.entries, [*DEMO.observations, wrong])
    assert of_colour(found.problems) == []


def series(piece: str, colours: Sequence[Lab], plates: Sequence[Any] = ()) -> list[Observation]:
    """A look a month of a bare piece."""
    shots = []
    for month, lab in enumerate(colours):
        day = START + dt.timedelta(days=3 + 30 * month)
        state = State.RECHECK if month else State.DRY
        seen = photo(piece, day, state, (read(lab, u=1.0),))
        grid = squares(plates[month]) if plates else None
        shots.append(replace(seen, picture=replace(seen.picture, grid=grid)))
    return shots


def entries(*pieces: str) -> tuple[Any, ...]:
    told = {"started": str(START), "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}
    return tuple(entry_of(piece=piece, **told) for piece in pieces)


def off(lab: Lab, lighter: float) -> Lab:
    return (lab[0] + lighter, lab[1], lab[2])


def test_a_colour_that_moves_on_through_another_s_is_a_true_change() -> None:
    """Each step is as far as the next: no look is an outlier among its own."""
    moving = [off(BROWN, 9.0 * step) for step in range(4)]
    others = [series(f"SH-90{2 + step}", [lab] * 4) for step, lab in enumerate(moving)]
    shots = [*series("SH-901", moving), *(one for other in others for one in other)]
    found = find(entries("SH-901", *(f"SH-90{n}" for n in range(2, 6))), shots)
    assert of_colour(found.problems) == []


def test_where_several_fit_the_best_two_are_named_and_the_rest_counted() -> None:
    shots = series("SH-901", [GREEN, BROWN, GREEN])
    for step, piece in enumerate(("SH-902", "SH-903", "SH-904", "SH-905")):
        shots += series(piece, [off(BROWN, 0.2 * step)] * 3)
    found = find(entries("SH-901", "SH-902", "SH-903", "SH-904", "SH-905"), shots)
    (problem,) = of_colour(found.problems)
    assert "SH-902’s (ΔE00 0.0) or SH-903’s (ΔE00 0.2) or that of 2 more" in problem.found


def test_a_colour_that_no_piece_has_is_no_mix_up() -> None:
    shots = [*series("SH-901", [GREEN, BROWN, GREEN]), *series("SH-902", [GREEN] * 3)]
    assert of_colour(find(entries("SH-901", "SH-902"), shots).problems) == []


def test_one_s_own_pattern_settles_that_the_colour_truly_changed() -> None:
    plates = [draw(seed) for seed in (1, 2, 3)]
    own = series("SH-901", [GREEN, BROWN, GREEN], plates)
    other = series("SH-902", [BROWN] * 3, [draw(seed, 1.8) for seed in (4, 5, 6)])
    assert of_colour(find(entries("SH-901", "SH-902"), [*own, *other]).problems) == []


def test_the_other_s_pattern_settles_that_it_is_the_other_s() -> None:
    wrong = draw(7, 1.8)
    own = series("SH-901", [GREEN, BROWN, GREEN], [draw(1), wrong, draw(3)])
    other = series("SH-902", [BROWN] * 3, [draw(seed, 1.8) for seed in (4, 5, 6)])
    found = find(entries("SH-901", "SH-902"), [*own, *other])
    (problem,) = of_colour(found.problems)
    assert problem.found.startswith("its colour and pattern are SH-902’s")
    assert "counts for nothing" in problem.remedy
    look = strand_of(found, "SH-901").looks[1]
    assert look.excluded == "its colour and pattern are SH-902’s"
    assert [drift.days for drift in strand_of(found, "SH-901").drifts] == [60]


def test_pieces_of_one_colour_are_told_apart_by_pattern() -> None:
    own = series("SH-901", [BROWN] * 3, [draw(1), np.rot90(draw(7, 1.8), 2), draw(3)])
    other = series("SH-902", [BROWN] * 3, [draw(seed, 1.8) for seed in (4, 5, 6)])
    (problem,) = of_colour(find(entries("SH-901", "SH-902"), [*own, *other]).problems)
    assert problem.file == own[1].file.path
    assert problem.found.startswith("its pattern is SH-902’s")


def zoned(piece: str, left: Sequence[Lab], right: Sequence[Lab]) -> list[Observation]:
    shots = []
    for month, labs in enumerate(zip(left, right, strict=True)):
        day = START + dt.timedelta(days=3 + 30 * month)
        seen = tuple(
            read(lab, u=1.0, zone=zone) for zone, lab in zip(("left", "right"), labs, strict=True)
        )
        shots.append(photo(piece, day, State.RECHECK if month else State.DRY, seen))
    return shots


def test_every_zone_must_lie_far_and_fit() -> None:
    zones = [{"name": name, "sealant": "none"} for name in ("left", "right")]
    told = {"started": str(START), "exposure": "45 s", "dry": {"for": "1 d"}, "zones": zones}
    plates = tuple(entry_of(piece=piece, **told) for piece in ("SH-901", "SH-902"))
    other = zoned("SH-902", [BROWN] * 3, [off(BROWN, 20)] * 3)
    for right, doubts in (([GREEN, off(BROWN, 20), GREEN], 1), ([GREEN] * 3, 0)):
        own = zoned("SH-901", [GREEN, BROWN, GREEN], right)
        assert len(of_colour(find(plates, [*own, *other]).problems)) == doubts


def test_a_table_s_own_piece_is_in_the_demo() -> None:
    assert {BARE, WAXED} <= demo_rows().keys()
