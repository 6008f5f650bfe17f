from __future__ import annotations

from typing import Any

import pytest

from builder.publish.shares import hides, list_secrets, list_withheld
from builder.records.piece import Entry, Piece


def entry(number: str, inherited: tuple[tuple[str, str], ...] = (), **share: Any) -> Entry:
    piece = Piece.model_validate({"piece": number, "share": share})
    return Entry(piece=piece, file=f"samples/{number}/sample.yaml", inherited=inherited)


@pytest.mark.parametrize("audience", ["public", "students", "class", "everyone"])
def test_what_the_class_may_see_is_published(audience: str) -> None:
    one = entry("X-1", recipe=audience)
    assert list_withheld(one, [one]) == frozenset()


@pytest.mark.parametrize("audience", ["private", "me", "clients", ""])
def test_every_other_audience_keeps_a_part_back(audience: str) -> None:
    one = entry("X-1", made_by=audience)
    assert list_withheld(one, [one]) == {"made_by"}


def test_a_withheld_recipe_takes_everything_that_tells_it() -> None:
    one = entry("X-1", recipe="private")
    assert {"ingredients", "exposure", "temperature_c"} <= list_withheld(one, [one])


def test_a_recipe_stays_withheld_in_the_piece_that_repeats_it() -> None:
    source = entry("X-1", recipe="private")
    repeat = entry("X-2", (("ingredients", "X-1"), ("metal", "X-1")))
    assert list_withheld(repeat, [source, repeat]) == {"ingredients"}


@pytest.mark.parametrize(
    ("factor", "field"),
    [("time", "exposure"), ("temp", "temperature_c"), ("metal", "alloy"), ("sealant", "sealant"),
     ("recipe", "ingredients"), ("light", "storage"), ("thickness", "size_mm")],
)  # fmt: skip
def test_a_withheld_field_takes_its_factor_with_it(factor: str, field: str) -> None:
    assert hides(factor, frozenset({field}))
    assert not hides(factor, frozenset({"notes"}))


def test_a_withheld_recipe_takes_the_factors_that_would_tell_it() -> None:
    assert hides("humidity", frozenset({"ingredients"}))
    assert not hides("sealant", frozenset({"ingredients"}))


def test_secrets_of_all_are_those_of_each() -> None:
    source = entry("X-1", recipe="private")
    entries = [source, entry("X-2", (("ingredients", "X-1"),)), entry("X-3")]
    assert list_secrets(entries) == {id(one): list_withheld(one, entries) for one in entries}
