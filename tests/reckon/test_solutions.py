"""Densities, molar masses and strengths against published tables and the trade's worked sums."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.reckon.densities import DENSITIES, find_density
from builder.reckon.molar import find_molar_mass
from builder.reckon.solutions import (
    find_active_mass,
    find_molarity,
    find_peroxide_g_per_l,
    find_water_to_add,
)
from builder.reckon.strengths import NH4OH_PER_NH3, read_ways
from builder.reckon.substances import ACETIC_ACID, AMMONIA, PEROXIDE, SALT, find_substance
from builder.records.quantities import read_strength
from tests.reckon.tables import rows

LAST_FIGURE = 0.011  # printed to 0.01, from atomic weights of other years
TRADE = 0.005  # worked by hand to three figures with an older density


@pytest.mark.parametrize("row", rows("molar_masses.csv"), ids=lambda row: row["formula"])
def test_a_formula_weighs_what_is_published(row: dict[str, str]) -> None:
    published = float(row["g_per_mol"])
    assert find_molar_mass(row["formula"]) == pytest.approx(published, abs=LAST_FIGURE)


def test_copper_sulphate_without_its_water_is_0_6392_of_it() -> None:
    # ratio of the two published masses, DERIVED
    ratio = find_molar_mass("CuSO4") / find_molar_mass("CuSO4·5H2O")
    assert ratio == pytest.approx(0.6392, abs=0.0001)


@pytest.mark.parametrize("formula", ["", "Xx", "CuSO4·", "salt", "2"])
def test_what_is_no_formula_is_refused(formula: str) -> None:
    with pytest.raises(ValueError):
        find_molar_mass(formula)


@pytest.mark.parametrize("row", rows("nh3_density.csv"), ids=lambda row: f"{row['percent']} %")
def test_ammonia_is_as_dense_as_published(row: dict[str, str]) -> None:
    density = find_density("NH3", float(row["percent"]))
    published, within = float(row["g_per_ml"]), float(row["within"])
    assert density == pytest.approx(published, abs=within), row["source"]


@pytest.mark.parametrize("substance", DENSITIES)
@given(percent=st.floats(0, 100))
def test_a_density_lies_between_the_rows_of_its_table(substance: str, percent: float) -> None:
    table = DENSITIES[substance].rows
    density = find_density(substance, percent)
    if percent > table[-1][0]:
        assert density is None
    else:
        around = [row for row in table if row[0] >= percent][:1]
        around += [row for row in table if row[0] <= percent][-1:]
        assert density is not None
        assert min(d for _, d in around) - 1e-9 <= density <= max(d for _, d in around) + 1e-9


@pytest.mark.parametrize(("percent", "grams"), [(9.5, 2.74), (5, 1.47), (35, 9.24)])
def test_thirty_millilitres_of_ammonia_hold_what_the_trade_works_out(
    percent: float, grams: float
) -> None:
    # the trade's worked sum, by the density of an 1880 table: CALC
    density = find_density("NH3", percent)
    assert density is not None
    assert find_active_mass(30, density, percent) == pytest.approx(grams, rel=TRADE)


@pytest.mark.parametrize(
    ("percent", "molar", "within"),
    [
        (9.5, 5.4, 0.05),  # CALC
        (35, 18.1, 0.05),  # a laboratory's reagent table; a pharmacopoeia says 18: SEEN
        (25, 13.3, 0.01),  # 13.308 by the correlation; 13.4 in a reagent table: SEEN
        (28, 14.75, 0.05),  # 14.5 in one reagent table and 14.8 in another: SEEN
        (10, 5.630, 0.002),  # SEEN (computed)
    ],
)
def test_the_molarity_of_ammonia_is_the_published_one(
    percent: float, molar: float, within: float
) -> None:
    density = find_density("NH3", percent)
    assert density is not None
    assert find_molarity(density, percent, find_molar_mass("NH3")) == pytest.approx(
        molar, abs=within
    )


def test_a_bottle_said_as_hydroxide_is_the_same_bottle() -> None:
    # a reagent-grade composition table: 28.0 % NH3 = 56.6 % "NH4OH", which its makers round: SEEN.
    # 35.046/17.031 = 2.058: DERIVED
    assert pytest.approx(2.058, abs=0.001) == NH4OH_PER_NH3
    assert pytest.approx(56.6, rel=0.02) == 28.0 * NH4OH_PER_NH3
    (said,) = read_ways("57.6 % NH4OH", AMMONIA)
    (plain,) = read_ways("28 % NH3", AMMONIA)
    assert said.percent == pytest.approx(plain.percent, rel=0.001)
    value = read_strength("56.6 % NH4OH")
    assert value is not None and value.number == pytest.approx(27.5, abs=0.05)


def test_ammonium_hydroxide_in_bare_per_cent_stays_ambiguous() -> None:
    ways = read_ways("28 %", AMMONIA, "ammonium hydroxide")
    assert [round(way.percent or 0, 1) for way in ways] == [28.0, 13.6]
    assert all(way.assumed for way in ways)


def test_ammonia_of_more_than_can_be_is_read_as_hydroxide() -> None:
    (way,) = read_ways("56 %", AMMONIA, "ammonia")
    assert way.percent == pytest.approx(27.2, abs=0.05)
    assert "NH4OH" in way.assumed


@pytest.mark.parametrize(
    ("volumes", "g_per_l"),
    [
        (10, 30.3),  # 30.30 and 30.35 g/l in two schoolbook workings: SEEN
        (20, 60.7),  # twice that: DERIVED
        (30, 91.1),  # a schoolbook's answer: SEEN
    ],
)
def test_volumes_of_peroxide_are_litres_of_oxygen(volumes: float, g_per_l: float) -> None:
    found = find_peroxide_g_per_l(volumes, find_molar_mass("H2O2"))
    assert found == pytest.approx(g_per_l, rel=0.003)
    (way,) = read_ways(f"{volumes} vol", PEROXIDE)
    assert way.g_per_l == found
    # "6 % = 20 vol": general chemistry, MEMORY
    assert way.percent == pytest.approx(0.3 * volumes, rel=0.03)


def test_vinegar_of_five_per_cent_is_about_0_83_molar() -> None:
    # general chemistry, MEMORY: about 0.83 mol/l, reckoned by weight in volume
    (way,) = read_ways("5 %", ACETIC_ACID)
    assert way.g_per_l / find_molar_mass("CH3COOH") == pytest.approx(0.83, abs=0.01)


@pytest.mark.parametrize(
    ("written", "g_per_l"),
    [("5 % w/v", 50), ("50 g/l", 50), ("50 g per litre", 50), ("5 % w/w", 50.26)],
)
def test_weight_in_weight_and_weight_in_volume_differ(written: str, g_per_l: float) -> None:
    # 5 % acetic acid is 1.0052 g/ml at 20 °C: an engineer's handbook table, SEEN
    (way,) = read_ways(written, ACETIC_ACID)
    assert way.g_per_l == pytest.approx(g_per_l, abs=0.01)


@pytest.mark.parametrize(
    "written", ["5 % v/v", "5 % by volume", "strong", "", "5", "20 vol", "-3 %"]
)
def test_a_strength_that_says_nothing_of_weight_is_not_reckoned(written: str) -> None:
    assert read_ways(written, ACETIC_ACID) == ()


def test_a_dry_salt_by_weight_has_no_litre_to_go_by() -> None:
    assert read_ways("10 % w/w", SALT) == ()


@given(st.floats(1, 500), st.floats(0.1, 100), st.floats(0.01, 1))
def test_dilution_keeps_what_acts(grams: float, percent: float, part: float) -> None:
    # m₁w₁ = m₂w₂
    wanted = percent * part
    water = find_water_to_add(grams, percent, wanted)
    assert (grams + water) * wanted == pytest.approx(grams * percent, rel=1e-9)


@pytest.mark.parametrize("wanted", [0, -1, 10.1])
def test_water_makes_nothing_stronger(wanted: float) -> None:
    with pytest.raises(ValueError):
        find_water_to_add(100, 10, wanted)


@given(st.floats(0.1, 34))
def test_per_cent_by_weight_and_grams_a_litre_lead_to_each_other(percent: float) -> None:
    (by_weight,) = read_ways(f"{percent:.3f} % w/w", AMMONIA)
    (in_volume,) = read_ways(f"{by_weight.g_per_l:.6f} g/l", AMMONIA)
    assert in_volume.percent == pytest.approx(by_weight.percent, rel=1e-4)


@pytest.mark.parametrize(
    ("name", "means", "forms"),
    [
        ("malt vinegar", "acetic acid", 1),
        ("Household ammonia", "NH3", 1),
        ("baker's ammonia", "ammonium carbonate", 1),
        ("copper sulphate", "copper sulphate", 2),
        ("Copper(II) sulfate", "copper sulphate", 2),
        ("copper sulphate, anhydrous", "copper sulphate", 1),
        ("bluestone", "copper sulphate", 1),
        ("CuSO4.5H2O", "copper sulphate", 1),
        ("Cu(NO3)2.2.5H2O", "copper nitrate", 1),
        ("cupric nitrate", "copper nitrate", 2),
        ("fine sea salt", "sodium chloride", 1),
    ],
)
def test_a_thing_is_known_by_its_names(name: str, means: str, forms: int) -> None:
    found = find_substance(name)
    assert found is not None
    assert (found.substance.name, len(found.forms)) == (means, forms)


@pytest.mark.parametrize(
    "name", ["Epsom salt", "liver of sulphur", "water", "", "salt monohydrate", "ammonia free soap"]
)
def test_what_is_no_one_substance_is_not_guessed(name: str) -> None:
    assert find_substance(name) is None
