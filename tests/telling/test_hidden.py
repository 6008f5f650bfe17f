"""What an audience is not shown of a piece."""

from __future__ import annotations

from typing import Any

import pytest

from builder.records.audiences import FIELDS, Audience, expand, make_audience
from builder.records.piece import Entry, Piece
from builder.telling import hides, list_hidden
from builder.telling.factors import list_hidden_factors
from builder.telling.hidden import find_values, name_hidden
from tests.telling.told import CLIENTS, PRIVATE, STUDENTS

USUAL = {
    "made_by", "share", "storage.place", "checks.by", "photos.blur", "cost", "place taken",
    "serial numbers",
}  # fmt: skip


def entry(number: str, inherited: tuple[tuple[str, str], ...] = (), **share: Any) -> Entry:
    piece = Piece.model_validate({"piece": number, "share": share})
    return Entry(piece=piece, file=f"samples/{number}/sample.yaml", inherited=inherited)


def hidden(*entries: Entry, audience: Audience = STUDENTS) -> frozenset[str]:
    return list_hidden(entries, audience)[id(entries[-1])]


@pytest.mark.parametrize("named", ["public", "students", "class", "everyone", ["clients", "class"]])
def test_what_the_class_may_see_is_not_hidden_from_them(named: Any) -> None:
    assert hidden(entry("X-1", recipe=named)) == USUAL


@pytest.mark.parametrize("named", ["private", "me", "clients", ["clients", "guild"]])
def test_what_is_shared_with_others_is_hidden_from_the_class(named: Any) -> None:
    assert hidden(entry("X-1", notes=named)) == USUAL | {"notes"}


def test_nothing_is_hidden_from_the_maker() -> None:
    assert hidden(entry("X-1", piece="clients"), audience=PRIVATE) <= expand(
        "place taken"
    ) | expand("serial numbers")


def test_a_share_opens_what_a_rule_closes() -> None:
    assert "made_by" not in hidden(entry("X-1", made_by="students"))
    assert "colour_words" in hidden(entry("X-1"), audience=CLIENTS)
    assert "colour_words" not in hidden(entry("X-1", colour_words="public"), audience=CLIENTS)


def test_a_hidden_recipe_takes_everything_that_tells_it() -> None:
    gone = hidden(entry("X-1", recipe="private"))
    assert {"ingredients.name", "exposure", "temperature_c", "started", "batch.mixed"} <= gone


def test_of_two_words_on_one_field_the_closer_one_counts() -> None:
    assert "ingredients.name" in hidden(entry("X-1", recipe="private", ingredients="students"))


def test_a_field_of_a_field_may_be_kept_back_alone() -> None:
    gone = hidden(entry("X-1", **{"ingredients.brand_note": "private"}))
    assert gone == USUAL | {"ingredients.brand_note"}


def test_a_recipe_stays_hidden_in_the_piece_that_repeats_it() -> None:
    source = entry("X-1", recipe="private")
    repeat = entry("X-2", (("ingredients", "X-1"), ("metal", "X-1")))
    assert hidden(source, repeat) == USUAL | expand("ingredients")


def test_what_comes_from_a_wholly_private_piece_stays_hidden() -> None:
    source = entry("X-1", piece="private")
    repeat = entry("X-2", (("metal", "X-1"),))
    assert hidden(source, repeat) == USUAL | {"metal"}


def test_what_one_attempt_keeps_back_is_hidden_wherever_it_was_carried() -> None:
    first, second = entry("X-1", metal="private"), entry("X-1")
    repeat = entry("X-2", (("metal", "X-1"),))
    assert "metal" in hidden(first, second, repeat)


def test_an_audience_of_ones_own_is_meant_by_its_name_alone() -> None:
    guild = make_audience("guild", "students")
    assert "notes" in hidden(entry("X-1", notes="students"), audience=guild)
    assert "notes" not in hidden(entry("X-1", notes=["guild", "clients"]), audience=guild)


def test_a_record_goes_by_its_name_where_all_of_it_is_hidden() -> None:
    assert name_hidden(expand("storage")) == {"storage", *expand("storage")}
    assert name_hidden(frozenset({"storage.place"})) == {"storage.place"}
    assert name_hidden(expand("photos")) == {"photos"}


@pytest.mark.parametrize(
    ("factor", "field"),
    [("time", "exposure"), ("temp", "temperature_c"), ("metal", "alloy"), ("sealant", "sealant"),
     ("sealant", "sealant.coats"), ("recipe", "ingredients"), ("recipe", "ingredients.strength"),
     ("light", "storage"), ("light", "storage.light"), ("thickness", "size_mm")],
)  # fmt: skip
def test_a_hidden_field_takes_its_factor_with_it(factor: str, field: str) -> None:
    assert hides(factor, frozenset({field}))
    assert not hides(factor, frozenset({"notes", "storage.place"}))


def test_a_hidden_recipe_takes_the_factors_that_would_tell_it() -> None:
    assert hides("humidity", frozenset({"ingredients"}))
    assert not hides("sealant", frozenset({"ingredients"}))


def test_what_is_not_recorded_tells_nothing() -> None:
    piece = Piece.model_validate({"piece": "X-1", "exposure": "3 d"})
    one = Entry(piece=piece, file="samples/X-1/sample.yaml")
    assert list_hidden_factors(one, expand("recipe")) == {"time"}


def test_every_field_can_be_found_by_its_path() -> None:
    piece = Piece.model_validate({"piece": "X-1", "zones": [{"name": "left", "sealant": "wax"}]})
    assert [list(find_values(piece, path)) for path in FIELDS if path == "zones.name"] == [["left"]]
    (kind,) = find_values(piece, "zones.sealant.kind")
    assert kind.written == "wax"
    assert not any(list(find_values(piece, path)) for path in FIELDS if path.startswith("prep"))
