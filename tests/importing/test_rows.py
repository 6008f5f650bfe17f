"""Rows to what sidecars say."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.importing.columns import Column
from builder.importing.mapping import Mapping
from builder.importing.preparing import follow_mapping, propose_mapping
from builder.importing.rows import Rows, read_rows
from builder.importing.tables import Table, square
from builder.read.leaves import make_tree
from builder.read.sidecar import read_documents
from builder.read.sidecar_text import write_sidecar_text
from builder.records.words import OUTCOMES

TODAY = dt.date(2026, 6, 1)


def read(*rows: tuple[str, ...], columns: tuple[Column, ...] = ()) -> Rows:
    table = Table("t.csv", "", square([list(row) for row in rows]))
    prepared = propose_mapping([table])
    if columns:
        prepared = follow_mapping([table], Mapping("t.csv", "", (1, 1), columns))
    return read_rows(prepared.table, prepared.placed, prepared.mapping, TODAY)


def value(heading: str, cell: str) -> object:
    """What one cell under a heading becomes: the only leaf of its piece."""
    piece = read(("No.", "Metal", heading), ("A", "tin", cell)).pieces[0]
    leaves = {path: said for path, said in piece.leaves.items() if path != ("metal",)}
    return leaves.popitem()[1] if leaves else None


@pytest.mark.parametrize(
    ("heading", "cell", "said"),
    [
        ("Ammonia (ml)", "120", "120 ml"),
        ("Ammonia (ml)", "3 tsp", "3 tsp"),
        ("Ammonia (ml)", "½", "½ ml"),
        ("Ammonia (ml)", "3-4", "3-4 ml"),
        ("Ammonia (ml)", "about 5", "about 5 ml"),
        ("Ammonia (ml)", "a splash", "a splash"),
        ("Ammonia (ml)", "?", "?"),
        ("Ammonia (ml)", "yes", "ammonia"),
        ("Ammonia (ml)", "0", None),
        ("Ammonia (ml)", "-", None),
        ("Temp °F", "113", "113 °F"),
        ("Temp °F", "45 °C", "45 °C"),
        ("Humidity %", "55", "55 %"),
        ("Humidity %", "55%", "55%"),
        ("Exposure (days)", "overnight", "overnight"),
        ("Size (cm)", "10 x 15", "10 x 15 cm"),
        ("Size (mm)", '2" square', '2" square'),
        ("Colours", "chalky, blue-green", ("chalky", "blue-green")),
        ("Prep", "abrade 400; degrease", ("abrade 400", "degrease")),
        ("Sealed with", "no", "none"),
        ("Starred", "x", "yes"),
        ("Same as", "No. KM 012", "KM-012"),
        ("Date", "not recorded", "not recorded"),
    ],
)
def test_a_cell_keeps_its_words_with_the_headings_unit(
    heading: str, cell: str, said: object
) -> None:
    assert value(heading, cell) == said


def test_a_recipe_column_gives_each_ingredient() -> None:
    piece = read(("No.", "Metal", "Recipe"), ("A", "tin", "200 ml ammonia; 3 tsp salt")).pieces[0]
    assert make_tree(piece.leaves)["ingredients"] == [
        {"name": "ammonia", "amount": "200 ml"}, {"name": "salt", "amount": "3 tsp"},
    ]  # fmt: skip


def test_width_and_height_of_their_own_make_a_size() -> None:
    piece = read(("No.", "Width (mm)", "Height (mm)"), ("A", "100", "150"), ("B", "100", "")).pieces
    assert piece[0].leaves == {("size_mm",): ("100 mm", "150 mm")}
    assert piece[1].leaves == {} and piece[1].notes == {"Width (mm)": "100 mm"}


def test_shares_that_may_be_parts_of_one_are_doubted_and_can_be_said_to_be() -> None:
    rows = (("No.", "RH %"), ("A", "0.55"), ("B", "0.4"))
    assert any("between 0 and 1" in doubt.found for doubt in read(*rows).doubts)
    columns = (Column("No.", "piece"), Column("RH %", "humidity_pct", unit="fraction"))
    said = read(*rows, columns=columns)
    assert [piece.leaves["humidity_pct",] for piece in said.pieces] == ["55 %", "40 %"]
    assert not said.doubts


def test_header_rows_within_the_table_and_blank_rows_are_passed_over() -> None:
    header = ("No.", "Metal")
    rows = read(header, ("A", "tin"), ("", ""), header, ("B", "tin"))
    assert [(piece.row, piece.number) for piece in rows.pieces] == [(2, "A"), (5, "B")]


_CELL = st.one_of(
    st.text(max_size=40),
    st.sampled_from(
        ["1,5", "½ cup", "3/4/24", '"', "=1+1", "a splash", "KM-1", "°F", "0.05", "ditto"]
    ),
)
_HEADINGS = st.lists(
    st.sampled_from(["No.", "Metal", "Date", "Temp °F", "Salt", "Recipe", "Notes", "Photo", "Prep",
                     "Width", "Height", "RH %", "Sealing / Date", "?"]),
    min_size=2, max_size=8, unique=True,
)  # fmt: skip


@settings(max_examples=150)
@given(_HEADINGS, st.lists(st.lists(_CELL, max_size=9), max_size=8))
def test_any_table_goes_through_and_is_written_as_it_is_read(
    headings: list[str], body: list[list[str]]
) -> None:
    cells = [[cell.strip() for cell in row] for row in body]
    table = Table("t.csv", "", square([["No.", "Metal"], *cells]))
    wide = Table("t.csv", "", square([[*headings, "No.", "Metal"], *cells]))
    for one in (table, wide):
        prepared = propose_mapping([one])
        for piece in read_rows(one, prepared.placed, prepared.mapping, TODAY).pieces:
            tree = make_tree(piece.leaves)
            text = write_sidecar_text({"piece": "A", **tree})
            (document,) = read_documents(text, "x")
            assert set(document.tree) == {"piece", *tree}


def test_a_day_that_the_calendar_has_not_is_said_to_be_none() -> None:
    said = [doubt.found for doubt in read(("No.", "Date"), ("A", "31/02/2024")).doubts]
    assert "started is “31/02/2024”: there is no such day" in said


@pytest.mark.parametrize(
    ("cell", "metal"), [("Cu", "copper"), ("AG", "silver"), ("Fe", "iron"), ("Xy", "Xy")]
)
def test_a_metals_symbol_is_its_name_or_a_doubt(cell: str, metal: str) -> None:
    rows = read(("No.", "Metal", "Date"), ("A", cell, "2024-10-01"))
    assert rows.pieces[0].leaves["metal",] == metal
    assert any("no metal’s symbol" in doubt.found for doubt in rows.doubts) == (cell == metal)


def test_a_choice_is_told_with_its_words() -> None:
    (doubt,) = read(("No.", "Outcome"), ("A", "lovely")).doubts
    assert doubt.found == "outcome is “lovely”"
    assert doubt.todo == f"choose one of: {', '.join(OUTCOMES)}"
