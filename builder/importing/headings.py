"""Where a table's header is: under titles, in one row or several, with groups and units."""

from __future__ import annotations

from dataclasses import dataclass

from builder.importing.columns import NUMBER, match_heading, read_unit
from builder.importing.tables import Table

_LOOKED_AT = 40  # rows among which the header is looked for
_MOST_LEVELS = 3
_LEAST = 2  # columns that are to be known, for a row to be a header

Levels = tuple[str, ...]


@dataclass(frozen=True)
class Header:
    """``first`` and ``last`` row of the header, from 0; the ``headings`` of every column, from its
    group down to its own; ``known`` counts those that mean something."""

    first: int
    last: int
    headings: tuple[Levels, ...]
    known: int = 0


def find_header(table: Table) -> Header | None:
    """The rows that say most of what the columns are; None where none says enough."""
    best: Header | None = None
    for first in range(min(_LOOKED_AT, len(table.rows))):
        for last in range(first, min(first + _MOST_LEVELS, len(table.rows))):
            header = read_header(table, first, last)
            if header.known >= _LEAST and (best is None or _goodness(header) > _goodness(best)):
                best = header
    if best is None:
        return None
    after = best.last + 1
    if after < len(table.rows) and _is_units(table.rows[after]):
        return read_header(table, best.first, after)
    return best


def read_header(table: Table, first: int, last: int) -> Header:
    """The header in the rows ``first`` to ``last``, whatever they say."""
    levels = [_spread(table, row, row < last) for row in range(first, last + 1)]
    headings = tuple(_join(column) for column in zip(*levels, strict=True))
    columns = [match_heading(heading) for heading in headings]
    known = len({(c.field, c.name, c.part) for c in columns if c is not None})
    return Header(first, last, headings, known)


def _goodness(header: Header) -> tuple[int, bool, int, int]:
    """More known columns, a number among them, fewer rows, further up."""
    columns = (match_heading(heading) for heading in header.headings)
    numbered = any(column is not None and column.field == NUMBER for column in columns)
    return header.known, numbered, header.first - header.last, -header.first


def _spread(table: Table, row: int, is_group: bool) -> list[str]:
    """The cells of a header's row; a group's heading stands over each of its columns: over those it
    is merged with, or, where the file tells of no merging, over the empty ones after it."""
    cells = [" ".join(cell.split()) for cell in table.rows[row]]
    for top, left, bottom, right in table.merged:
        if top <= row <= bottom and left < len(cells):
            text = " ".join(table.rows[top][left].split()) if top < len(table.rows) else ""
            # Of one merged downwards the lowest row has it, for the others have groups.
            for at in range(left, min(right, len(cells) - 1) + 1):
                cells[at] = text if top == bottom or row == bottom else ""
    if is_group and not table.merged:
        below = table.rows[row + 1] if row + 1 < len(table.rows) else ()
        held = ""
        for at, cell in enumerate(cells):
            held = cell or held
            if not cell and held and at < len(below) and below[at]:
                cells[at] = held
            elif not cell:
                held = ""
    return cells


def _join(cells: tuple[str, ...]) -> Levels:
    """One column's heading; a unit below a name belongs to it."""
    levels: list[str] = []
    for cell in cells:
        if cell and levels and read_unit(cell.strip("()[]")):
            levels[-1] = f"{levels[-1]} ({cell.strip('()[]')})"
        elif cell and cell not in levels:
            levels.append(cell)
    return tuple(levels)


def _is_units(row: tuple[str, ...]) -> bool:
    filled = [cell for cell in row if cell]
    return bool(filled) and all(read_unit(cell.strip("()[]")) for cell in filled)
