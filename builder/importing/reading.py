"""A table's file to the tables in it."""

from __future__ import annotations

import stat
from pathlib import Path

from builder.importing.tables import MOST_BYTES, Table, refuse
from builder.importing.text_tables import read_text_table
from builder.importing.workbooks import read_workbook
from builder.read.wording import show_name

_TEXT = (".csv", ".tsv", ".txt", ".tab")
_BOOKS = (".xlsx", ".xlsm", ".ods")
_ZIP = b"PK\x03\x04"


def read_tables(path: Path, encoding: str = "") -> tuple[Table, ...]:
    """The sheets of the table at ``path``, at least one with something in it; told by what is in
    the file, whatever it is called. Raises ``TableError``."""
    file = show_name(path.name)
    try:
        status = path.stat()
        regular = stat.S_ISREG(status.st_mode)  # opening a pipe would wait for ever
        large = status.st_size > MOST_BYTES
        data = path.read_bytes() if regular and not large else b""
    except OSError as error:
        reason = (error.strerror or type(error).__name__).lower()
        raise refuse(file, f"it cannot be opened: {reason}", "a table that can be read",
                     "check its name and that you may read it") from None  # fmt: skip
    if not regular or path.suffix.lower() not in (*_TEXT, *_BOOKS):
        raise refuse(
            file, "this is no table by its name", f"a file ending in {', '.join(_TEXT + _BOOKS)}",
            "save it as CSV, XLSX or ODS",
        )  # fmt: skip
    if large:
        raise refuse(file, f"it is larger than {MOST_BYTES / 1e6:.0f} MB", "a smaller table",
                     "take pictures and other sheets out of it, or save it as CSV")  # fmt: skip
    book = data.startswith(_ZIP) or path.suffix.lower() in _BOOKS
    tables = read_workbook(path, file) if book else (read_text_table(data, file, encoding),)
    if not any(table.rows for table in tables):
        raise refuse(file, "there is nothing in it", "rows of pieces", "look at the file")
    return tables
