"""A recipe for the tub, plate and bottle at hand: strength and wetness stay."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.reckon.costs import cost_plate
from builder.reckon.mixtures import reckon_mixture, reckon_whole
from builder.reckon.scaling import Bench, pour_from, scale_mixture
from builder.records.facts import Known
from builder.records.settings import Price
from tests.reckon.recipes import buried, fumed, piece


def amounts(shares: tuple) -> list[str]:  # type: ignore[type-arg]
    return [share.amount.replace("\u00a0", " ") for share in shares]


def test_as_it_was_every_amount_stays_as_written() -> None:
    scaled = scale_mixture(buried(), Bench())
    assert amounts(scaled.shares) == ["200 g", "120 ml", "15 g"]
    assert scaled.how == ()
    assert [share.was for share in scaled.shares] == ["", "", "noted as “2½ tsp”"]


def test_what_fills_a_tub_goes_with_its_litres() -> None:
    scaled = scale_mixture(buried(), Bench(tub=5))
    assert amounts(scaled.shares) == ["333 g", "200 ml", "25.0 g"]
    assert "× 1.67" in scaled.how[0]


def test_a_dish_grows_with_the_floor_of_the_tub_and_salt_with_the_plate() -> None:
    # (10/5)^(2/3) = 1.587: geometry; 150 cm² for 100 cm²
    scaled = scale_mixture(fumed(), Bench(tub=10, plate=(100, 150)))
    assert amounts(scaled.shares) == ["47.6 ml", "2.25 g"]
    assert len(scaled.how) == 2


def test_what_is_sprayed_goes_with_the_face_of_the_plate() -> None:
    scaled = scale_mixture(buried(method="spray"), Bench(tub=9, plate=(200, 150)))
    assert amounts(scaled.shares) == ["400 g", "240 ml", "30.0 g"]


def test_an_unknown_tub_or_plate_is_said_and_nothing_is_scaled() -> None:
    scaled = scale_mixture(buried(container={"litres": "unknown"}), Bench(tub=5))
    assert amounts(scaled.shares) == ["200 g", "120 ml", "15 g"]
    assert scaled.how == ("not scaled to the tub: the volume it was done in is not known",)
    flat = scale_mixture(fumed(size_mm=[]), Bench(plate=(100, 100)))
    assert "not scaled to the plate" in flat.how[0]


def test_a_stronger_bottle_is_thinned_by_weight() -> None:
    # m₁w₁ = m₂w₂ by hand: 30 ml of 9.5 % at 0.9607 are 28.82 g holding 2.738 g; of 35 % that is
    # 7.823 g = 8.89 ml at 0.880 g/ml, and 21.0 g of water
    scaled = scale_mixture(fumed(), Bench(bottles={"ammonia": "35 %"}))
    (ammonia, _) = scaled.shares
    assert ammonia.amount.replace("\u00a0", " ") == "8.89 ml + 21.0 g water"
    assert ammonia.strength == "35 %"
    assert any("30.0\u00a0ml of 9.5 %" in note for note in ammonia.notes)


def test_volumes_of_strong_ammonia_do_not_add_up() -> None:
    # 8.89 ml and 21.0 g water (21.1 ml at 0.9982) make 30.0 ml here only by the tables' densities
    strong = [{"name": "ammonia", "amount": "100 ml", "strength": "15 %"}]
    (share,) = scale_mixture(fumed(ingredients=strong), Bench(bottles={"ammonia": "30 %"})).shares
    ml, water = (float(part.split()[0]) for part in share.amount.replace("\u00a0", " ").split("+"))
    assert ml + water / 0.9982 != pytest.approx(100, abs=0.1)
    assert (ml * 0.8906 * 0.30) == pytest.approx(100 * 0.9406 * 0.15, rel=0.005)


def test_a_weaker_bottle_cannot_reach_the_strength() -> None:
    (share, _) = scale_mixture(fumed(), Bench(bottles={"ammonia": "5 %"})).shares
    assert share.amount.replace("\u00a0", " ") == "30.0 ml"
    assert any("cannot be reached" in note for note in share.notes)


def test_spoons_of_no_told_size_are_not_thinned() -> None:
    spoons = [{"name": "ammonia", "amount": "2 tbsp", "strength": "9.5 %"}]
    (share,) = scale_mixture(fumed(ingredients=spoons), Bench(bottles={"ammonia": "35 %"})).shares
    assert any("not adjusted" in note for note in share.notes)


def test_the_same_bottle_changes_nothing() -> None:
    (share, _) = scale_mixture(fumed(), Bench(bottles={"household ammonia": "9.5 %"})).shares
    assert "water" not in share.amount


@pytest.mark.parametrize(
    ("strength", "said"),
    [("unknown", "is unknown"), ("not measured", "is not measured"), ("", "is not recorded")],
)
def test_a_strength_that_is_not_told_says_which_absence_it_is(strength: str, said: str) -> None:
    wet = [{"name": "ammonia", "amount": "30 ml", "strength": strength}]
    (share,) = scale_mixture(fumed(ingredients=wet), Bench(bottles={"ammonia": "9.5 %"})).shares
    assert any(note.endswith(said) for note in share.notes)


def test_three_kinds_of_absence_stay_three() -> None:
    things = [
        {"name": "one"},
        {"name": "two", "amount": "unknown"},
        {"name": "three", "amount": "not measured"},
        {"name": "four", "amount": "a splash"},
    ]
    shares = scale_mixture(buried(ingredients=things), Bench(tub=6)).shares
    assert [share.known for share in shares] == [
        Known.MISSING, Known.UNKNOWN, Known.NOT_MEASURED, Known.UNREAD,
    ]  # fmt: skip
    assert [share.amount for share in shares] == ["", "", "", "a splash"]
    assert shares[3].notes == ("kept as written, not scaled",)


@pytest.mark.parametrize(
    ("name", "strength", "notes"),
    [
        ("vinegar", "", ("strength not recorded",)),
        ("vinegar", "unknown", ("strength unknown",)),
        ("vinegar", "not measured", ("strength not measured",)),
        ("vinegar", "5 %", ()),
        ("salt", "", ()),  # what is weighed out dry has none
        ("liver of sulphur", "unknown", ("strength unknown",)),
    ],
)
def test_an_absent_strength_says_which_absence_it_is(
    name: str, strength: str, notes: tuple[str, ...]
) -> None:
    things = [{"name": name, "amount": "20 g", "strength": strength}]
    (share,) = scale_mixture(buried(ingredients=things), Bench()).shares
    assert share.notes == notes


def test_a_bottle_that_is_in_no_recipe_is_named() -> None:
    assert scale_mixture(fumed(), Bench(bottles={"bleach": "5 %"})).left == ("bleach",)


def test_a_spoon_stays_a_range_when_scaled() -> None:
    spoon = [{"name": "salt", "amount": "1 tsp"}]
    (share,) = scale_mixture(buried(ingredients=spoon), Bench(tub=6)).shares
    assert share.amount == "9.86 to 11.8\u00a0ml"


PRICES = (
    Price("copper sheet", 0.12, "cm2"),
    Price("vinegar", 0.002, "ml"),
    Price("salt", 0.001, "g"),
    Price("wax", 0.3, "coat"),
    Price("gloves", 0.2, "plate"),
)


def test_a_plate_costs_its_metal_its_chemicals_its_coats_and_its_gloves() -> None:
    # by hand: 150 × 0.12 + 120 × 0.002 + 15 × 0.001 + 2 × 0.3 + 0.2 = 19.055
    cost = cost_plate(buried(sealant={"kind": "hard wax", "coats": "2"}), PRICES)
    assert cost is not None
    assert cost.total.low == cost.total.high == pytest.approx(19.055)
    assert cost.unpriced == ("beech sawdust",)


def test_what_has_no_price_or_no_amount_is_named() -> None:
    cost = cost_plate(buried(size_mm=[]), PRICES)
    assert cost is not None and "copper" in cost.unpriced
    assert cost_plate(piece(), ()) is None


def test_a_bottle_is_known_by_its_own_name_before_a_shorter_one() -> None:
    bench = Bench(bottles={"vinegar": "6 %", "malt vinegar": "10 %"})
    poured = pour_from(buried(), bench)
    assert [item.strength.written for item in poured.ingredients] == ["", "10 %", ""]
    assert scale_mixture(buried(), bench).left == ("vinegar",)


TEXTS = st.sampled_from(
    ["", "0 %", "5 %", "100 %", "101 %", "20 vol", "0 g/l", "999999999 g/l", "28 % NH4OH",
     "unknown", "0 ml", "1 tsp", "999999999 l", "0.000000001 g", "a splash", "3 drops", "-1 ml"]
)  # fmt: skip
NAMES = st.sampled_from(["ammonia", "vinegar", "peroxide", "copper sulphate", "salt", "water", ""])
THINGS = st.lists(st.fixed_dictionaries({"name": NAMES, "amount": TEXTS, "strength": TEXTS}))


@given(THINGS, st.sampled_from(["fume", "dip", "spray", ""]), TEXTS, TEXTS)
def test_no_record_makes_the_reckoner_raise(
    things: list[dict[str, str]], method: str, bottle: str, litres: str
) -> None:
    odd = buried(ingredients=things, method=method, container={"litres": litres})
    bench = Bench(tub=0.001, plate=(1, 1), bottles={"ammonia": bottle, "peroxide": bottle})
    for one in (odd, scale_mixture(odd, bench).piece, pour_from(odd, bench)):
        assert len(reckon_mixture(one)) == len(things)
        reckon_whole(one)
        cost_plate(one, PRICES)
