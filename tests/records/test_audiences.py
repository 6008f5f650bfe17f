"""A rule for everything."""

from __future__ import annotations

from builder.read.fields import find_record, list_fields
from builder.records.audiences import (
    BUILT_IN,
    FIELDS,
    PAGES,
    PARTS,
    THINGS,
    Rule,
    expand,
    make_audience,
)
from builder.records.piece import Piece
from builder.records.record import Record


def list_leaves(record: type[Record], at: str = "") -> list[str]:
    """Every field of the vocabulary that holds a value, by its path."""
    found: list[str] = []
    for name, info in list_fields(record).items():
        inner = find_record(info)
        found += list_leaves(inner, f"{at}{name}.") if inner else [f"{at}{name}"]
    return found


def test_every_field_of_a_sidecar_has_a_rule_and_no_rule_is_for_none() -> None:
    assert sorted(FIELDS) == sorted(list_leaves(Piece))


def test_a_name_is_that_of_one_thing_alone() -> None:
    records = {path.rpartition(".")[0] for path in FIELDS} - {""}
    names = [*FIELDS, *records, *THINGS, *PAGES]
    assert sorted(names) == sorted(set(names))
    assert all(expand(name) for name in (*names, *PARTS))


def test_who_sees_more_sees_all_that_others_see() -> None:
    students, clients, private = BUILT_IN
    assert clients.shown < students.shown < private.shown


def test_clients_see_nothing_the_maker_worded() -> None:
    clients = BUILT_IN[1]
    as_written = {name for name in FIELDS if clients.sees(name)} - clients.guarded
    assert as_written == {"piece", "metal", "zones.at"}


def test_what_nobody_is_shown_cannot_be_asked_for() -> None:
    never = {name for name, (rule, _) in THINGS.items() if rule is Rule.NOBODY}
    assert never
    assert not any(audience.shown & never for audience in BUILT_IN)
    assert not make_audience("guild", "students", show=never).shown & never


def test_what_is_hidden_goes_before_what_is_shown() -> None:
    guild = make_audience("guild", "clients", show=("recipe", "sheen"), hide=("exposure",))
    assert guild.sees("ingredients.name") and not guild.sees("exposure")
    assert "sheen" not in guild.guarded and "checks.date" in guild.guarded
