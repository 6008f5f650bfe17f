"""XLSX and ODS, by python-calamine: values as they were last reckoned, formulas never."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from python_calamine import CalamineSheet, CalamineWorkbook, SheetVisibleEnum

from builder.importing.tables import LONGEST_CELL, Merge, Table, refuse, square
from builder.importing.workbook_limits import check_workbook

_SIGNS_KEPT = 12  # of a number; a workbook's own are 15, the last of which are rounding


def read_workbook(path: Path, file: str) -> tuple[Table, ...]:
    """Every sheet that is not hidden and holds anything. Raises ``TableError``."""
    check_workbook(path, file)
    try:
        return tuple(_read_sheets(path, file))
    except (KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except BaseException as error:  # a fault inside the reader is no Exception
        if not isinstance(error, Exception) and type(error).__name__ != "PanicException":
            raise
        raise refuse(
            file,
            f"it cannot be read as a workbook ({error})",
            "an XLSX or ODS file",
            "open it in a spreadsheet and save it again, or save the sheet as CSV",
        ) from None


def _read_sheets(path: Path, file: str) -> Iterator[Table]:
    with CalamineWorkbook.from_path(path) as book:
        for sheet in book.sheets_metadata:
            if sheet.visible == SheetVisibleEnum.Visible:
                table = _read_sheet(book.get_sheet_by_name(sheet.name), sheet.name, file)
                if table.rows:
                    yield table


def write_cell(value: Any) -> str:
    """A cell's value as text: days as 2024-10-01, whole numbers without a point."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        whole = value.is_integer() and abs(value) < 1e15
        return str(int(value)) if whole else f"{value:.{_SIGNS_KEPT}g}"
    if isinstance(value, dt.datetime):
        return value.isoformat(timespec="minutes") if value.time() != dt.time() else _day(value)
    if isinstance(value, dt.time):
        return value.isoformat(timespec="minutes")
    if isinstance(value, dt.timedelta):
        return _write_time(value)
    return str(value).replace("\r\n", "\n").strip()


def _day(value: dt.datetime) -> str:
    return value.date().isoformat()


def _write_time(value: dt.timedelta) -> str:
    """``90 min``; a workbook keeps times without days as parts of one."""
    seconds = round(value.total_seconds())
    return f"{seconds} s" if seconds % 60 else f"{seconds // 60} min"


def _read_sheet(sheet: CalamineSheet, name: str, file: str) -> Table:
    rows = [
        [write_cell(cell)[:LONGEST_CELL] for cell in row]
        for row in sheet.to_python(skip_empty_area=False)
    ]
    merged: list[Merge] = [
        (top, left, bottom, right)
        for (top, left), (bottom, right) in sheet.merged_cell_ranges or ()
    ]
    return Table(file, name, square(rows), tuple(merged))
