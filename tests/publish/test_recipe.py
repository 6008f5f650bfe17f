from __future__ import annotations

from typing import Any

from builder.publish.recipe import Step, list_steps
from builder.records.piece import Entry, Piece


def entry(inherited: tuple[tuple[str, str], ...] = (), **record: Any) -> Entry:
    piece = Piece.model_validate({"piece": "X-1", **record})
    return Entry(piece=piece, file="samples/X-1/sample.yaml", inherited=inherited)


def step(entry: Entry, title: str, withheld: frozenset[str] = frozenset()) -> Step:
    told = entry.model_copy(update={"withheld": withheld})
    return next(step for step in list_steps(told) if step.title == title)


def test_steps_come_in_the_order_they_are_done() -> None:
    whole = entry(
        sealant="wax", dry="on a rack", method="dip", prep=["abrade"], metal="copper", cure="warm"
    )
    titles = [step.title for step in list_steps(whole)]
    assert titles == ["The blank", "Preparing", "Colouring", "Drying", "Sealing", "Curing"]


def test_a_piece_of_which_nothing_is_said_has_no_steps() -> None:
    assert list_steps(entry()) == ()


def test_prep_keeps_its_order() -> None:
    steps = [{"step": "abrade", "grit": "400"}, {"step": "degrease", "with": "pumice"}]
    assert step(entry(prep=steps), "Preparing").lines == (
        "Abrade, grit 400",
        "Degrease with pumice",
    )


def test_each_kind_of_absence_is_kept_apart() -> None:
    colouring = step(
        entry(method="dip", humidity_pct="not measured", temperature_c="unknown"), "Colouring"
    )
    known = {row.label: row.known for row in colouring.parts[0].rows}
    assert known == {"method": "given", "humidity": "not-measured", "temperature": "unknown"}
    assert "passes" in colouring.absent


def test_an_amount_that_could_not_be_read_is_marked() -> None:
    colouring = step(entry(ingredients=[{"name": "ammonia", "amount": "a splash"}]), "Colouring")
    (_, amount, strength) = colouring.mixture[0]
    assert (amount.words, amount.known) == ("a splash", "unread")
    assert strength.known == "missing"


def test_the_notebooks_words_stand_before_the_grams() -> None:
    salt = {"name": "salt", "amount": "15 g", "as_written": "2½ tsp"}
    amount = step(entry(ingredients=[salt]), "Colouring").mixture[0][1]
    assert (amount.words, amount.read_as) == ("2½ tsp", "15 g")


def test_a_step_wholly_carried_over_says_so_once() -> None:
    carried = entry((("metal", "X-0"), ("temper", "X-0")), metal="copper", temper="hard")
    blank = step(carried, "The blank")
    assert blank.inherited == "X-0"
    assert all(not row.inherited for row in blank.parts[0].rows)


def test_a_step_partly_carried_over_marks_the_rows() -> None:
    blank = step(entry((("metal", "X-0"),), metal="copper", temper="hard"), "The blank")
    assert blank.inherited == ""
    assert [row.inherited for row in blank.parts[0].rows] == ["X-0", ""]


def test_zones_stand_side_by_side() -> None:
    zones = [{"name": "left", "sealant": "wax"}, {"name": "right", "sealant": "none"}]
    sealing = step(entry(zones=zones), "Sealing, zone by zone")
    assert [(part.name, part.rows[0].words) for part in sealing.parts] == [
        ("left", "wax"),
        ("right", "none"),
    ]


def test_a_withheld_recipe_is_not_there_to_be_shown() -> None:
    secret = entry(method="dip", ingredients=[{"name": "potash"}], exposure="7 d")
    colouring = step(secret, "Colouring", frozenset({"ingredients", "exposure"}))
    assert colouring.withheld
    assert colouring.mixture == ()
    assert [row.label for row in colouring.parts[0].rows] == ["method"]
