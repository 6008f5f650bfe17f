"""Headings as workshops write them, to the sidecar's fields: common practice, no source."""

from __future__ import annotations

import pytest

from builder.importing.columns import known_fields, match_heading, propose_columns, split_unit
from builder.importing.headings import find_header
from builder.importing.tables import Merge, Table


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("No.", "piece", ""),
        ("Piece #", "piece", ""),
        ("SAMPLE NO", "piece", ""),
        ("Date coloured", "started", ""),
        ("Date Colored", "started", ""),
        ("date", "started", ""),
        ("Base metal", "metal", ""),
        ("Temp °F", "temperature_c", "°F"),
        ("Temp. (°C)", "temperature_c", "°C"),
        ("Temperature [deg C]", "temperature_c", "°C"),
        ("Exposure (days)", "exposure", "days"),
        ("Time in hours", "exposure", "hours"),
        ("Thickness mm", "thickness", "mm"),
        ("Gauge (SWG)", "thickness", "SWG"),
        ("Size (cm)", "size_mm", "cm"),
        ("RH %", "humidity_pct", "%"),
        ("Sealed with", "sealant.kind", ""),
        ("No. of coats", "sealant.coats", ""),
        ("Remarks", "notes", ""),
        ("Image file", "photos", ""),
        ("humidity_pct", "humidity_pct", ""),
        ("sealant.coats", "sealant.coats", ""),
    ],
)
def test_a_heading_means_its_field(heading: str, field: str, unit: str) -> None:
    column = match_heading((heading,))
    assert column is not None
    assert (column.field, column.unit, column.name) == (field, unit, "")


@pytest.mark.parametrize(
    ("levels", "name", "part", "unit"),
    [
        (("Ammonia (ml)",), "ammonia", "amount", "ml"),
        (("Liver of sulphur, g",), "liver of sulphur", "amount", "g"),
        (("Salt",), "salt", "amount", ""),
        (("Vinegar strength (%)",), "vinegar", "strength", "%"),
        (("Bath", "Water"), "water", "amount", ""),
        (("Recipe", "Magic dust (tsp)"), "magic dust", "amount", "tsp"),
    ],
)
def test_a_substance_or_an_amounts_unit_makes_an_ingredient(
    levels: tuple[str, ...], name: str, part: str, unit: str
) -> None:
    column = match_heading(levels)
    assert column is not None
    assert (column.field, column.name, column.part, column.unit) == (
        "ingredients",
        name,
        part,
        unit,
    )


@pytest.mark.parametrize(
    ("levels", "field"),
    [
        (("Sealing", "Date"), "sealant.date"),
        (("Sealing", "What"), "sealant.kind"),
        (("Wax", "Coats"), "sealant.coats"),
        (("Drying", "Time"), "dry.for"),
        (("Spring 2024", "Date"), "started"),
        (("Size", "Width (mm)"), "size_mm.width"),
    ],
)
def test_a_group_says_whose_date_or_kind_is_meant(levels: tuple[str, ...], field: str) -> None:
    column = match_heading(levels)
    assert column is not None and column.field == field


@pytest.mark.parametrize(
    "heading", ["Shelf mark", "Weight (g)", "Coverege %", "Yield %", "Mood", ""]
)
def test_what_is_not_known_is_not_guessed(heading: str) -> None:
    assert match_heading((heading,) if heading else ()) is None


def test_a_slip_of_the_pen_goes_to_the_notes_and_is_told() -> None:
    (proposal,) = propose_columns([("Temprature",)])
    assert proposal.column.field == "notes"
    assert "like temperature_c" in proposal.said


def test_the_second_of_two_that_mean_one_thing_goes_to_the_notes() -> None:
    first, second = propose_columns([("Metal",), ("Material",)])
    assert (first.column.field, second.column.field) == ("metal", "notes")
    assert "“Metal” is metal already" in second.said


@pytest.mark.parametrize(
    ("heading", "split"),
    [
        ("Ammonia (ml)", ("Ammonia", "ml")),
        ("Temp °F", ("Temp", "°F")),
        ("Time, days", ("Time", "days")),
        ("Vinegar fl oz", ("Vinegar", "fl oz")),
        ("Cover%", ("Cover", "%")),
        ("What went in", ("What went in", "")),
        ("Batch (old)", ("Batch (old)", "")),
    ],
)
def test_the_unit_of_a_heading_is_set_apart(heading: str, split: tuple[str, str]) -> None:
    assert split_unit(heading) == split


def test_every_field_of_a_column_is_one_a_sidecar_has() -> None:
    fields = known_fields()
    assert {"metal", "sealant.coats", "batch.mixed", "notes", "drop", "photos"} <= set(fields)
    assert not {"share", "change", "zones", "checks"} & set(fields)


def _table(*rows: tuple[str, ...], merged: tuple[Merge, ...] = ()) -> Table:
    wide = max(map(len, rows))
    return Table("t", "", tuple((*row, *[""] * (wide - len(row))) for row in rows), merged)


def test_a_header_is_found_under_titles_and_blank_rows() -> None:
    header = find_header(_table(("Spring", ""), ("", ""), ("No.", "Metal"), ("A", "copper")))
    assert header is not None and (header.first, header.last) == (2, 2)


def test_groups_stand_over_each_of_their_columns() -> None:
    rows = (("No.", "Bath", "", "Sealing", ""), ("", "Salt (g)", "Water", "What", "Date"),
            ("A", "5", "10", "wax", "1 Oct 2024"))  # fmt: skip
    expected = (("No.",), ("Bath", "Salt (g)"), ("Bath", "Water"), ("Sealing", "What"),
                ("Sealing", "Date"))  # fmt: skip
    plain = find_header(_table(*rows))
    merged = find_header(_table(*rows, merged=((0, 0, 1, 0), (0, 1, 0, 2), (0, 3, 0, 4))))
    assert plain is not None and plain.headings == expected
    assert merged is not None and merged.headings == expected


def test_units_in_a_row_of_their_own_belong_to_the_names_above() -> None:
    header = find_header(_table(("No.", "Temp", "Ammonia"), ("", "°F", "ml"), ("A", "60", "5")))
    assert header is not None and header.last == 1
    assert header.headings == (("No.",), ("Temp (°F)",), ("Ammonia (ml)",))


def test_rows_of_pieces_are_no_header() -> None:
    assert find_header(_table(("A", "copper"), ("B", "brass"))) is None


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Date done", "started"),
        ("When", "started"),
        ("How", "method"),
        ("Left for", "exposure"),
        ("How long?", "exposure"),
        ("Other", "notes"),
        ("What was used", "ingredients"),
    ],
)
def test_plain_words_over_a_column_are_understood(heading: str, field: str) -> None:
    column = match_heading((heading,))
    assert column is not None and column.field == field
