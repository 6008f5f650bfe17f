"""A corrected table against what was edited since."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.errors import TableError
from builder.importing.columns import Column
from builder.importing.day_orders import Order
from builder.importing.doubts import Doubt, gather_doubts
from builder.importing.last_time import read_last, write_last
from builder.importing.mapping import (
    Mapping,
    Numbered,
    add_to_mapping,
    name_of,
    read_mapping,
    write_mapping,
)
from builder.importing.merging import Said, merge, say_conflict
from builder.read.leaves import make_tree

BEFORE = Said(
    {
        ("metal",): "brass",
        ("exposure",): "7 d",
        ("ingredients", "ammonia", "name"): "ammonia",
        ("ingredients", "ammonia", "amount"): "120 ml",
        ("colour_words",): ("green", "brown"),
    },
    {"": "lovely", "Shelf": "B1"},
)
SIDECAR = make_tree(BEFORE.tree_leaves())


def now(changed: dict[tuple[str, ...], object] | None = None, **notes: str | None) -> Said:
    leaves = {**BEFORE.leaves, **(changed or {})}
    texts = {**BEFORE.notes, **{("" if k == "own" else k): v for k, v in notes.items()}}
    return Said(
        {path: value for path, value in leaves.items() if value is not None},  # type: ignore[misc]
        {heading: text for heading, text in texts.items() if text is not None},
    )


def test_an_unchanged_table_changes_nothing_whatever_was_edited() -> None:
    edited = {**SIDECAR, "metal": "gilding metal", "ingredients": "", "notes": "mine"}
    merged = merge(BEFORE, now(), edited)
    assert (merged.changes, merged.conflicts, merged.kept) == ({}, (), BEFORE)


def test_what_the_table_changed_is_changed() -> None:
    merged = merge(BEFORE, now({("metal",): "copper", ("exposure",): None, ("why",): "x"}), SIDECAR)
    assert merged.changes == {("metal",): "copper", ("exposure",): None, ("why",): "x"}
    assert not merged.conflicts
    assert merged.kept == now({("metal",): "copper", ("exposure",): None, ("why",): "x"})


def test_what_both_changed_is_told_and_told_again_until_they_agree() -> None:
    edited = {**SIDECAR, "metal": "gilding metal"}
    merged = merge(BEFORE, now({("metal",): "copper"}), edited)
    assert not merged.changes
    (conflict,) = merged.conflicts
    assert say_conflict(conflict)[0] == (
        "metal: the table now says “copper” (before: “brass”), and the sidecar was edited to "
        "“gilding metal”"
    )
    again = merge(merged.kept, now({("metal",): "copper"}), edited)
    assert again.conflicts == merged.conflicts
    agreed = merge(merged.kept, now({("metal",): "copper"}), {**SIDECAR, "metal": "copper"})
    assert not agreed.conflicts and not agreed.changes
    assert agreed.kept.leaves["metal",] == "copper"


def test_parts_of_one_ingredient_are_their_own() -> None:
    noted = {"name": "ammonia", "amount": "120 ml", "brand_note": "blue bottle"}
    merged = merge(
        BEFORE, now({("ingredients", "ammonia", "amount"): "150 ml"}),
        {**SIDECAR, "ingredients": [noted]},
    )  # fmt: skip
    assert merged.changes == {("ingredients", "ammonia", "amount"): "150 ml"}


def test_an_ingredient_that_is_gone_is_taken_out_unless_something_was_written_of_it() -> None:
    gone = now({path: None for path in BEFORE.leaves if path[0] == "ingredients"})
    merged = merge(BEFORE, gone, SIDECAR)
    assert merged.changes == {("ingredients", "ammonia"): None}
    assert merged.kept == gone
    noted = {"name": "ammonia", "amount": "120 ml", "brand_note": "blue bottle"}
    kept = merge(BEFORE, gone, {**SIDECAR, "ingredients": [noted]})
    assert not kept.changes and len(kept.conflicts) == 1 and kept.kept == BEFORE


def test_lines_of_the_notes_are_their_own() -> None:
    edited = {**SIDECAR, "notes": "lovely\nShelf: B1\nrubs off, I saw in May"}
    merged = merge(BEFORE, now(Shelf="C4", own="lovely green", Jar="2"), edited)
    assert merged.changes == {
        ("notes",): "lovely green\nShelf: C4\nrubs off, I saw in May\nJar: 2"
    }  # fmt: skip
    conflict = merge(BEFORE, now(own="lovely green"), {**SIDECAR, "notes": "lovely!\nShelf: B1"})
    assert not conflict.changes and len(conflict.conflicts) == 1
    assert merge(BEFORE, now(Shelf=None), SIDECAR).changes == {("notes",): "lovely"}


def test_what_was_said_last_time_is_kept_and_read_back(tmp_path: Path) -> None:
    file = tmp_path / "t.last.json"
    assert read_last(file) == {}
    file.write_text(write_last({"KM-1": BEFORE}), encoding="utf-8")
    assert read_last(file) == {"KM-1": BEFORE}


@pytest.mark.parametrize(
    "text",
    ["", "[]", "{}", '{"pieces": 1}', "[" * 100_000,
     '{"pieces": {"A": {"says": [[[], "x"]], "notes": []}}}'],
)  # fmt: skip
def test_a_spoilt_memory_is_refused_in_words(tmp_path: Path, text: str) -> None:
    (tmp_path / "t.last.json").write_text(text, encoding="utf-8")
    with pytest.raises(TableError, match="delete it"):
        read_last(tmp_path / "t.last.json")


MAPPING = Mapping(
    "Test pieces: 1.xlsx", "Spring", (3, 4),
    (Column("Piece #", "piece"), Column("Bath / Ammonia (ml)", "ingredients", "ammonia", unit="ml"),
     Column("Temp °F", "temperature_c", unit="°F"), Column("Mood", "drop")),
    rows=(Numbered(17, "copper · fume, cold", "TEMP-001"),), always=(("metal", "brass"),),
)  # fmt: skip


def test_a_mapping_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    file = tmp_path / "m.yaml"
    for mapping in (
        MAPPING,
        Mapping("t.csv", "", (1, 1), MAPPING.columns, Order.MDY, "comma", "cp1252"),
    ):
        file.write_text(write_mapping(mapping), encoding="utf-8")
        assert read_mapping(file, "m.yaml") == mapping


def test_a_mapping_is_added_to_and_every_remark_stays(tmp_path: Path) -> None:
    text = write_mapping(MAPPING).replace("field: drop}", "field: drop}   # mine")
    added = add_to_mapping(
        text, "m", [Column("Jar", "notes")], [Numbered(20, "b", "TEMP-002")], Order.DMY
    )
    (tmp_path / "m.yaml").write_text(added, encoding="utf-8")
    mapping = read_mapping(tmp_path / "m.yaml", "m")
    assert mapping.columns == (*MAPPING.columns, Column("Jar", "notes"))
    assert mapping.rows == (*MAPPING.rows, Numbered(20, "b", "TEMP-002"))
    assert mapping.dates is Order.DMY
    assert set(text.splitlines()) <= set(added.splitlines())


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("temperature_c", "temprature_c", "did you mean “temperature_c”"),
        ("header: [3, 4]", "header: [4, 3]", "first and last row"),
        ("name: ammonia, part: amount", "name: ammonia, part: color", "amount, strength"),
        ("# dates: dmy", "dates: dym #", "one of: dmy, mdy, ymd"),
        ("number: TEMP-001", "number: ../x", "letters A to Z"),
        ("{metal: brass}", "{metl: brass}", "did you mean “metal”"),
        ("columns:", "colums:", "did you mean “columns”"),
        ("table:", "table: [", "[ is not closed"),
    ],
)
def test_a_wrong_mapping_is_refused_with_its_line(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    text = write_mapping(MAPPING)
    assert old in text
    (tmp_path / "m.yaml").write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(TableError) as caught:
        read_mapping(tmp_path / "m.yaml", "m.yaml")
    assert said in str(caught.value) and "m.yaml:" in str(caught.value)


def test_a_tables_own_name_is_made_a_plain_one() -> None:
    assert name_of("../Test pieces, 2024.xlsx") == "Test-pieces-2024"
    assert name_of("….csv") == "table"


def test_one_doubt_of_many_rows_is_said_once() -> None:
    doubts = gather_doubts(Doubt(row, "Gauge", "20", "mend") for row in (9, 5, 6, 7, 9))
    assert [doubt.say_rows() for doubt in doubts] == ["5–7, 9"]
