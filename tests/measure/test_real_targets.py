"""Real pictures of 24-patch targets, by phones and cameras of all kinds, indoors and out.

The table holds the mean linear light of every patch, measured by us on published photographs; each
row names its source. True values: the targets' published averages, before and after November 2014,
as colour-science holds them; which of the two a picture shows is not always known, so the better is
taken. "hard" marks pictures with a veil, hard sun, burnt-out whites or a camera's own local
brightening.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

from builder.measure.arrays import Floats
from builder.measure.charts import Chart, chart_of, choose_model
from builder.measure.difference import delta_e_2000
from builder.measure.patches import CLIPPED_PCT, PatchColour, SeenPatch
from builder.measure.spaces import SRGB
from tests.reference import colour

TABLE = Path(__file__).parent.parent / "data" / "real_targets.csv"
GENERATIONS = ("ColorChecker24 - Before November 2014", "ColorChecker24 - After November 2014")
#: Mean ΔE00 of patches left out, over pictures: the aim is 3.0 with the target and 4.0 with grey
#: steps alone, all colours left out. Hard pictures are held to the first only: greys say nothing of
#: a veil, nor of light that falls off over the card.
WITH_TARGET, WITH_TARGET_USUAL = 3.0, 2.5
WITH_GREYS, WITH_GREYS_USUAL = 4.5, 4.0
#: Mean ΔE00 of a patch, left out, from its mean over the pictures of one place by one camera; aim.
SAME_PLACE = 1.5


@dataclass(frozen=True)
class Shown:
    picture: str
    place: str
    camera: str
    hard: bool
    target_error: float
    grey_error: float
    guessed: dict[str, Floats]


@cache
def true_labs(generation: str) -> dict[str, tuple[float, float, float]]:
    """L*a*b*, D65, of the 24 patches by row and column."""
    target = colour.CCS_COLOURCHECKERS[generation]
    d65 = np.array([0.3127, 0.3290])
    xyz = colour.chromatic_adaptation(
        np.array([colour.xyY_to_XYZ(value) for value in target.data.values()]),
        colour.xy_to_XYZ(target.illuminant),
        colour.xy_to_XYZ(d65),
        transform="Bradford",
    )
    labs = colour.XYZ_to_Lab(xyz, d65)
    return {
        f"{'ABCD'[k // 6]}{k % 6 + 1}": (float(L), float(a), float(b))
        for k, (L, a, b) in enumerate(labs)
    }


@cache
def shown() -> tuple[Shown, ...]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    pictures: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in rows:
        pictures[row["picture"]].append(row)
    return tuple(min((read(p, g) for g in GENERATIONS), key=lambda s: s.target_error)
                 for p in pictures.values())  # fmt: skip


def read(rows: list[dict[str, str]], generation: str) -> Shown:
    """One picture corrected by its target, and by the target's greys alone."""
    use = [row for row in rows if float(row["clipped_pct"]) <= CLIPPED_PCT]
    places = np.array([(int(row["patch"][1]), ord(row["patch"][0])) for row in use], dtype=float)
    chart = chart_from(use, generation)
    chosen = choose_model(chart, places)
    greys = np.array([row["patch"][0] == "D" for row in use])
    by_greys = choose_model(chart.only(greys)).correction
    assert by_greys is not None
    return Shown(
        picture=rows[0]["picture"],
        place=rows[0]["place"],
        camera=rows[0]["camera"],
        hard=rows[0]["light"] == "hard",
        target_error=float(delta_e_2000(chosen.guessed, chart.lab).mean()),
        grey_error=float(chart.only(~greys).errors_of(by_greys).mean()),
        guessed={row["patch"]: lab for row, lab in zip(use, chosen.guessed, strict=True)},
    )


def chart_from(rows: list[dict[str, str]], generation: str) -> Chart:
    labs = true_labs(generation)
    pairs = []
    for row in rows:
        rgb = np.array([float(row[channel]) for channel in "rgb"])
        x, y, z = (float(value) for value in rgb @ SRGB.to_xyz.T)
        patch = SeenPatch(row["patch"], labs[row["patch"]], np.empty((0, 3)), np.empty(0, bool))
        pairs.append((patch, PatchColour((x, y, z), 0.0, float(row["clipped_pct"]))))
    return chart_of(pairs, SRGB.to_xyz)


def test_the_table_holds_pictures_of_many_cameras_and_places() -> None:
    assert len(shown()) >= 40
    assert len({one.camera for one in shown()}) >= 10
    assert len({one.place for one in shown()}) >= 20


def test_patches_left_out_come_within_three_on_average() -> None:
    assert np.mean([one.target_error for one in shown()]) <= WITH_TARGET
    assert np.mean([one.target_error for one in shown() if not one.hard]) <= WITH_TARGET_USUAL


def test_greys_alone_leave_more() -> None:
    usual = [one for one in shown() if not one.hard]
    greys = np.mean([one.grey_error for one in usual])
    assert np.mean([one.target_error for one in usual]) < greys <= WITH_GREYS_USUAL
    assert np.mean([one.grey_error for one in shown()]) <= WITH_GREYS


def test_one_patch_in_pictures_of_one_place_comes_to_one_colour() -> None:
    by_place: dict[tuple[str, str], list[Shown]] = defaultdict(list)
    for one in shown():
        if not one.hard:
            by_place[one.place, one.camera].append(one)
    strays = [
        float(delta_e_2000(lab, np.mean([p.guessed[name] for p in group], axis=0)))
        for group in by_place.values()
        if len(group) > 1
        for name in set.intersection(*(set(p.guessed) for p in group))
        for lab in (p.guessed[name] for p in group)
    ]
    assert len(strays) > 100
    assert np.mean(strays) <= SAME_PLACE


@pytest.mark.parametrize("pair", list(combinations(GENERATIONS, 2)))
def test_the_two_generations_differ_so_taking_the_better_matters_little(
    pair: tuple[str, str],
) -> None:
    one, two = (np.array(list(true_labs(generation).values())) for generation in pair)
    assert 0.2 < float(delta_e_2000(one, two).mean()) < 2.0
