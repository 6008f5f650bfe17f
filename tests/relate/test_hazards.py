"""Which rows of the hazard table a recipe meets.

The pairs and their sources: as each row of ``builder.records.hazards`` names them.
"""

from __future__ import annotations

import pytest

from builder.records.hazards import HAZARDS, METALS, SUBSTANCES, Status
from builder.relate.hazards import (
    Mixture,
    Part,
    find_hazards,
    forbidden,
    mixture_of,
)
from builder.relate.substances import classify
from tests.relate.demo import TODAY, demo_rows, entry_of, find_written, piece_of

STRONG = 30.0  # %, beyond household strength


def met(*names: str, metal: str = "", strength: float | None = None, **told: object) -> set[str]:
    mixture = Mixture(tuple(Part(name, strength) for name in names), metal, **told)  # type: ignore[arg-type]
    return {one.hazard.number for one in find_hazards(mixture)}


@pytest.mark.parametrize("hazard", HAZARDS, ids=lambda hazard: hazard.number)
def test_every_row_is_found_under_every_name_of_its_classes(hazard) -> None:  # type: ignore[no-untyped-def]
    names = {**SUBSTANCES, **METALS}
    ones = [name for name, kinds in names.items() if set(kinds) & set(hazard.ones)]
    others = [name for name, kinds in names.items() if set(kinds) & set(hazard.others)]
    assert ones and others
    for one in ones:
        for other in others:
            metal = other if other in METALS else ""
            parts = (one,) if metal else (one, other)
            assert hazard.number in met(*parts, metal=metal, strength=STRONG), (one, other)


@pytest.mark.parametrize(
    ("names", "number"),
    [
        (("household ammonia", "thick bleach"), "H1"),
        (("Spirit of Hartshorn", "chloride of lime"), "H1"),
        (("malt vinegar", "Household bleach"), "H2"),
        (("spirits of salt", "sodium hypochlorite"), "H2"),
        (("liver of sulfur", "lemon juice"), "H3"),
        (("sulphurated potash", "spirits of salt"), "H3"),
        (("lime sulfur", "white vinegar"), "H3"),
        (("ammonia solution", "lunar caustic"), "H4"),
        (("ammonia", "tincture of iodine"), "H5"),
        (("sal ammoniac", "silver nitrate"), "H6"),
        (("sal ammoniac", "lye"), "H7"),
        (("hartshorn", "washing soda"), "H7"),
        (("ammonium chloride", "cupric nitrate"), "H8"),
        (("ferric nitrate", "beech sawdust"), "H10"),
        (("copper nitrate", "tin(II) chloride"), "H10"),
        (("potassium permanganate", "linseed oil"), "H10"),
        (("bleach", "hydrogen peroxide"), "H14"),
        (("bleach", "methylated spirits"), "H15"),
        (("nail varnish remover", "peroxide"), "H16"),
        (("liver of sulphur", "hydrogen peroxide"), "H17"),
        (("sodium cyanide", "malt vinegar"), "H19"),
        (("muriatic acid", "hydrogen peroxide"), "H20"),
        (("potassium ferricyanide", "spirits of salt"), "H22"),
    ],
)
def test_the_trades_names_are_known(names: tuple[str, ...], number: str) -> None:
    assert number in met(*names)
    assert number in met(*reversed(names))


def test_nitric_acid_meets_the_metal_of_the_piece_not_a_word_in_a_name() -> None:
    assert "H11" in met("aqua fortis", metal="phosphor bronze")
    assert "H11" not in met("nitric acid", "copper sulphate", metal="mild steel")


def test_ammonia_on_brass_cracks_what_was_not_annealed_and_forbids_nothing() -> None:
    assert "H13" in met("ammonia", metal="brass", temper="half hard")
    assert "H13" in met("ammonia", metal="brass")
    assert "H13" not in met("ammonia", metal="brass", temper="annealed")
    assert "H13" not in met("ammonia", metal="copper")
    fumed = entry_of(metal="brass", ingredients=["ammonia"]).piece
    assert [one.hazard.number for one in find_hazards(mixture_of(fumed))] == ["H13"]
    assert list(forbidden(fumed)) == []


def test_peroxide_and_vinegar_are_slow_at_household_strength_alone() -> None:
    def rust(peroxide: float | None, *more: str) -> set[str]:
        parts = (Part("hydrogen peroxide", peroxide), Part("malt vinegar", 5.0))
        return {one.hazard.number for one in find_hazards(Mixture((*parts, *map(Part, more))))}

    assert rust(3.0) == set()
    assert rust(30.0) == {"H9"}
    assert rust(None) == {"H9"}
    assert "H9" in rust(3.0, "spirits of salt")


def test_ammonia_and_acid_spatter_where_concentrated() -> None:
    assert "H12" in met("ammonia", "citric acid", strength=STRONG)
    assert "H12" not in met("household ammonia", "vinegar")


def test_ammonium_and_nitrate_are_let_pass_in_cold_water_alone() -> None:
    recipe = ("ammonium chloride", "copper nitrate")
    assert "H8" in met(*recipe)
    assert "H8" in met(*recipe, "water")
    assert "H8" in met(*recipe, "water", temperature=70.0)
    assert "H8" not in met(*recipe, "water", temperature=18.0)


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("oil of vitriol", {"acid", "mineral acid"}),
        ("oxygen bleach", {"peroxide"}),
        ("acid-free tissue", set()),
        ("copper sulphate", set()),
        ("silver sand", set()),
        ("salt", set()),
        ("water", set()),
    ],
)
def test_a_word_within_a_longer_name_is_not_taken_by_itself(name: str, kinds: set[str]) -> None:
    assert classify(name) == kinds


def test_a_ferricyanide_is_no_cyanide_and_minds_hot_or_strong_acid() -> None:
    recipe = ("potassium ferricyanide", "vinegar")
    assert met(*recipe) == set()
    assert met(*recipe, temperature=70.0) == {"H22"}
    assert "H22" in met("yellow prussiate of potash", "citric acid")  # no strength told


def test_lye_meets_aluminium_and_no_aluminium_bronze() -> None:
    assert met("drain cleaner", metal="aluminum") == {"H21"}
    assert met("drain cleaner", metal="aluminium bronze") == set()


def test_no_piece_of_the_demo_meets_any() -> None:
    for row in demo_rows().values():
        assert find_hazards(mixture_of(piece_of(row))) == ()
    for entry in find_written(TODAY).library.entries:
        assert find_hazards(mixture_of(entry.piece)) == (), entry.piece.piece


def test_every_row_names_its_source_and_how_it_was_read() -> None:
    assert [hazard.number for hazard in HAZARDS] == [f"H{n}" for n in range(1, 23)]
    assert all(hazard.source and hazard.condition for hazard in HAZARDS)
    memory = {h.number for h in HAZARDS if h.status is Status.MEMORY}
    assert memory == {"H16", "H17", "H19", "H20", "H21", "H22"}
