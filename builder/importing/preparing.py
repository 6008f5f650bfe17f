"""A table and its mapping brought together: which sheet, which rows are its header, which column is
what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from builder.importing.columns import DROP, NUMBER, Column, propose_columns
from builder.importing.doubts import Doubt
from builder.importing.headings import Header, find_header, read_header
from builder.importing.mapping import Mapping, name_of
from builder.importing.tables import Table, name_column, refuse
from builder.read.wording import quote, suggest
from builder.records.library import IMPORTS


@dataclass(frozen=True)
class Prepared:
    """A ``table`` with its ``mapping``; ``placed`` are the columns with their places, ``added``
    those that the mapping did not have, ``doubts`` those about columns and header."""

    table: Table
    mapping: Mapping
    placed: tuple[tuple[int, Column], ...]
    added: tuple[Column, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def propose_mapping(tables: Sequence[Table], sheet: str = "") -> Prepared:
    """What the columns of a table are by their headings. Raises ``TableError`` where there is no
    such ``sheet``, or no header can be found."""
    choice = [_choose_sheet(tables, sheet)] if sheet else list(tables)
    found = [(header, table) for table in choice if (header := find_header(table))]
    if not found:
        raise refuse(
            tables[0].file,
            "no row of it looks like a header",
            "a row of headings such as Number, Metal, Date, Notes",
            "write such a row above the pieces",
        )
    header, table = max(found, key=lambda pair: pair[0].known)
    mapping = Mapping(table.file, table.sheet, (header.first + 1, header.last + 1), ())
    prepared = _place(table, mapping, header)
    doubts = [Doubt(0, "", said, "look whether it is read as it should be") for said in table.said]
    if len(found) > 1:
        others = ", ".join(quote(other.sheet) for _, other in found if other is not table)
        doubts.append(Doubt(0, "", f"sheet {quote(table.sheet)} is read, and not {others}",
                            "name another with --sheet; each is imported by itself"))  # fmt: skip
    fields = {column.field for _, column in prepared.placed}
    if NUMBER not in fields:
        doubts.append(Doubt(0, "", "no column gives the piece's number",
                            "each row gets a temporary one; name it in the mapping"))  # fmt: skip
    return replace(
        prepared,
        mapping=replace(mapping, columns=prepared.added),
        added=(),
        doubts=(*doubts, *prepared.doubts),
    )


def follow_mapping(tables: Sequence[Table], mapping: Mapping, sheet: str = "") -> Prepared:
    """A table read by a mapping that is there. Raises ``TableError`` where a column it speaks of is
    not in the table."""
    table = _choose_sheet(tables, sheet or mapping.sheet)
    first, last = mapping.header
    headers = [read_header(table, first - 1, last - 1)] if last <= len(table.rows) else []
    other = find_header(table)
    headers += [other] if other else []
    best = max(headers, key=lambda h: -len(_list_missing(h, mapping)), default=None)
    missing = _list_missing(best, mapping) if best else [c.heading for c in mapping.columns]
    if best is None or missing:
        first_missing = missing[0] if missing else ""
        headings = [_name(levels) for levels in best.headings if levels] if best else []
        near = suggest(first_missing, headings, "look at the table;")
        raise refuse(
            table.file,
            f"there is no column {quote(first_missing)}",
            f"the columns that {IMPORTS}/{name_of(mapping.table)}.yaml speaks of",
            f"{near} correct the mapping, or delete the column's line there",
        )
    prepared = _place(table, mapping, best)
    if (best.first + 1, best.last + 1) == mapping.header:
        return prepared
    moved = Doubt(0, "", f"the header now stands in row {best.first + 1}, and not {first}",
                  "read from there")  # fmt: skip
    mapping = replace(mapping, header=(best.first + 1, best.last + 1))
    return replace(prepared, mapping=mapping, doubts=(moved, *prepared.doubts))


def _choose_sheet(tables: Sequence[Table], sheet: str) -> Table:
    wanted = [t for t in tables if not sheet or t.sheet.casefold() == sheet.casefold()]
    if not wanted:
        names = [table.sheet for table in tables if table.sheet]
        listed = f"one of: {', '.join(map(quote, names))}" if names else "leave the sheet out"
        raise refuse(tables[0].file, f"there is no sheet {quote(sheet)}", listed,
                     suggest(sheet, names, "name one of them"))  # fmt: skip
    return wanted[0]


def _place(table: Table, mapping: Mapping, header: Header) -> Prepared:
    """Each column where its heading stands; the second of two alike is the second of the
    mapping's."""
    waiting = list(mapping.columns)
    places: dict[int, Column] = {}
    doubts: list[Doubt] = []
    for at, levels in enumerate(header.headings):
        column = next((c for c in waiting if c.heading == _name(levels)), None)
        if column:
            waiting.remove(column)
            places[at] = column
    left = [at for at in range(len(header.headings)) if at not in places]
    known = [(column.heading, column) for column in mapping.columns]
    proposals = propose_columns([header.headings[at] for at in left], dict(known).values())
    added = []
    for at, proposal in zip(left, proposals, strict=True):
        column = proposal.column
        if not column.heading:
            held = [row for row in table.rows[header.last + 1 :] if row[at]]
            if held:
                found = f"a column without a heading, which says {quote(held[0][at])}"
                doubts.append(Doubt(0, name_column(at), found, "left out; give it a heading"))
            continue
        places[at] = column
        added.append(column)
        if proposal.said:
            doubts.append(Doubt(0, column.heading, proposal.said,
                                "say in the mapping what it is, if not that"))  # fmt: skip
        if mapping.columns:
            doubts.append(
                Doubt(0, column.heading, "this column is new", f"taken as {column.field}")
            )
    placed = tuple((at, places[at]) for at in sorted(places))
    return Prepared(table, mapping, placed, tuple(added), tuple(doubts))


def _list_missing(header: Header, mapping: Mapping) -> list[str]:
    there = [_name(levels) for levels in header.headings]
    missing = []
    for column in mapping.columns:
        if column.heading in there:
            there.remove(column.heading)
        elif column.field != DROP:
            missing.append(column.heading)
    return missing


def _name(levels: tuple[str, ...]) -> str:
    return " / ".join(levels)
