"""Tables in whatever form they come, and those that are refused."""

from __future__ import annotations

import datetime as dt
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from builder.errors import TableError
from builder.importing.reading import read_tables
from builder.importing.tables import MOST_COLUMNS, MOST_ROWS
from builder.importing.text_tables import find_delimiter
from tests.importing.workbooks import ods, ods_cell, text_cell, xlsx

ROWS = (("No.", "Metal", "Amount"), ("KM-1", "copper", "½ cup"), ("KM-2", "gilding metal", "5 °C"))


def save(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_bytes(text.encode(encoding))
    return path


@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-32", "cp1252"],
)
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_text_is_read_whatever_its_encoding_and_delimiter(
    tmp_path: Path, encoding: str, delimiter: str
) -> None:
    text = "\r\n".join(delimiter.join(row) for row in ROWS) + "\r\n"
    (table,) = read_tables(save(tmp_path / "t.csv", text, encoding))
    assert table.rows == ROWS
    assert table.commas is (delimiter == ";")
    assert bool(table.said) is (encoding == "cp1252")


def test_a_named_encoding_goes_before_what_the_bytes_look_like(tmp_path: Path) -> None:
    path = save(tmp_path / "t.csv", "No.,Note\nKM-1,Grünspan\n", "cp850")
    assert read_tables(path, "cp850")[0].rows[1][1] == "Grünspan"
    with pytest.raises(TableError, match="not utf-8 throughout"):
        read_tables(path, "utf-8")


def test_commas_in_numbers_and_titles_above_do_not_mislead_the_delimiter() -> None:
    text = "Kettlemoor, spring\n\nNo.;Thickness;Time\nA;0,9;1,5\nB;1,2;2,5\n"
    assert find_delimiter(text) == ";"


def test_cells_of_several_lines_stay_one_cell(tmp_path: Path) -> None:
    (table,) = read_tables(save(tmp_path / "t.csv", 'No.,Notes\nA,"one\ntwo, three"\n'))
    assert table.rows[1] == ("A", "one\ntwo, three")


def test_a_workbook_gives_days_numbers_and_merged_cells(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["B2"], sheet["C2"] = "No.", "Date"
    sheet["B3"], sheet["C3"], sheet["D3"] = 12.0, dt.datetime(2024, 10, 1), 0.25
    sheet["B4"], sheet["C4"] = "=1+2", dt.datetime(2024, 10, 1, 19, 30)
    sheet["D4"], sheet["E4"] = dt.timedelta(hours=30), True
    sheet.merge_cells("B3:B4")
    book.create_sheet("hidden").sheet_state = "hidden"
    book["hidden"]["A1"] = "secret"
    book.save(tmp_path / "t.xlsx")
    (table,) = read_tables(tmp_path / "t.xlsx")
    assert table.rows[2] == ("", "12", "2024-10-01", "0.25", "")
    assert table.rows[3] == ("", "", "2024-10-01T19:30", "1800 min", "yes")
    assert table.merged == ((2, 1, 3, 1),)


def test_a_formula_is_never_reckoned_out(tmp_path: Path) -> None:
    """Its last value is taken (ECMA-376, 18.3.1.40: f beside v), where there is one."""
    rows = ('<row r="1"><c r="A1"><f>1+2</f><v>3</v></c>'
            '<c r="B1" t="str"><f>HYPERLINK("x")</f></c></row>')  # fmt: skip
    (table,) = read_tables(xlsx(tmp_path / "t.xlsx", rows))
    assert table.rows[0] == ("3",)


def test_an_ods_file_gives_days_and_repeats(tmp_path: Path) -> None:
    dated = ods_cell("1.10.24", 'office:value-type="date" office:date-value="2024-10-01"')
    rest = '<table:table-cell table:number-columns-repeated="16382"/>'
    end = ('<table:table-row table:number-rows-repeated="1048574"><table:table-cell '
           'table:number-columns-repeated="16384"/></table:table-row>')  # fmt: skip
    rows = f"<table:table-row>{ods_cell('KM-1')}{dated}{rest}</table:table-row>{end}"
    (table,) = read_tables(ods(tmp_path / "t.ods", rows))
    assert table.rows == (("KM-1", "2024-10-01"),)


def _far_cell(path: Path) -> Path:
    row = f'<row r="1048576">{text_cell("XFD1048576", "y")}</row>'
    return xlsx(path, f'<row r="1">{text_cell("A1", "x")}</row>{row}')


def _implied_columns(path: Path) -> Path:
    return xlsx(path, "<row>" + "<c><v>1</v></c>" * 1_000_000 + "</row>")


def _repeated_text(path: Path) -> Path:
    shared = ('<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><si><t>'
              + "x" * 100_000 + "</t></si></sst>")  # fmt: skip
    cells = "".join(f'<row r="{n}"><c r="A{n}" t="s"><v>0</v></c></row>' for n in range(1, 2_000))
    return xlsx(path, cells, shared=shared)


def _entities(path: Path) -> Path:
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    return xlsx(path, f'<row r="1">{text_cell("A1", "&b;")}</row>', before=bomb)


def _swelling(path: Path) -> Path:
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book,
        book.open("xl/worksheets/sheet1.xml", "w") as part,
    ):
        for _ in range(200):
            part.write(b" " * 1_000_000)
    return path


def _repeated_cells(path: Path) -> Path:
    marks = 'office:value-type="string" table:number-columns-repeated="16384"'
    row = f'<table:table-row table:number-rows-repeated="1048576">{ods_cell("x", marks)}'
    return ods(path, f"{row}</table:table-row>")


def _many_rows(path: Path) -> Path:
    return xlsx(path, "".join(f'<row r="{n}"><c r="A{n}"><v>1</v></c></row>'
                              for n in range(1, MOST_ROWS + 2)))  # fmt: skip


@pytest.mark.parametrize(
    "make",
    [
        _far_cell,
        _implied_columns,
        _repeated_text,
        _entities,
        _swelling,
        _repeated_cells,
        _many_rows,
    ],
    ids=lambda make: make.__name__,
)
def test_a_hostile_workbook_is_refused_before_it_costs_anything(tmp_path: Path, make) -> None:  # type: ignore[no-untyped-def]
    path = make(tmp_path / ("t.ods" if "cells" in make.__name__ else "t.xlsx"))
    tracemalloc.start()
    try:
        with pytest.raises(TableError, match=r"at most|XLSX or ODS"):
            read_tables(path)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < 60_000_000


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("t.csv", b"", "nothing in it"),
        ("t.csv", b"a," * 1_000_000, f"at most {MOST_COLUMNS}"),
        ("t.csv", b'a,"' + b"x" * 200_000, "quotation mark"),
        ("t.csv", b"a\n" * (MOST_ROWS + 1), "shorter table"),
        ("t.csv", b"x" * 20_000_001, "larger than"),
        ("t.xlsx", b"PK\x03\x04 no zip file", "cannot be opened as a workbook"),
        ("t.xlsx", b"no zip file", "cannot be opened as a workbook"),
        ("t.pdf", b"%PDF", "no table by its name"),
    ],
)
def test_what_is_no_table_is_refused_in_words(
    tmp_path: Path, name: str, data: bytes, said: str
) -> None:
    (tmp_path / name).write_bytes(data)
    with pytest.raises(TableError) as caught:
        read_tables(tmp_path / name)
    assert said in str(caught.value)


def test_a_columns_end_that_says_nothing_is_no_column(tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_bytes(b"No.,Metal" + b"," * 5_000 + b"\nA,copper\n")
    assert read_tables(tmp_path / "t.csv")[0].width == 2


def test_bytes_after_what_was_changed_are_refused_or_read_and_never_raise_anything_else(
    tmp_path: Path,
) -> None:
    good = xlsx(tmp_path / "good.xlsx", f'<row r="1">{text_cell("A1", "x")}</row>').read_bytes()
    path = tmp_path / "t.xlsx"
    for at in range(0, len(good), 7):
        path.write_bytes(good[:at] + bytes([good[at] ^ 0x55]) + good[at + 1 :])
        try:
            read_tables(path)
        except TableError:
            continue
