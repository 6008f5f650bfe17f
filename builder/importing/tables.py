"""A table as it was read: text in rows and columns, and nothing that moves."""

from __future__ import annotations

from dataclasses import dataclass

from builder.errors import Problem, TableError, Weight

#: What a stranger's table may cost.
MOST_BYTES = 20_000_000
MOST_UNPACKED = 150_000_000  # bytes of a workbook's parts together
MOST_ROWS = 20_000
MOST_COLUMNS = 300
MOST_SIGNS = 50_000_000  # of all cells together, repeats written out
LONGEST_CELL = 32_767  # signs; what spreadsheets hold themselves

#: First row, first column, last row, last column, each from 0.
Merge = tuple[int, int, int, int]


@dataclass(frozen=True)
class Table:
    """``rows[r][c]`` is text, every row as wide as the widest; row 0 is the sheet's first.

    ``file`` is the table's own name, ``sheet`` that of the sheet in it or "". ``merged``: cells
    joined into one, whose text stands in the first. ``commas``: whether the file's own form says
    that decimals are written with a comma (values are set apart by semicolons). ``said``: what is
    to be known of how it was read.
    """

    file: str
    sheet: str
    rows: tuple[tuple[str, ...], ...]
    merged: tuple[Merge, ...] = ()
    commas: bool = False
    said: tuple[str, ...] = ()

    @property
    def width(self) -> int:
        return len(self.rows[0]) if self.rows else 0


def refuse(file: str, found: str, expected: str, remedy: str, line: int = 0) -> TableError:
    """A table, or its mapping, that cannot be used: nothing is done."""
    return TableError(Problem(file, line, found, expected, remedy, Weight.STOPS))


def name_column(at: int) -> str:
    """The letters of column ``at`` (from 0) as spreadsheets show them: A, B … Z, AA."""
    letters = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def square(rows: list[list[str]]) -> tuple[tuple[str, ...], ...]:
    """Rows filled up to the widest; empty rows at the end, and empty columns, left out."""
    while rows and not any(rows[-1]):
        rows.pop()
    wide = max((at + 1 for row in rows for at, cell in enumerate(row) if cell), default=0)
    return tuple(tuple((row + [""] * wide)[:wide]) for row in rows)
