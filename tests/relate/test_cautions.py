"""What is said before a recipe is tried, how loudly, and where each thing stands.

The rows and their sources: as ``builder.records.hazards`` names them. How much softer things in
separate steps are told: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from builder.errors import Weight
from builder.records.hazards import ALONE, HAZARDS, Hazard, Loudness, Status
from builder.records.piece import Entry
from builder.relate import cautions
from builder.relate.cautions import FIRST, Caution, cautions_of, warn_of
from builder.relate.hazards import judge
from builder.relate.things import Place
from tests.relate.demo import TODAY, entry_of, find_written

NEVER, CARE, KNOW = Loudness.NEVER, Loudness.CARE, Loudness.KNOW

#: A recipe for every row, with how it is told in one pot.
RECIPES: Mapping[str, tuple[dict[str, Any], Loudness]] = {
    "H1": ({"ingredients": ["spirit of hartshorn", "laundry bleach"]}, NEVER),
    "H2": ({"ingredients": ["white vinegar", "bleaching powder"]}, NEVER),
    "H3": ({"ingredients": ["liver of sulfur", "lemon juice"]}, NEVER),
    "H4": ({"ingredients": ["ammonia water", "lunar caustic"]}, NEVER),
    "H5": ({"ingredients": ["household ammonia", "tincture of iodine"]}, NEVER),
    "H6": ({"ingredients": ["sal ammoniac", "silver nitrate"]}, NEVER),
    "H7": ({"ingredients": ["sal ammoniac", "washing soda"]}, CARE),
    "H8": ({"ingredients": ["ammonium chloride", "cupric nitrate"]}, NEVER),
    "H9": ({"ingredients": ["35 % hydrogen peroxide", "glacial acetic acid"]}, NEVER),
    "H10": ({"ingredients": ["ferric nitrate", "beech sawdust"]}, NEVER),
    "H11": ({"ingredients": ["aqua fortis"]}, CARE),
    "H12": ({"ingredients": [".880 ammonia", "oil of vitriol"]}, CARE),
    "H13": ({"metal": "brass", "ingredients": ["household ammonia"]}, CARE),
    "H14": ({"ingredients": ["bleach", "hydrogen peroxide"]}, NEVER),
    "H15": ({"ingredients": ["thick bleach", "meths"]}, NEVER),
    "H16": ({"ingredients": ["nail polish remover", "peroxide, 30 %", "muriatic acid"]}, NEVER),
    "H17": ({"ingredients": ["LOS", "hydrogen peroxide"]}, NEVER),
    "H18": ({"metal": "sterling silver", "ingredients": ["ammonium chloride"]}, CARE),
    "H19": ({"ingredients": ["potassium cyanide", "white vinegar"]}, NEVER),
    "H20": ({"ingredients": ["muriatic acid", "hydrogen peroxide"]}, NEVER),
    "H21": ({"metal": "aluminium", "ingredients": ["caustic soda"]}, CARE),
    "H22": ({"ingredients": ["potassium ferricyanide", "battery acid"]}, NEVER),
    "A1": ({"method": "fume", "ingredients": ["household ammonia"]}, CARE),
    "A2": ({"ingredients": ["liver of sulphur"]}, KNOW),
    "A3": ({"ingredients": ["Javelle water"]}, CARE),
    "A4": ({"ingredients": ["spirits of salt"]}, CARE),
    "A5": ({"ingredients": ["ferric nitrate"]}, KNOW),
    "A6": ({"metal": "galvanised steel", "method": "torch"}, CARE),
    "A7": ({"ingredients": ["glacial acetic acid"]}, CARE),
    "A8": ({"ingredients": ["lye"]}, CARE),
}


def told(entry: Entry, row: str) -> Caution | None:
    return next((c for c in cautions_of(entry) if c.row == row), None)


def loudness(row: str, **fields: Any) -> Loudness | None:
    caution = told(entry_of(**fields), row)
    return caution.loudness if caution else None


def test_no_row_is_without_a_recipe_that_meets_it() -> None:
    assert list(RECIPES) == [row.number for row in (*HAZARDS, *ALONE)]


@pytest.mark.parametrize("row", RECIPES)
def test_every_row_is_told_of_a_recipe_that_has_it(row: str) -> None:
    fields, loud = RECIPES[row]
    assert loudness(row, **fields) is loud


@pytest.mark.parametrize("hazard", HAZARDS, ids=lambda hazard: hazard.number)
def test_every_row_names_both_things_where_they_stand_and_its_source(hazard) -> None:  # type: ignore[no-untyped-def]
    fields, _ = RECIPES[hazard.number]
    caution = told(entry_of(**fields), hazard.number)
    assert caution
    for said in (caution.one, caution.other, "in the mixture", hazard.gives, hazard.advice):
        assert said.casefold() in caution.words.casefold()
    assert caution.source == hazard.source
    assert caution.said == f"{caution.loudness}. {caution.words}"


def test_bleach_in_the_notes_is_told_as_loudly_as_in_the_pot() -> None:
    entry = entry_of(ingredients=["household ammonia"], notes="wiped the tub with bleach after")
    caution = told(entry, "H1")
    assert caution
    assert (caution.loudness, caution.one_at, caution.other_at) == (
        NEVER,
        Place.MIXTURE,
        Place.NOTES,
    )
    assert "household ammonia (in the mixture) with bleach (in the notes)" in caution.words.lower()
    assert loudness(
        "H1", ingredients=["ammonia"], notes="Rinsed the tub, wiped it with bleach"
    ) is (CARE)
    assert loudness("H1", ingredients=["ammonia"], notes="no bleach near it") is None


def test_separate_steps_are_told_more_softly_and_rinsed_ones_softer_still() -> None:
    bath = {"ingredients": ["liver of sulphur", "water"]}
    pickle = {"step": "pickle", "with": "citric acid"}
    assert loudness("H3", ingredients=["liver of sulphur", "citric acid"]) is NEVER
    assert loudness("H3", **bath, prep=[pickle]) is CARE
    assert loudness("H3", **bath, prep=[{**pickle, "notes": "rinsed well"}]) is KNOW
    assert loudness("H3", **bath, prep=[pickle, {"step": "abrade"}]) is KNOW
    assert loudness("H3", **bath, stop="neutralised in vinegar") is CARE
    assert loudness("H3", **bath, stop="rinsed, then dipped in vinegar") is KNOW
    assert loudness("H3", **bath, notes="cleaned the jar with vinegar") is CARE
    assert loudness("H3", **bath, checks=[{"notes": "spots off with vinegar"}]) is CARE


def test_two_steps_of_preparing_meet_each_other() -> None:
    prep = [{"step": "pickle", "with": "vinegar and salt"}, {"step": "clean", "with": "bleach"}]
    assert loudness("H2", prep=prep, ingredients="none") is NEVER
    assert loudness("H2", prep=[{"step": "clean", "with": "bleach and vinegar"}]) is NEVER


def test_what_dries_in_sawdust_counts() -> None:
    assert loudness("H10", ingredients=["ferric nitrate"], dry="in dry sawdust") is KNOW


def test_what_the_method_or_the_packing_names_is_in_the_mixture() -> None:
    assert loudness("H13", metal="brass", method="ammonia fume") is CARE
    packed = {"position": {"touching": "wrapped in cotton"}, "ingredients": ["copper nitrate"]}
    assert loudness("H10", **packed) is NEVER


def test_what_notes_say_of_an_ingredient_is_no_second_thing() -> None:
    prep = [{"step": "pickle", "with": "citric acid"}, {"step": "abrade"}]
    entry = entry_of(ingredients=["liver of sulphur"], prep=prep, notes="sulphide does little")
    caution = told(entry, "H3")
    assert caution
    assert caution.loudness is KNOW


def test_strength_matters() -> None:
    """Household peroxide and vinegar: weeks to equilibrium, by the row's own condition."""

    def rust(peroxide: dict[str, str], *more: Any) -> Loudness | None:
        peroxide = {"name": "hydrogen peroxide", **peroxide}
        return loudness("H9", ingredients=[peroxide, "malt vinegar", *more])

    assert rust({"strength": "3 %"}) is KNOW
    assert rust({"strength": "10 vol"}) is KNOW
    assert rust({}) is CARE  # not told
    assert rust({"strength": "30 %"}) is NEVER
    assert rust({"strength": "3 %"}, "muriatic acid") is NEVER


def test_a_mixture_with_silver_says_how_long_it_stood() -> None:
    fields: dict[str, Any] = {"ingredients": ["ammonia", "silver nitrate"], "started": "2024-10-04"}
    caution = told(entry_of(**fields, batch={"mixed": "2024-10-01"}), "H4")
    assert caution
    assert "had stood 3 days" in caution.words
    assert "Never keep it" in caution.words
    caution = told(entry_of(**fields, batch={"mixed": "2024-10-04"}), "H4")
    assert caution
    assert "had stood" not in caution.words


def test_an_annealed_brass_is_not_warned_of() -> None:
    assert loudness("H13", metal="brass", ingredients=["ammonia"], temper="annealed") is None
    assert loudness("H13", metal="brass", ingredients=["ammonia"], temper="not annealed") is CARE


def test_the_loudest_go_first() -> None:
    entry = entry_of(
        metal="brass", method="fume", ingredients=["household ammonia", "ferric nitrate"],
        notes="bleach after",
    )  # fmt: skip
    louds = [list(Loudness).index(caution.loudness) for caution in cautions_of(entry)]
    assert louds == sorted(louds)
    assert louds[0] == 0


def test_what_is_private_is_not_told() -> None:
    entry = entry_of(ingredients=["ammonia", "bleach"], notes="vinegar after",
                     prep=[{"step": "pickle", "with": "citric acid"}])  # fmt: skip
    assert cautions_of(entry, frozenset({"ingredients"})) == ()
    rows = {c.row: c for c in cautions_of(entry, frozenset({"prep", "notes"}))}
    assert "H1" in rows
    assert "H2" not in rows
    assert all(caution.fields == {"ingredients"} for caution in rows.values())


def test_a_forbidden_mixture_is_noted_at_its_own_sidecar() -> None:
    entry = entry_of(ingredients=["household ammonia", "thick bleach"])
    (problem,) = warn_of(entry)
    assert problem.weight is Weight.NOTED
    assert problem.file == entry.file
    assert "thick bleach" in problem.found
    assert f"{problem.remedy}.".endswith(FIRST)
    made = entry_of(ingredients=["household ammonia", "thick bleach"], started="2026-01-02")
    again = made.model_copy(update={"inherited": (("ingredients", "SH-900"),)})
    assert warn_of(again) == ()
    assert warn_of(entry_of(metal="brass", ingredients=["household ammonia"])) == ()


def test_a_forbidden_mixture_is_told_of_a_planned_piece_though_it_is_carried_over() -> None:
    planned = entry_of(ingredients=["ammonia", "bleach"], same_as="SH-900").model_copy(
        update={"inherited": (("ingredients", "SH-900"),), "line": 1, "mixture_line": 2}
    )
    (problem,) = warn_of(planned)
    assert "not begun before the Safety page is read" in problem.remedy
    assert problem.line == 2


def test_the_problem_reads_as_one_sentence() -> None:
    (problem,) = warn_of(entry_of(ingredients=["ammonia", "bleach"]))
    assert ".;" not in str(problem)
    assert "water and detergent; expected things that may meet; put right" in str(problem)
    assert not str(problem).endswith(".")


CELL = "5% 1:1 peroxide 3%"


@pytest.mark.parametrize("field", ["amount", "as_written", "strength", "brand_note"])
def test_what_is_named_beside_a_name_is_in_the_mixture_too(field: str) -> None:
    assert loudness("H9", ingredients=[{"name": "vinegar", field: CELL}]) is KNOW
    strong = CELL.replace("3%", "30%")
    assert loudness("H9", ingredients=[{"name": "vinegar", field: strong}]) is NEVER
    entry = entry_of(ingredients=[{"name": "ammonia", field: "with bleach"}])
    caution = told(entry, "H1")
    assert caution
    assert (caution.loudness, caution.other_at, caution.forbids) == (NEVER, Place.MIXTURE, True)


def test_what_is_named_beside_a_name_and_not_there_or_told_again_is_no_second_thing() -> None:
    again = {"name": "hydrogen peroxide", "strength": "3 %", "as_written": "a glug of peroxide"}
    assert loudness("H9", ingredients=[again, "malt vinegar"]) is KNOW
    free = {"name": "household ammonia", "brand_note": "no bleach in it"}
    assert loudness("H1", ingredients=[free]) is None
    bag = {"name": "ferric nitrate", "brand_note": "the brown paper bag"}
    assert loudness("H10", ingredients=[bag]) is None


def test_an_acid_of_more_than_household_strength_is_corrosive() -> None:
    def acid(strength: str, name: str = "malt vinegar") -> Caution | None:
        return told(entry_of(ingredients=[{"name": name, "strength": strength}]), "A7")

    caution = acid("80 %")
    assert caution
    assert caution.loudness is CARE
    assert "goggles and gloves" in caution.words
    assert "never the water into the acid" in caution.words
    assert caution.status is Status.MEMORY
    assert acid("5 %") is None
    assert acid("10 %") is None
    assert acid("30 %", "hydrogen peroxide") is None
    weak_first = entry_of(ingredients=["vinegar", {"name": "citric acid", "strength": "30 %"}])
    later = told(weak_first, "A7")
    assert later
    assert later.one == "citric acid"


WORDS = "bleach ammonia vinegar "


@pytest.mark.parametrize(
    "fields",
    [
        {"ingredients": [f"{WORDS * 20}{n}" for n in range(150)]},
        {"ingredients": ["salt"], "notes": WORDS * 830},
        {"ingredients": ["salt"], "notes": WORDS.replace(" ", ". ") * 700},
        {"ingredients": [{"name": "salt", "as_written": WORDS * 830}]},
        {"ingredients": ["salt"], "prep": [{"step": "clean", "with": WORDS}] * 150},
    ],
)
def test_saying_a_thing_many_times_over_weighs_few_pairs(
    fields: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    weighed: list[str] = []

    def count(hazard: Hazard, *rest: Any) -> Any:
        weighed.append(hazard.number)
        return judge(hazard, *rest)

    monkeypatch.setattr(cautions, "judge", count)
    entry = entry_of(**fields)
    caution = told(entry, "H1")
    assert caution
    assert caution.loudness is NEVER
    said = sum(len(str(value)) for value in fields.values())
    assert len(weighed) <= said / 4


def test_a_strong_thing_behind_a_weak_one_of_its_kind_is_still_weighed() -> None:
    strong = {"name": "acetic acid", "strength": "80 %"}
    peroxide = {"name": "peroxide", "strength": "3 %"}
    assert loudness("H9", ingredients=["malt vinegar", peroxide, strong]) is NEVER


def test_what_meets_in_a_later_step_is_told_as_loudly_as_in_the_first() -> None:
    apart = {"step": "pickle", "with": "citric acid", "notes": "rinsed well"}
    close = {"step": "dip", "with": "liver of sulphur and citric acid"}
    assert loudness("H3", ingredients="none", prep=[apart, {"step": "abrade"}, close]) is NEVER


#: Checked by hand against the sidecars: the sulphide bath after a citric pickle, with other steps
#: between; the nitrate, for its rags; weak peroxide with vinegar. No more, and none of it loud.
DEMO = {
    **{f"SH-{n:03}": ["H3"] for n in range(1, 11)},
    **{f"SH-{n:03}": ["A5"] for n in range(19, 23)},
    "SH-028": ["H9"],
}


def test_the_demo_is_told_what_there_is_to_know_and_nothing_louder() -> None:
    entries = find_written(TODAY).library.entries
    found = {e.piece.piece: [c.row for c in cautions_of(e)] for e in entries}
    assert {piece: rows for piece, rows in found.items() if rows} == DEMO
    assert {c.loudness for e in entries for c in cautions_of(e)} == {KNOW}
    assert [problem for entry in entries for problem in warn_of(entry)] == []
