"""The outline of a piece, held against pieces drawn where we know."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import ndimage

from builder.look.insets import inset, rim_and_centre
from builder.look.outlines import NothingThereError, Outline, OutlineError, find_outline
from builder.look.regions import depth, label, share_out
from builder.records.jig import A4
from tests.look.drawn_pieces import (
    BLACK,
    BRASS,
    BROWN,
    GREEN,
    ORIGIN,
    PX,
    TIN,
    Array,
    Lying,
    Shape,
    both,
    corners_of,
    disc,
    draw_piece,
    offcut,
    plate,
    true_area,
    true_mask,
    without,
)

SIDE_MM = 0.3  # a plate's sides: a tenth of the rim of 3 mm that is left off
AREA = 0.02
BOX_MM = 0.6  # an upright box goes by single cells
COLOURS = {"black": BLACK, "brown": BROWN, "brass": BRASS, "green": GREEN, "tin": TIN}


def look(flat: Array) -> Outline:
    return find_outline(flat, PX, ORIGIN, A4)


def find(shape: Shape, colour: tuple[float, float, float], lying: Lying | None = None) -> Outline:
    return look(draw_piece(shape, colour, lying))


def side_error(found: Outline, corners: Array) -> float:
    """mm: how far the middles of the sides lie off."""
    seen = np.array(found.corners)
    return float(
        np.linalg.norm(
            (seen + np.roll(seen, -1, axis=0) - corners - np.roll(corners, -1, axis=0)) / 2, axis=1
        ).max()
    )


@pytest.mark.parametrize("colour", COLOURS.values(), ids=COLOURS.keys())
@pytest.mark.parametrize("turn", [0.0, 3.0, -8.0])
def test_a_plates_sides_are_found_in_its_own_shadow(
    colour: tuple[float, float, float], turn: float
) -> None:
    shape = plate(60, 90, turn, radius=2.0)
    found = find(shape, colour)
    assert found.form == "plate"
    assert side_error(found, corners_of(60, 90, turn)) < SIDE_MM
    assert found.size_mm == pytest.approx((60, 90), abs=SIDE_MM)
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)


@pytest.mark.parametrize(
    ("colour", "within"),
    # Where tinplate touches the line, nothing tells one grey from the other.
    [(BROWN, SIDE_MM), (BRASS, SIDE_MM), (TIN, 2 * SIDE_MM)],
    ids=["brown", "brass", "tin"],
)
def test_the_printed_outline_a_plate_lies_on_is_not_the_plate(
    colour: tuple[float, float, float], within: float
) -> None:
    found = find(plate(99, 149, 0.3), colour, Lying(shade=0.2))
    assert side_error(found, corners_of(99, 149, 0.3)) < within


@pytest.mark.parametrize("colour", COLOURS.values(), ids=COLOURS.keys())
def test_a_deep_soft_shadow_is_not_the_piece(colour: tuple[float, float, float]) -> None:
    shape = disc(70.0)
    found = find(shape, colour, Lying(shade=0.5, shade_mm=5.0))
    assert found.form == "disc"
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)
    left, top = found.corners[0]
    assert (left, top) == pytest.approx((A4.middle[0] - 35, A4.middle[1] - 35), abs=BOX_MM)


@pytest.mark.parametrize("colour", [BLACK, BRASS, TIN], ids=["black", "brass", "tin"])
def test_an_offcut_is_outlined_as_it_is(colour: tuple[float, float, float]) -> None:
    found = find(offcut, colour)
    assert found.form == "other"
    assert found.area_mm2 == pytest.approx(true_area(offcut), rel=AREA)
    wrong = found.mask ^ true_mask(offcut)
    deep = np.abs(ndimage.distance_transform_edt(true_mask(offcut))) / PX
    assert float(deep[wrong].max(initial=0)) < 1.0


@pytest.mark.parametrize("colour", [BLACK, BROWN, GREEN, BRASS], ids=["black", "brown", "green",
                                                                      "brass"])  # fmt: skip
def test_real_holes_are_left_out(colour: tuple[float, float, float]) -> None:
    x, y = A4.middle
    holes = (
        disc(3.0, (x, y - 40)), disc(8.0, (x - 18, y)), disc(14.0, (x + 12, y + 10)),
        plate(20, 5, 30, middle=(x - 5, y + 32)),
    )  # fmt: skip
    shape = without(plate(70, 100, 2.0), *holes)
    found = find(shape, colour)
    assert found.holes == len(holes)
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)
    assert found.form == "plate"
    assert any("4 holes" in sentence for sentence in found.said)


def test_a_ring_has_its_middle_left_out() -> None:
    shape = without(disc(50.0), disc(34.0))
    found = find(shape, BROWN)
    assert found.holes == 1
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)


@pytest.mark.parametrize("top", [1.0, 2.5], ids=["paper-bright", "clipped"])
def test_glare_inside_a_plate_is_no_hole(top: float) -> None:
    x0, y0 = A4.middle

    def shine(scene: Array, x: Array, y: Array) -> Array:
        glow = np.exp(-(((x - x0) / 9) ** 2) - ((y - y0) / 22) ** 2)
        return np.asarray(scene + top * glow[..., None])

    shape = plate(70, 100, 1.0)
    found = look(draw_piece(shape, BROWN, add=shine))
    assert found.holes == 0
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)
    assert any("Bright patches" in sentence for sentence in found.said)


def test_sharp_specks_of_light_brighter_than_paper_are_no_holes() -> None:
    x0, y0 = A4.middle

    def shine(scene: Array, x: Array, y: Array) -> Array:
        window = (np.abs(x - x0) < 6) & (np.abs(y - y0) < 9)
        return np.asarray(np.where(window[..., None], 1.3, scene))

    assert look(draw_piece(plate(70, 100), BLACK, add=shine)).holes == 0


def test_pale_patches_on_a_plate_are_no_holes() -> None:
    def bloom(scene: Array, x: Array, y: Array) -> Array:
        spots = np.sin(x / 4) * np.sin(y / 5) > 0.75
        inside = plate(64, 94)(x, y) > 0
        return np.asarray(np.where((spots & inside)[..., None], (0.45, 0.62, 0.58), scene))

    found = look(draw_piece(plate(70, 100), GREEN, add=bloom))
    assert found.holes == 0


def test_crumbs_beside_a_piece_are_let_go() -> None:
    rng = np.random.default_rng(5)
    spots = [(rng.uniform(50, 150), rng.uniform(162, 178)) for _ in range(30)]

    def shed(scene: Array, x: Array, y: Array) -> Array:
        for cx, cy in spots:
            scene[(np.abs(x - cx) < 0.6) & (np.abs(y - cy) < 0.5)] = BROWN
        return scene

    shape = plate(60, 90)
    found = look(draw_piece(shape, BROWN, add=shed))
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA)


def test_a_small_piece_is_still_found() -> None:
    shape = plate(12, 20, 4.0)
    found = find(shape, BROWN)
    assert found.form == "plate"
    assert side_error(found, corners_of(12, 20, 4.0)) < SIDE_MM


def test_the_piece_need_not_lie_in_the_middle() -> None:
    middle = (A4.middle[0] - 25, A4.middle[1] + 40)
    found = find(plate(50, 60, -5.0, middle=middle), GREEN)
    assert side_error(found, corners_of(50, 60, -5.0, middle)) < SIDE_MM


def test_an_empty_place_is_said_to_be_empty() -> None:
    with pytest.raises(NothingThereError, match="Nothing lies in the place"):
        look(draw_piece(None, BROWN))


@pytest.mark.parametrize("colour", [BROWN, TIN], ids=["brown", "tin"])
def test_a_piece_beyond_the_place_is_refused(colour: tuple[float, float, float]) -> None:
    middle = (A4.middle[0] + 40, A4.middle[1])
    with pytest.raises(OutlineError, match="beyond the place"):
        find(plate(60, 90, middle=middle), colour)


def test_two_pieces_are_refused() -> None:
    x, y = A4.middle
    with pytest.raises(OutlineError, match="2 things lie in the place"):
        find(both(disc(40, (x, y - 40)), plate(40, 30, middle=(x, y + 40))), BROWN)


def test_a_tiny_piece_is_refused_with_the_reason() -> None:
    with pytest.raises(OutlineError, match="too little would be left to read"):
        find(disc(6.0), BLACK)


def test_a_plate_with_a_notch_keeps_its_notch() -> None:
    x, y = A4.middle
    shape = without(plate(70, 100), plate(16, 10, middle=(x + 35, y)))
    found = find(shape, BROWN)
    assert found.area_mm2 == pytest.approx(true_area(shape), rel=AREA / 4)


def test_an_inset_leaves_the_edges_off() -> None:
    x, y = A4.middle
    shape = without(plate(60, 90), disc(10, (x, y)))
    mask = true_mask(shape)
    inner = inset(mask, PX, 3.0)
    # Against scipy's exact distance transform, less the half cell to the outline itself.
    far = (ndimage.distance_transform_edt(mask) - 0.5) / PX
    assert np.array_equal(inner, mask & (far > 3.0))


def test_rim_and_centre_lie_apart_and_at_their_depths() -> None:
    rim, centre = rim_and_centre(true_mask(plate(50, 80)), PX)
    assert not (rim & centre).any()
    # 8 % of 50 mm is 4 mm; the centre begins half way to the middle line, 12.5 mm in.
    assert np.count_nonzero(rim) / PX**2 == pytest.approx(50 * 80 - 42 * 72, rel=AREA)
    assert np.count_nonzero(centre) / PX**2 == pytest.approx(25 * 55, rel=AREA)


def test_depth_is_the_distance_to_the_outside() -> None:
    rng = np.random.default_rng(6)
    mask = ndimage.gaussian_filter(rng.standard_normal((60, 70)), 3) > 0
    padded = ndimage.distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]  # outside is outside
    assert depth(mask) == pytest.approx(padded, abs=1e-4)


def test_regions_are_those_of_scipy() -> None:
    rng = np.random.default_rng(7)
    for density in (0.1, 0.5, 0.6, 0.9):
        mask = rng.random((80, 90)) < density
        labels, count = label(mask)
        theirs, number = ndimage.label(mask)
        assert count == number
        assert len({*zip(labels.ravel().tolist(), theirs.ravel().tolist(), strict=True)}) == (
            count + bool((~mask).any())
        )


def test_floods_meet_on_the_ridge() -> None:
    height = np.abs(np.linspace(-1, 1, 41))[None].repeat(5, axis=0)
    ridge = (1 - height).astype(np.float32)
    seeds = np.zeros(ridge.shape, dtype=np.int32)
    seeds[:, 0], seeds[:, -1] = 1, 2
    shared = share_out(ridge, seeds)
    assert (shared[:, :20] == 1).all()
    assert (shared[:, 21:] == 2).all()
