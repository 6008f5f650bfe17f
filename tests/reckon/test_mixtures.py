"""What a recipe is worth, only where it can be known, assumptions said."""

from __future__ import annotations

import pytest

from builder.reckon.mixtures import find_area_cm2, reckon_mixture, reckon_whole
from tests.reckon.recipes import buried, fumed, piece


def test_malt_vinegar_of_five_per_cent_holds_six_grams_of_acid() -> None:
    # 120 × 1.0052 × 0.05 = 6.03 g; 10 × 1.0052 × 5 / 60.05 = 0.84 mol/l: an engineer's handbook
    # table of densities, SEEN
    sawdust, vinegar, salt = reckon_mixture(buried())
    assert sawdust.words == ()
    assert vinegar.words == ("6.0\u00a0g acetic acid", "0.84\u00a0mol/l")
    assert vinegar.assumed == ("% taken by weight",)
    assert salt.words == ("100\u00a0mg/cm² on one face",)


def test_salt_on_a_plate_is_told_by_the_square_centimetre() -> None:
    # 1.5 g on 100 cm² = 15 mg/cm²: the trade's worked sum
    _, salt = reckon_mixture(fumed())
    assert salt.loading is not None
    assert salt.loading.low == pytest.approx(15)


@pytest.mark.parametrize("record", [{"size_mm": []}, {"form": "disc"}, {"method": "dip"},
                                    {"size_mm": ["unknown", "100"]}])  # fmt: skip
def test_salt_that_lies_on_no_known_face_has_no_loading(record: dict[str, object]) -> None:
    assert reckon_mixture(fumed(**record))[1].loading is None


def test_a_disc_has_no_width_and_height() -> None:
    assert find_area_cm2(fumed(form="disc")) is None
    assert find_area_cm2(buried()) == 150


def test_salt_by_the_spoon_is_a_range_that_holds_the_makers_own_weighing() -> None:
    # the demo's maker weighed 2½ tsp as 15 g
    spoon = [{"name": "salt", "amount": "2½ tsp"}]
    (salt,) = reckon_mixture(piece(ingredients=spoon))
    assert salt.active is not None
    assert salt.active.low <= 15 <= salt.active.high
    assert len(salt.assumed) == 2


def test_a_spoon_of_another_powder_is_never_weighed() -> None:
    (one,) = reckon_mixture(piece(ingredients=[{"name": "citric acid", "amount": "1 tsp"}]))
    assert one.active is None and one.amount is not None


def test_the_form_of_a_salt_that_is_not_written_is_told_as_a_range() -> None:
    # 40 g of pentahydrate are 25.6 g of anhydrous copper sulphate (ratio 0.6392, DERIVED)
    bare = [{"name": "copper sulphate", "amount": "40 g", "strength": "100 g/l"}]
    (one,) = reckon_mixture(piece(ingredients=bare))
    assert one.words == (
        "26 to 40\u00a0g copper sulphate without its water",
        "0.40 to 0.63\u00a0mol/l",
    )
    assert "pentahydrate or anhydrous" in one.assumed[0]
    said = [{"name": "copper sulphate pentahydrate", "amount": "40 g", "strength": "100 g/l"}]
    (two,) = reckon_mixture(piece(ingredients=said))
    assert two.words[1] == "0.40\u00a0mol/l"


@pytest.mark.parametrize("record", [{}, {"strength": "unknown"}, {"strength": "5 % v/v"},
                                    {"amount": "a splash", "strength": ""}])  # fmt: skip
def test_nothing_is_reckoned_where_strength_is_not_known(record: dict[str, str]) -> None:
    (one,) = reckon_mixture(piece(ingredients=[{"name": "vinegar", "amount": "20 ml", **record}]))
    assert one.words == ()


def test_the_box_is_told_for_comparing_and_not_for_safety() -> None:
    # 0.55 g/l and 0.080 atm: the trade's worked sums, to two figures
    dose, air = reckon_whole(fumed())
    assert dose.words == "0.55\u00a0g/l"
    assert air.words.endswith("for comparing boxes, not for safety")
    assert air.words.startswith(("0.080", "0.081"))


def test_a_box_of_no_told_warmth_says_which_is_taken() -> None:
    _, air = reckon_whole(fumed(temperature_c="not measured"))
    assert any("20 °C" in words for words in air.assumed)


def test_strong_ammonia_is_marked_as_rough() -> None:
    strong = [{"name": "ammonia", "amount": "30 ml", "strength": "35 %"}]
    _, air = reckon_whole(fumed(ingredients=strong))
    assert any("rough" in words for words in air.assumed)


@pytest.mark.parametrize(
    "record",
    [
        {"method": "dip"},
        {"container": {"kind": "tub"}},
        {"container": {"litres": "0.03"}},
        {"ingredients": [{"name": "ammonia", "amount": "30 ml"}]},
        {"ingredients": [{"name": "vinegar", "amount": "30 ml", "strength": "5 %"}]},
        {
            "ingredients": [
                {"name": "ammonia", "amount": "30 ml", "strength": "9.5 %"},
                {"name": "vinegar", "amount": "30 ml", "strength": "5 %"},
            ]
        },
    ],
)
def test_a_box_of_which_too_little_is_known_is_not_reckoned(record: dict[str, object]) -> None:
    assert reckon_whole(fumed(**record)) == ()


def test_hydroxide_in_bare_per_cent_is_told_as_a_range() -> None:
    hydroxide = [{"name": "ammonium hydroxide", "amount": "30 ml", "strength": "28 %"}]
    (one,) = reckon_mixture(piece(ingredients=hydroxide))
    assert one.words == ("3.9 to 7.5\u00a0g NH3", "7.6 to 15\u00a0mol/l")
