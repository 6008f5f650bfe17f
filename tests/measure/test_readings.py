"""Readings from end to end: camera, card, surface, and whether u keeps its word."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from builder.measure.arrays import Bytes, Floats
from builder.measure.cards import CardFit
from builder.measure.decode import find_clipped, to_linear_xyz
from builder.measure.difference import delta_e_2000
from builder.measure.noise import U_NO_CARD, u_of_difference
from builder.measure.readings import MOSTLY_LOST, NO_CARD, Region, read_region
from builder.measure.spaces import DISPLAY_P3, lab_to_xyz
from builder.records.photo import Encoding, Evidence, Lab, Reading
from tests.measure.cameras import (
    GREYS,
    NINE,
    Camera,
    Random,
    fit_to,
    linear,
    some_camera,
    stray,
    warm,
    wheel,
)
from tests.measure.surfaces import PX_PER_MM, clouds, draw, mottle, streaks

SHARE = 0.05
SCALE = 1 / PX_PER_MM
# Of 320 readings a true 0.90 would show as 0.87 to 0.93; between these the promise is kept well
# enough and not bought by claiming too little.
KEPT = (0.85, 0.97)
REPEATS = 320
# How far one surface strays from its L*a*b* before a phone, a channel.  With it a patch left out of
# the fit comes out about 1.5 ΔE00 off.  Common practice, no source.
UNLIKE = 0.015


def read(
    rgb: Floats, camera: Camera, fit: CardFit | None, rng: Random, scale: float | None = SCALE
) -> Reading:
    pixels = camera.shoot(rgb, rng)
    return read_region(seen_in(pixels, fit), fit, scale)


def seen_in(pixels: Bytes, fit: CardFit | None) -> Region:
    xyz = to_linear_xyz(pixels, Encoding())
    return Region(fit.correct(xyz) if fit else xyz, find_clipped(pixels))


def even(lab: Lab, shape: tuple[int, int] = (60, 60)) -> Floats:
    return np.broadcast_to(linear(lab), (*shape, 3))


def test_a_reading_holds_what_was_there() -> None:
    rng = np.random.default_rng(1)
    camera = some_camera(rng)
    surface = draw((63, -24, -3), (40, 13, 16), 0.76, mottle, rng)
    found = read(surface.rgb, camera, fit_to(camera, rng), rng)
    assert [colour.share for colour in found.colours] == pytest.approx([0.76, 0.24], abs=SHARE)
    assert float(delta_e_2000(found.colours[0].lab, (63, -24, -3))) <= found.u
    assert (found.evidence, found.withheld, found.flags) == (Evidence.GREY, "", ())
    assert (found.glare_pct, found.clipped_pct) == (0, 0)
    assert found.colours[1].lab[0] < found.mean[0] < found.colours[0].lab[0]


@pytest.mark.parametrize("seed", range(6))
def test_colours_stay_within_u_and_shares_within_five_points(seed: int) -> None:
    rng = np.random.default_rng(100 + seed)
    camera = warm(some_camera(rng)) if seed % 3 == 2 else some_camera(rng)
    surface = draw((34, 10, 12), (60, 19, 23), 0.58, streaks, rng)
    found = read(surface.rgb, camera, fit_to(camera, rng), rng)
    assert float(delta_e_2000(found.colours[0].lab, (34, 10, 12))) <= found.u
    assert found.colours[0].share == pytest.approx(0.58, abs=SHARE)


PIECES: list[Lab] = [
    (44, 14, 19),
    (33, 10, 12),
    (63, -24, -3),
    (49, -21, 3),
    (40, 21, 32),
    (37, 4, -27),
    (42, 30, -8),
    (74, -1, 2),
    (69, 6, 31),
    (26, 4, 4),
]


def read_under_uneven_light(lab: Lab, camera: Camera, fit: CardFit, rng: Random) -> Reading:
    """A piece lit otherwise than the card as far as u allows for: nine times in ten within 3 %."""
    light = 1 + rng.normal(0, 0.03 / 1.645)
    return read(even(lab, (24, 24)) * light * stray(rng, UNLIKE), camera, fit, rng)


def part_within_u(card: Mapping[str, Lab], warm_too: bool = False) -> float:
    """The part of REPEATS readings, each by another camera, that lie within their own u of the
    truth."""
    within = []
    for seed in range(REPEATS):
        rng = np.random.default_rng(10_000 + seed)
        camera = some_camera(rng)
        if warm_too and seed % 4 == 0:
            camera = warm(camera)
        fit = fit_to(camera, rng, card, unlike=UNLIKE)
        lab = PIECES[seed % len(PIECES)]
        found = read_under_uneven_light(lab, camera, fit, rng)
        if found.colours:  # a warm lamp may drown a colour: then none is claimed
            within.append(float(delta_e_2000(found.colours[0].lab, lab)) <= found.u)
    assert len(within) > 0.95 * REPEATS
    return float(np.mean(within))


def test_ninety_in_a_hundred_readings_stay_within_u_with_a_card_of_nine() -> None:
    assert KEPT[0] <= part_within_u(NINE, warm_too=True) <= KEPT[1]


def test_ninety_in_a_hundred_readings_stay_within_u_with_a_target() -> None:
    assert KEPT[0] <= part_within_u(wheel()) <= KEPT[1]


def test_repeats_by_one_camera_differ_by_less_than_u() -> None:
    within = []
    for seed in range(150):
        rng = np.random.default_rng(20_000 + seed)
        camera, lab = some_camera(rng), PIECES[seed % len(PIECES)]
        pair = []
        for _ in range(2):
            fit = fit_to(camera, rng, unlike=UNLIKE)
            pair.append(read_under_uneven_light(lab, camera, fit, rng))
        apart = float(delta_e_2000(pair[0].colours[0].lab, pair[1].colours[0].lab))
        within.append(apart <= u_of_difference(pair[0].u, pair[1].u))
    assert np.mean(within) >= KEPT[0]


def test_without_a_card_nothing_is_claimed() -> None:
    rng = np.random.default_rng(2)
    found = read(even((44, 14, 19)), Camera(noise=2.0), None, rng)
    assert (found.evidence, found.withheld) == (Evidence.NONE, NO_CARD)
    assert found.u >= U_NO_CARD


def test_a_rejected_card_s_reason_is_the_reading_s() -> None:
    found = read(
        even((44, 14, 19)),
        Camera(),
        CardFit("grey steps", rejected="No."),
        np.random.default_rng(2),
    )
    assert (found.evidence, found.withheld) == (Evidence.NONE, "No.")


def test_greys_alone_are_evidence_of_grey_with_a_wider_u() -> None:
    rng = np.random.default_rng(3)
    camera = some_camera(rng)
    found = read(even((44, 14, 19)), camera, fit_to(camera, rng, GREYS), rng)
    assert found.evidence is Evidence.GREY
    assert found.u >= 4.0


def test_glare_and_clipping_are_left_out_counted_and_widen_u() -> None:
    rng = np.random.default_rng(4)
    camera = Camera(noise=2.0)
    fit = fit_to(camera, rng)
    rgb = even((33, 10, 12), (100, 100)).copy()
    clean = read(rgb, camera, fit, rng)
    rgb[20:30, 20:60] += 0.55  # a lamp, mirrored
    rgb[60:70, 20:40] = 1.5  # and one that blows out
    found = read(rgb, camera, fit, rng)
    assert found.glare_pct == pytest.approx(4.0, abs=0.2)
    assert found.clipped_pct == pytest.approx(2.0, abs=0.2)
    assert float(delta_e_2000(found.colours[0].lab, (33, 10, 12))) < 0.3
    assert len(found.colours) == 1
    assert found.u > clean.u + 2
    assert found.flags == ("Doubtful: 4 % of the area is glare.",)


def test_a_piece_mostly_clipped_is_withheld() -> None:
    rng = np.random.default_rng(5)
    rgb = even((44, 14, 19), (60, 60)).copy()
    rgb[:45] = 3.0
    found = read(rgb, Camera(), fit_to(Camera(), rng), rng)
    assert found.withheld == MOSTLY_LOST
    assert found.clipped_pct == pytest.approx(75)


def test_a_piece_all_clipped_or_of_no_size_gives_no_colour() -> None:
    rng = np.random.default_rng(5)
    for shape in ((30, 30), (0, 30)):
        found = read(even((200, 0, 0), shape), Camera(), fit_to(Camera(), rng), rng)
        assert (found.colours, found.mean, found.withheld) == ((), (0.0, 0.0, 0.0), MOSTLY_LOST)


def test_mottle_grows_with_the_pattern_and_says_when_its_scale_is_a_guess() -> None:
    rng = np.random.default_rng(6)
    camera = Camera(noise=2.0)
    fit = fit_to(camera, rng)
    flat = read(even((44, 14, 19), (200, 200)), camera, fit, rng)
    rough = even((44, 14, 19), (200, 200)) * np.exp(0.2 * clouds((200, 200), 3, rng))[..., None]
    marked = read(rough, camera, fit, rng)
    assert flat.mottle < 0.5 < marked.mottle
    guessed = read(rough, camera, fit, rng, scale=None)
    assert guessed.flags == ("Scale unknown: mottle is told over a fiftieth of the longer side.",)
    assert marked.flags == ()


def test_the_zone_s_name_goes_with_its_reading() -> None:
    pixels = Camera().shoot(even((44, 14, 19), (20, 20)), np.random.default_rng(7))
    assert read_region(seen_in(pixels, None), None, SCALE, "left").zone == "left"


def test_a_colour_at_the_edge_of_srgb_is_not_clipped_on_the_way() -> None:
    # Verdigris outside sRGB in a Display P3 picture: red there is negative in sRGB.
    lab: Lab = (62.0, -42.0, -8.0)
    assert linear(lab).min() < -0.01
    light = DISPLAY_P3.encode(lab_to_xyz(lab) @ np.linalg.inv(DISPLAY_P3.to_xyz).T)
    pixels = np.broadcast_to(np.round(light * 255).astype(np.uint8), (30, 30, 3))
    fit = fit_to(Camera(), np.random.default_rng(8))
    xyz = fit.correct(to_linear_xyz(pixels, Encoding("display-p3")))
    found = read_region(Region(xyz, find_clipped(pixels)), fit, SCALE)
    assert float(delta_e_2000(found.colours[0].lab, lab)) < 0.5


def test_the_same_pixels_read_the_same_twice() -> None:
    rng = np.random.default_rng(9)
    surface = draw((44, 14, 19), (58, 20, 24), 0.8, streaks, rng)
    pixels = Camera(noise=2.0).shoot(surface.rgb, rng)
    fit = fit_to(Camera(noise=2.0), np.random.default_rng(10))
    region = seen_in(pixels, fit)
    assert read_region(region, fit, SCALE) == read_region(region, fit, SCALE)


def test_what_is_not_of_the_piece_counts_for_nothing() -> None:
    rng = np.random.default_rng(11)
    camera = Camera()
    fit = fit_to(camera, rng)
    surface = even((44, 14, 19), (120, 120)).copy()
    inside = np.zeros((120, 120), dtype=np.bool_)
    inside[20:100, 20:100] = True
    surface[~inside] = linear((95, 0, -1))
    rim = inside.copy()
    rim[30:90, 30:90] = False
    whole = seen_in(camera.shoot(surface, rng), fit)
    found = read_region(replace(whole, inside=inside, rim=rim, centre=inside & ~rim), fit, SCALE)
    assert [colour.share for colour in found.colours] == [1.0]
    for lab in (found.colours[0].lab, found.mean, found.edge, found.centre):
        assert lab is not None
        assert float(delta_e_2000(lab, (44, 14, 19))) < found.u


def test_an_outline_with_nothing_in_it_gives_no_colour() -> None:
    pixels = Camera().shoot(even((44, 14, 19), (20, 20)), np.random.default_rng(12))
    nothing = np.zeros((20, 20), dtype=np.bool_)
    assert read_region(replace(seen_in(pixels, None), inside=nothing), None, SCALE).colours == ()
