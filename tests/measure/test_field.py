"""The light on a sheet, told from its white margin: known fields come back."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.arrays import Floats
from builder.measure.field import LightField, fit_field

PAPER = np.array([0.72, 0.70, 0.60])
GRAIN = 0.004  # of the light, from cell to cell
CLOSE = 0.003  # of the light: less than a tenth of L*
RNG_SEED = 3


def margin_of_a4() -> Floats:
    """Cells of 4 mm round a place of 120 × 160 mm and a slot."""
    at = np.stack(np.meshgrid(np.arange(5, 295, 4.0), np.arange(5, 208, 4.0)), axis=-1)
    at = at.reshape(-1, 2)
    x, y = at.T
    place = (x > 38) & (x < 162) & (y > 23) & (y < 187)
    slot = (x > 182) & (x < 282) & (y > 32) & (y < 182)
    return np.asarray(at[~place & ~slot])


def lamps(at: Floats, fall: float = 0.25) -> Floats:
    """A lamp at each side, the left nearer: what falls on places (n, 2), about 1."""
    x, y = np.moveaxis(at / 100 - (1.4, 1.0), -1, 0)
    return np.asarray(np.exp(-fall * (0.25 * x + 0.12 * x * x + 0.08 * y * y + 0.05 * x * y)))


def see(at: Floats, light: Floats) -> Floats:
    rng = np.random.default_rng(RNG_SEED)
    grain = np.exp(rng.normal(0, GRAIN, (len(at), 1)))
    return np.asarray(PAPER * light[:, None] * grain)


def found_in(at: Floats, rgb: Floats) -> LightField:
    field = fit_field(at, rgb)
    assert field is not None
    return field


@pytest.mark.parametrize("fall", [0.0, 0.25, 1.0])
def test_uneven_light_is_found_where_piece_and_card_lie_too(fall: float) -> None:
    at = margin_of_a4()
    field = found_in(at, see(at, lamps(at, fall)))
    inside = np.array([(60.0, 40.0), (100.0, 105.0), (140.0, 170.0), (230.0, 80.0)])
    ratio = field.white * field.at(inside) / (PAPER * lamps(inside, fall)[:, None])
    assert np.abs(ratio - 1).max() < CLOSE
    true = 100 * (1 - lamps(at, fall).min() / lamps(at, fall).max())
    assert field.uneven_pct == pytest.approx(true, abs=1.0)
    assert field.left_pct < 0.5
    assert field.tint < 0.3


def test_a_shadow_and_a_stain_do_not_bend_the_field() -> None:
    at = margin_of_a4()
    light = lamps(at)
    shaded = (at[:, 0] > 200) & (at[:, 1] < 30)
    light = np.where(shaded, 0.6 * light, light)
    stained = np.hypot(*(at - (170.0, 150.0)).T) < 12
    light = np.where(stained, 0.8 * light, light)
    field = found_in(at, see(at, light))
    middle = np.array([(100.0, 105.0), (230.0, 80.0)])
    ratio = field.white * field.at(middle) / (PAPER * lamps(middle)[:, None])
    assert np.abs(ratio - 1).max() < 3 * CLOSE


def test_lamps_of_two_kinds_show_as_a_tint() -> None:
    at = margin_of_a4()
    side = at[:, :1] / 297
    warm, cold = np.array([1.15, 1.0, 0.75]), np.array([0.95, 1.0, 1.1])
    rgb = see(at, lamps(at)) * (warm * (1 - side) + cold * side)
    assert found_in(at, rgb * 0.8).tint > 10


def test_light_that_no_smooth_field_describes_is_owned_to() -> None:
    at = margin_of_a4()
    blinds = 1 + 0.08 * np.sign(np.sin(at[:, 1] / 12))
    field = found_in(at, see(at, lamps(at) * blinds * 0.8))
    assert field.left_pct > 1.5


def test_paper_that_ran_out_of_scale_tells_nothing() -> None:
    at = margin_of_a4()
    assert fit_field(at, np.full((len(at), 3), 0.99)) is None
    assert fit_field(at[:10], see(at[:10], lamps(at[:10]))) is None
    assert fit_field(np.empty((0, 2)), np.empty((0, 3))) is None


def test_brought_to_a_place_the_light_is_one_there() -> None:
    at = margin_of_a4()
    card = np.array([(210.0, 60.0), (250.0, 100.0)])
    field = found_in(at, see(at, lamps(at))).brought_to(card)
    assert np.log(field.at(card)).mean(axis=0) == pytest.approx(np.zeros(3), abs=1e-9)
    paper = field.white * field.at(at[:5])
    assert np.abs(paper / (PAPER * lamps(at[:5])[:, None]) - 1).max() < 3 * GRAIN
