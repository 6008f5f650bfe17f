"""The benchmark's physics is what it says it is."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from builder.records.jig import A4
from tests.benchmarks.cameras import matrix_of, responses, see_raw
from tests.benchmarks.cases import change_piece, draw_group
from tests.benchmarks.spectra import NM, list_lamps, make_surface, target_patches, to_lab
from tests.benchmarks.views import SIZE, View
from tests.reference import colour

SAME_LAB = 0.05  # interpolating five nanometres straight, against the reference library's way
WHITE = 1e-9  # rounding alone


@pytest.mark.parametrize("patch", range(24))
def test_truths_are_those_of_the_reference_library(patch: int) -> None:
    """Source: colour-science's own integration, CIE 15 by ASTM E308."""
    sd = list(colour.SDS_COLOURCHECKERS["ISO 17321-1"].values())[patch]
    d65 = colour.SDS_ILLUMINANTS["D65"]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns that it brings spectra to one grid
        xyz, white = (
            colour.sd_to_XYZ(one, illuminant=d65) / 100 for one in (sd, colour.sd_ones(sd.shape))
        )
    lab = colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(white))
    assert np.abs(to_lab(target_patches()[patch]) - lab).max() < SAME_LAB


def test_a_made_up_surface_has_its_colour_and_another_under_another_lamp() -> None:
    rng = np.random.default_rng(1)
    one, two = (make_surface((44.0, 14.0, 19.0), rng.normal(0, 1, 12)) for _ in range(2))
    assert np.abs(to_lab(one) - to_lab(two)).max() < SAME_LAB
    lamp = next(lamp for lamp in list_lamps() if lamp.name == "FL11")
    assert np.abs(see_raw(one - two, lamp, responses()[0])).max() > 10 * WHITE


@pytest.mark.parametrize("sensor", range(3))
def test_a_camera_in_its_own_daylight_keeps_white_white(sensor: int) -> None:
    assert np.abs(matrix_of(sensor).sum(axis=1) - 1).max() < WHITE


def test_lamps_reach_from_warm_to_cool_and_from_good_to_poor() -> None:
    lamps = list_lamps()
    assert min(lamp.kelvin for lamp in lamps) < 2750 and max(lamp.kelvin for lamp in lamps) > 6400
    assert any(lamp.good for lamp in lamps) and any(lamp.rendering < 60 for lamp in lamps)
    assert all(lamp.power.shape == NM.shape for lamp in lamps)


def test_a_bent_and_tilted_view_leads_back_to_the_sheet() -> None:
    view = View(A4, tilt=20, towards=70, turn=5, bend=0.02)
    mm = np.array([(0.0, 0.0), (A4.width, 0.0), (150.0, 100.0), (A4.width, A4.height)])
    px = view.to_picture(mm)
    assert ((px > 0) & (px < SIZE)).all()
    assert np.abs(view.to_sheet(px) - mm).max() < 1e-3  # a thousandth of a millimetre


def test_a_changed_piece_has_changed_by_what_was_asked() -> None:
    group = draw_group(0)
    for by in (1.0, 4.0, 10.0):
        changed = change_piece(group.piece, group.way, by)
        apart = colour.delta_E(
            np.array(changed.true), np.array(group.piece.true), method="CIE 2000"
        )
        assert apart == pytest.approx(by, rel=0.05)
