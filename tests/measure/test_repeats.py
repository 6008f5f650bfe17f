"""The noise floor of a difference: what both photographs share does not count in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest

from builder.measure.cards import fit_card
from builder.measure.decode import find_clipped, is_clipped, to_linear_xyz
from builder.measure.difference import delta_e_2000
from builder.measure.left_out import pack_left_out
from builder.measure.patches import SeenPatch
from builder.measure.readings import Region, read_region
from builder.measure.repeats import (
    LEAST_PATCHES,
    say_unlike,
    stray_of_card,
    stray_of_paper,
    u_of_change,
)
from builder.measure.spaces import lab_to_xyz, xyz_to_lab
from builder.records.photo import CardReport, Encoding, Lab
from tests.measure.cameras import GREYS, NINE, Camera, linear, some_camera, stray

PIECE: Lab = (44.0, 14.0, 19.0)
REPEATS = 120
NINE_IN_TEN = (0.85, 1.0)
#: How far each patch of the card lies off its list, the same in every picture of it.
PRINT = 0.03


def photograph(camera: Camera, card: dict[str, np.ndarray], rng: np.random.Generator):
    """A reading of PIECE and the card's report."""
    seen = []
    for name, lab in NINE.items():
        pixels = camera.shoot(np.broadcast_to(card[name], (400, 3)), rng)
        seen.append(SeenPatch(name, lab, to_linear_xyz(pixels, Encoding()), is_clipped(pixels)))
    fit = fit_card(seen)
    piece = camera.shoot(np.broadcast_to(linear(PIECE), (40, 40, 3)), rng)
    region = Region(fit.correct(to_linear_xyz(piece, Encoding())), find_clipped(piece))
    return read_region(region, fit, 0.2, uneven_pct=0.0), fit.report()


def printed(rng: np.random.Generator) -> dict[str, np.ndarray]:
    return {name: linear(lab) * stray(rng, PRINT) for name, lab in NINE.items()}


def test_what_the_card_has_wrong_alike_in_both_cancels() -> None:
    rng = np.random.default_rng(1)
    card, camera = printed(rng), some_camera(rng)
    one, two = (photograph(camera, card, rng) for _ in range(2))
    u, shared_out = u_of_change(one, two, PIECE)
    assert shared_out
    assert u < one[0].u / 2
    assert float(delta_e_2000(one[0].colours[0].lab, two[0].colours[0].lab)) <= u


def test_unchanged_pieces_stay_within_it_nine_times_in_ten() -> None:
    rng = np.random.default_rng(2)
    within = []
    for _ in range(REPEATS):
        card, camera = printed(rng), some_camera(rng)
        again = replace(camera, gain=tuple(g * np.exp(rng.normal(0, 0.1)) for g in camera.gain))
        one, two = photograph(camera, card, rng), photograph(again, card, rng)
        if one[1].rejected or two[1].rejected:
            continue
        u, _ = u_of_change(one, two, PIECE)
        apart = float(delta_e_2000(one[0].colours[0].lab, two[0].colours[0].lab))
        within.append(apart <= u)
    assert len(within) > 0.8 * REPEATS
    assert NINE_IN_TEN[0] <= np.mean(within) <= NINE_IN_TEN[1]


def test_without_the_same_card_nothing_is_let_go() -> None:
    rng = np.random.default_rng(3)
    camera = some_camera(rng)
    (reading, report), other = photograph(camera, printed(rng), rng), CardReport("grey steps", 1.0)
    u, shared_out = u_of_change((reading, report), (reading, other), PIECE)
    assert not shared_out
    assert u == pytest.approx(reading.u)
    assert not u_of_change((reading, None), (reading, report), PIECE)[1]
    assert not u_of_change((replace(reading, u_own=None), report), (reading, report), PIECE)[1]


def test_two_of_one_picture_differ_by_their_own_noise_alone() -> None:
    rng = np.random.default_rng(4)
    reading, report = photograph(some_camera(rng), printed(rng), rng)
    u, _ = u_of_change((reading, report), (reading, report), PIECE)
    assert reading.u_own is not None
    assert u == pytest.approx(np.sqrt(2) * reading.u_own)


def test_unlike_cameras_are_told_by_the_card() -> None:
    rng = np.random.default_rng(5)
    card = printed(rng)
    plain = Camera(noise=1.0)
    odd = Camera(crosstalk=np.array([[0.6, 0.4, 0.0], [0.1, 0.9, 0.0], [0.0, 0.5, 0.5]]), noise=1.0,
                 contrast=0.5)  # fmt: skip
    (_, one), (_, two), (_, other) = (photograph(c, card, rng) for c in (plain, plain, odd))
    assert say_unlike(one, two) == ""
    stray_between = stray_of_card(one, other)
    assert stray_between is not None
    assert (say_unlike(one, other) != "") == (stray_between > 2.3)


def packed(patches: Iterable[tuple[str, Lab]]) -> str:
    names, labs = zip(*patches, strict=True)
    return pack_left_out(names, np.array(labs))


def test_a_refused_card_or_too_few_patches_tell_nothing() -> None:
    few = CardReport("grey steps", 1.0, guessed=packed(list(GREYS.items())[: LEAST_PATCHES - 1]))
    assert stray_of_card(few, few) is None
    whole = CardReport("colour patches", 1.0, guessed=packed(NINE.items()))
    assert stray_of_card(whole, whole) == 0.0
    assert stray_of_card(whole, replace(whole, rejected="covered")) is None
    assert say_unlike(None, whole) == ""


def test_a_card_shaded_in_one_of_two_pictures_is_owned_to_by_the_paper() -> None:
    """The card in nine tenths of the light: the piece comes out lighter by what Y / 0.9 makes."""
    rng = np.random.default_rng(4)
    card, camera = printed(rng), some_camera(rng)
    one, two = (photograph(camera, card, rng) for _ in range(2))
    paper = xyz_to_lab(lab_to_xyz((94.0, 0.0, -3.0)) / 0.9)
    lit = replace(one[1], paper=(94.0, 0.0, -3.0))
    shaded = replace(two[1], paper=tuple(float(v) for v in paper))
    lighter = xyz_to_lab(lab_to_xyz(PIECE) / 0.9)
    shift = float(delta_e_2000(np.array(PIECE), lighter))
    assert stray_of_paper(lit, shaded, PIECE) == pytest.approx(shift, abs=1e-6)
    assert u_of_change((one[0], lit), (two[0], shaded), PIECE)[0] >= shift > 2.0
    assert stray_of_paper(lit, one[1], PIECE) == 0.0
    alike = u_of_change((one[0], lit), (two[0], lit), PIECE)
    assert alike == u_of_change(one, (two[0], one[1]), PIECE)
