"""The ammonia box against the trade's worked values, for comparing boxes, not for safety."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.reckon.boxes import (
    HENRY,
    Box,
    find_dose,
    find_henry,
    find_pressure,
    find_share_in_air,
)
from builder.reckon.densities import find_density

#: Worked in the trade's notes with 60 mol/(l atm) and an older density, to two figures: CALC.
TWO_FIGURES = 0.025


def box(ml: float = 30, percent: float = 9.5, celsius: float = 25, litres: float = 5) -> Box:
    density = find_density("NH3", percent)
    assert density is not None
    return Box(litres, ml, percent, density, celsius)


@pytest.mark.parametrize(
    ("ml", "atm"),
    [(2, 0.033), (5, 0.053), (10, 0.067), (15, 0.073), (30, 0.080), (60, 0.085), (100, 0.087)],
)
def test_above_ten_millilitres_in_five_litres_more_hardly_matters(ml: float, atm: float) -> None:
    assert find_pressure(box(ml)) == pytest.approx(atm, rel=TWO_FIGURES)


@pytest.mark.parametrize(("percent", "atm"), [(5, 0.043), (9.5, 0.080), (35, 0.27)])
def test_strength_matters(percent: float, atm: float) -> None:
    assert find_pressure(box(percent=percent)) == pytest.approx(atm, rel=TWO_FIGURES)


@pytest.mark.parametrize(
    ("celsius", "atm"), [(10, 0.040), (15, 0.051), (20, 0.065), (25, 0.080), (30, 0.099)]
)
def test_warmth_matters(celsius: float, atm: float) -> None:
    assert find_pressure(box(celsius=celsius)) == pytest.approx(atm, rel=TWO_FIGURES)


@pytest.mark.parametrize(
    ("celsius", "henry"),
    # DERIVED from Sander, Atmos. Chem. Phys. 23:10901 (2023): 0.59 mol/(m³ Pa), 4200 K, SEEN
    [(10, 1.244), (20, 0.750), (25, 0.590), (30, 0.468)],
)
def test_henrys_constant_falls_with_warmth_as_published(celsius: float, henry: float) -> None:
    assert find_henry(celsius) == pytest.approx(henry, abs=0.0006)


def test_henrys_constant_lies_among_the_sound_ones() -> None:
    # 0.55 to 0.61 in the same compilation; 0.552 from Dasgupta and Dong 1986: SEEN
    assert 0.55 <= HENRY <= 0.61


@pytest.mark.parametrize(("celsius", "pascal"), [(10, 804), (20, 1333), (25, 1695), (30, 2138)])
def test_over_one_mole_a_litre_stands_the_published_pressure(celsius: float, pascal: float) -> None:
    # DERIVED, dilute limit
    assert 1000 / find_henry(celsius) == pytest.approx(pascal, rel=0.001)


def test_about_a_tenth_of_the_ammonia_is_in_the_air() -> None:
    # CALC
    assert find_share_in_air(box()) == pytest.approx(0.10, abs=0.005)


def test_the_dose_is_grams_to_a_litre() -> None:
    # 2.74 g in 5 l: CALC
    assert find_dose(box()) == pytest.approx(2.74 / 5, rel=0.005)


def test_all_that_is_in_the_box_is_in_air_or_liquid() -> None:
    one = box()
    air = find_pressure(one) * 101_325 * (5e-3 - 30e-6) / (8.314462618 * 298.15)
    liquid = find_pressure(one) * 101_325 * find_henry(25) * 30e-6
    assert (air + liquid) * 17.031 == pytest.approx(find_dose(one) * 5, rel=1e-4)


def test_two_boxes_alike_in_strength_and_wetness_to_the_litre_are_alike() -> None:
    assert find_pressure(box()) == pytest.approx(find_pressure(replace(box(60), litres=10)))
