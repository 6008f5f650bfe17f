"""The messy table of the tests: sixty rows as a workshop of our own making might have kept them.

``python -m tests.importing.messy_table`` writes ``tests/data/messy_table.xlsx`` anew, the same
bytes each time. Everything in it is invented.

What is wrong with it, on purpose: two rows of titles above the header; a header of two rows with
merged groups; units in the headings; metals merged downwards; blank rows between the evenings; two
orders of dates in one column; a number that occurs twice; two rows without a number; amounts in the
notes; "a splash", "overnight", "3 tsp", "½ cup"; ditto marks; a cell that looks like a formula; a
gauge without its system; a heading with a slip of the pen; a line of totals at the end.
"""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from pathlib import Path

from openpyxl import Workbook

FILE = Path(__file__).parents[1] / "data" / "messy_table.xlsx"
PIECES = 60  # rows that are meant as pieces, one of them under a number that is taken
MADE = 59
GROUPS = (
    (1, 1, "Piece #"), (2, 2, "Date coloured"), (3, 3, "Metal"), (4, 4, "Gauge"), (5, 5, "Process"),
    (6, 9, "Bath"), (10, 10, "Temp °F"), (11, 11, "Exposure"), (12, 14, "Sealing"),
    (15, 15, "Outcome"), (16, 16, "Colour"), (17, 17, "Photo"), (18, 18, "Shelf"),
    (19, 19, "Coverege %"), (20, 20, "Notes"),
)  # fmt: skip
SECOND = {6: "Ammonia (ml)", 7: "Salt", 8: "Vinegar", 9: "Sawdust (g)", 12: "What", 13: "Coats",
          14: "Date"}  # fmt: skip
_STAMPED = re.compile(rb'(?<=W3CDTF">)[^<]+')
_WHEN = b"2026-01-05T12:00:00Z"
_STAMP = dt.datetime(2026, 1, 5, 12, 0)
_METALS = ("copper", "brass", "gilding metal", "mild steel")
_PROCESSES = ("fume", "buried in damp sawdust", "dip", "spray")
_COLOURS = ("chalky, blue-green", "brown", "grey-green; mottled", "black")


def list_rows() -> list[list[object]]:
    """The rows below the header: pieces, blank rows between evenings, and totals."""
    rows: list[list[object]] = []
    for number in range(1, PIECES + 1):
        if number > 1 and number % 10 == 1:
            rows.append([])
        rows.append(_piece(number))
    rows += [[], ["Total", None, None, None, None, 4130]]
    return rows


def _piece(number: int) -> list[object]:
    kind = (number - 1) // 15
    day = dt.date(2024, 1, 9) + dt.timedelta(days=7 * (number - 1))
    piece: object = f"KM-{number:03d}"
    date: object = day  # the first half was typed as days, the second as text
    if number > 30:
        date = f"{day.day}/{day.month}/{day.year}"
    if number in (47, 48):  # a visitor wrote these two
        date = f"{day.month}/{day.day}/{day.year}"
    ammonia: object = 40 + number if kind in (0, 2) else None
    salt: object = {0: "3 tsp", 1: "½ cup", 2: '"', 3: "15 g"}[number % 4] if kind < 2 else None
    vinegar: object = "a splash" if number % 7 == 0 else 120 if kind == 1 else None
    sealed = number % 3 == 0
    row: list[object] = [
        piece, date, _METALS[kind] if number % 5 == 1 else None, 20 if kind == 3 else "0.9 mm",
        _PROCESSES[kind], ammonia, salt, f"{vinegar} ml" if vinegar == 120 else vinegar,
        200 if kind == 1 else None, 64 + number % 9, "overnight" if number % 8 == 0 else
        f"{1 + number % 5} days", "micro wax" if sealed else "none", 2 if sealed else None,
        day + dt.timedelta(days=14) if sealed else None,
        ("success", "part success", "failure")[number % 3], _COLOURS[kind],
        f"IMG_{2200 + number}.JPG" if number < 3 else None, f"B{kind + 1}", 40 + number % 50, None,
    ]  # fmt: skip
    return _spoil(number, row)


def _spoil(number: int, row: list[object]) -> list[object]:
    notes = {
        5: "Added 3 tsp salt after two days",
        12: "=HYPERLINK(\"x\",\"y\")",
        18: "Lovely sea-green; not what was picked",
        29: "too strong? ½ cup of water next time",
    }  # fmt: skip
    row[19] = notes.get(number)
    if number in (22, 41):
        row[0] = None
    if number == 36:
        row[0] = "KM-035"
    if number == 53:
        row[9] = "warm"
    if number == 54:
        row[0] = "KM 054"
    return row


def write_messy_table(path: Path) -> None:
    """Write the workbook; twice written it has the same bytes."""
    book = Workbook()
    book.properties.created = book.properties.modified = _STAMP
    book.properties.creator = ""
    sheet = book.active
    assert sheet is not None
    sheet.title = "Evenings"
    sheet["A1"] = "Kettlemoor metal evenings: test plates"
    sheet.merge_cells("A1:T1")
    sheet["A2"] = "copied from the green notebook"
    for first, last, heading in GROUPS:
        sheet.cell(4, first, heading)
        if last > first:
            sheet.merge_cells(start_row=4, end_row=4, start_column=first, end_column=last)
        else:
            sheet.merge_cells(start_row=4, end_row=5, start_column=first, end_column=first)
    for column, heading in SECOND.items():
        sheet.cell(5, column, heading)
    for at, row in enumerate(list_rows(), start=6):
        for column, value in enumerate(row, start=1):
            if value is not None:
                cell = sheet.cell(at, column, value)
                if isinstance(value, str) and value.startswith("="):
                    cell.data_type = "s"
        if len(row) > 6 and row[2]:
            sheet.merge_cells(start_row=at, end_row=at + 4, start_column=3, end_column=3)
    book.save(path)
    _fix_times(path)


def _fix_times(path: Path) -> None:
    """A zip file holds the time of writing for each part."""
    with zipfile.ZipFile(path) as book:
        parts = [(name, _STAMPED.sub(_WHEN, book.read(name))) for name in book.namelist()]
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in parts:
            book.writestr(zipfile.ZipInfo(name, _STAMP.timetuple()[:6]), data, zipfile.ZIP_DEFLATED)


if __name__ == "__main__":
    write_messy_table(FILE)
    print(f"wrote {FILE}")
