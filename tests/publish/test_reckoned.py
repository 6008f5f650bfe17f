"""What a recipe comes to is published where the recipe is, and nowhere else."""

from __future__ import annotations

from typing import Any

from builder.publish.recipe import list_steps
from builder.publish.reckoned import reckon_published
from builder.records.piece import Entry
from builder.records.settings import Price
from builder.telling.hidden import list_hidden, name_hidden
from tests.reckon.recipes import buried, fumed
from tests.telling.told import STUDENTS

PRICES = (Price("copper sheet", 0.12, "cm2"),)


def entry(**record: Any) -> Entry:
    return Entry(piece=buried(**record), file="samples/X-1/sample.yaml")


def hidden_from_students(one: Entry) -> frozenset[str]:
    return name_hidden(list_hidden((one,), STUDENTS)[id(one)])


def test_figures_stand_beside_their_ingredients() -> None:
    reckoned = reckon_published(entry())
    assert [len(words) for words in reckoned.shares] == [0, 2, 1]
    assert reckoned.assumed == (
        "malt vinegar: % taken by weight",
        "salt: all of it lies on one face, 150 cm²",
    )


def test_a_private_recipe_leaves_no_figure() -> None:
    private = entry(share={"recipe": "private"})
    reckoned = reckon_published(private, hidden_from_students(private))
    assert reckoned.shares == () and reckoned.figures == () and reckoned.assumed == ()


def test_a_private_size_leaves_no_figure_that_would_tell_it() -> None:
    reckoned = reckon_published(entry(), frozenset({"size_mm"}))
    assert reckoned.shares[2] == ()
    assert "150" not in str(reckoned)


def test_a_private_tub_leaves_no_figure_of_the_box() -> None:
    fuming = Entry(piece=fumed(), file="samples/X-1/sample.yaml")
    assert reckon_published(fuming).figures
    assert reckon_published(fuming, frozenset({"container"})).figures == ()


def test_a_bare_gauge_is_told_as_both_thicknesses_unless_it_is_private() -> None:
    bare = entry(thickness="20")
    blank = list_steps(bare)[0]
    (row,) = (row for row in blank.parts[0].rows if row.label == "thickness")
    assert "British" in row.read_as and "American" in row.read_as
    private = bare.model_copy(update={"withheld": frozenset({"thickness"})})
    assert "British" not in str(list_steps(private))


def test_cost_is_private_unless_the_sidecar_shares_it() -> None:
    assert reckon_published(entry(), hidden_from_students(entry()), PRICES).figures == ()
    shared = entry(share={"cost": "students"})
    (cost,) = reckon_published(shared, hidden_from_students(shared), PRICES).figures
    # 150 cm² at 0.12
    assert (cost.label, cost.words) == ("cost of a plate", "18.0")
    assert reckon_published(shared, frozenset({"ingredients"}), PRICES).figures == ()
