"""The mapping: the file that says what a table's columns become, ``imports/NAME.yaml``.

It is made once, shown, and its maker's from then on: later runs only add to it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping as MappingType
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.errors import SidecarError, TableError
from builder.importing.columns import DROP, MIXTURE, PARTS, Column, known_fields
from builder.importing.day_orders import Order
from builder.importing.tables import refuse
from builder.importing.text_tables import ENCODINGS
from builder.read.list_edits import add_items
from builder.read.plain_text import read_plain_text
from builder.read.sidecar import is_safe_number
from builder.read.text_edits import write_flow, write_text
from builder.read.text_yaml import Document, read_text_yaml
from builder.read.wording import describe_value, suggest
from builder.records.library import IMPORTS

_MOST_BYTES = 2_000_000
_KEYS = ("table", "sheet", "header", "encoding", "dates", "decimals", "always", "columns", "rows")
_COLUMN_KEYS = ("column", "field", "name", "part", "unit")
_ROW_KEYS = ("row", "begins", "number", "now")


@dataclass(frozen=True)
class Numbered:
    """A row without a number, the one it was given, and the final one (``now``), or "". ``row``
    counts from 1; ``begins`` are its first words, by which it is known again."""

    row: int
    begins: str
    number: str
    now: str = ""


@dataclass(frozen=True)
class Mapping:
    """``header``: first and last row of the header, from 1. ``dates`` None: not told. ``decimals``:
    "comma", "point" or "". ``always`` is said of every piece of which the table says nothing."""

    table: str
    sheet: str
    header: tuple[int, int]
    columns: tuple[Column, ...]
    dates: Order | None = None
    decimals: str = ""
    encoding: str = ""
    always: tuple[tuple[str, str], ...] = ()
    rows: tuple[Numbered, ...] = ()


def name_of(table: str) -> str:
    """The name under which what belongs to a table is kept: that of its file, plainly."""
    stem = Path(table).stem
    return re.sub(r"[^\w.-]+", "-", stem).strip("-.")[:60] or "table"


def mapping_file(root: Path, table: str) -> Path:
    """Where the mapping of a table lies in the library at ``root``."""
    return root / IMPORTS / f"{name_of(table)}.yaml"


def write_mapping(mapping: Mapping) -> str:
    """A mapping as the text of its file."""
    first, last = mapping.header
    lines = [
        "# What the columns of a table become. Yours to edit: it is read at every import, and only",
        "# rows and columns that are new are added to it. “Import a table” in the guide says more.",
        f"table: {write_text(mapping.table)}",
        *([f"sheet: {write_text(mapping.sheet)}"] if mapping.sheet else []),
        f"header: [{first}, {last}]             # its first and last row in the table",
        *([f"encoding: {mapping.encoding}"] if mapping.encoding else []),
        f"dates: {mapping.dates}" if mapping.dates else
        "# dates: dmy                # the order of 03/04/2024: dmy, mdy or ymd",
        f"decimals: {mapping.decimals}" if mapping.decimals else
        "# decimals: comma           # or point; told from the table where it is left out",
        *(
            [f"always: {write_flow(dict(mapping.always))}"] if mapping.always else
            ["# always: {metal: brass}   # said of every piece of which the table does not say it"]
        ),
        "columns:",
        *(f"  - {write_flow(list_column(column))}" for column in mapping.columns),
    ]  # fmt: skip
    if mapping.rows:
        lines += ["rows:", *(f"  - {write_flow(list_row(row))}" for row in mapping.rows)]
    return "\n".join(lines) + "\n"


def list_column(column: Column) -> dict[str, str]:
    """A column as an item of the mapping."""
    item = {"column": column.heading, "field": column.field}
    if column.name:
        item |= {"name": column.name, "part": column.part}
    return item | ({"unit": column.unit} if column.unit else {})


def list_row(row: Numbered) -> dict[str, str]:
    """A row without a number as an item of the mapping."""
    return {"row": str(row.row), "begins": row.begins, "number": row.number, "now": row.now}


def add_to_mapping(
    text: str, file: str, columns: Sequence[Column], rows: Sequence[Numbered], dates: Order | None
) -> str:
    """The text of a mapping with more items at the ends of its lists, and the order of its dates
    where that was asked for; all else as it was written. Raises ``TableError``."""
    items = [("columns", list_column(column)) for column in columns]
    items += [("rows", list_row(row)) for row in rows]
    lines = [f"dates: {dates}"] if dates else []
    edited = add_items(text, items, lines)
    if edited is None:
        by_hand = [*lines, *(f"{key}: - {write_flow(item)}" for key, item in items)]
        raise refuse(
            file, "it cannot be added to without touching more of it", "lists, an item a line",
            f"add by hand: {'; '.join(by_hand)}",
        )  # fmt: skip
    return edited


def read_mapping(path: Path, file: str) -> Mapping:
    """The mapping in a file; ``file`` is its name in problems. Raises ``TableError`` with every
    problem of it."""
    try:
        text = read_plain_text(path, file, _MOST_BYTES)
        document = read_text_yaml(text, file, spell_key=lambda key: key.strip().casefold())[0]
    except SidecarError as error:
        raise TableError(error.problems) from None
    return _Reader(document, file).read()


class _Reader:
    """One mapping's document; problems are gathered."""

    def __init__(self, document: Document, file: str) -> None:
        self.tree, self.lines, self.file = document.tree, document.lines, file
        self.errors: list[TableError] = []

    def read(self) -> Mapping:
        self._check_keys(self.tree, (), _KEYS)
        mapping = Mapping(
            table=self._text("table"),
            sheet=self._text("sheet"),
            header=self._read_header(),
            columns=tuple(self._read_columns()),
            dates=self._choose("dates", tuple(Order)),
            decimals=self._choose("decimals", ("comma", "point")) or "",
            encoding=self._choose("encoding", ENCODINGS) or "",
            always=self._read_always(),
            rows=tuple(self._read_rows()),
        )
        if not mapping.columns and not self.errors:
            self._note(("columns",), "there are no columns", "a list, a column a line",
                       "delete this file to have it made anew")  # fmt: skip
        if self.errors:
            raise TableError([problem for error in self.errors for problem in error.problems])
        return mapping

    def _note(self, at: tuple[str | int, ...], found: str, expected: str, remedy: str) -> None:
        line = next((self.lines[at[:end]] for end in range(len(at), -1, -1)
                     if at[:end] in self.lines), 0)  # fmt: skip
        self.errors.append(refuse(self.file, found, f"expected {expected}", remedy, line))

    def _check_keys(
        self, tree: MappingType[str, Any], at: tuple[str | int, ...], known: Sequence[str]
    ) -> None:
        for key in tree:
            if key not in known:
                self._note((*at, key), f"“{key}” is no key here", f"one of: {', '.join(known)}",
                           suggest(key, known, "delete it"))  # fmt: skip

    def _text(self, key: str, tree: MappingType[str, Any] | None = None) -> str:
        value = (self.tree if tree is None else tree).get(key, "")
        if isinstance(value, str):
            return value.strip()
        self._note((key,), f"{key} is {describe_value(value)}", "words on one line", "correct it")
        return ""

    def _choose(self, key: str, words: tuple[Any, ...]) -> Any:
        text = self._text(key).casefold()
        if not text:
            return None
        found = next((word for word in words if word == text), None)
        if found is None:
            self._note((key,), f"{key} is “{text}”", f"one of: {', '.join(words)}", "correct it")
        return found

    def _read_header(self) -> tuple[int, int]:
        value = self.tree.get("header", "")
        parts = value if isinstance(value, list) else [value]
        numbers = [int(p) for p in parts if isinstance(p, str) and p.isdecimal() and len(p) < 6]
        good = len(numbers) == len(parts) in (1, 2)
        if not good or not 1 <= numbers[0] <= numbers[-1] <= numbers[0] + 9:
            self._note(("header",), f"header is {describe_value(value)}",
                       "first and last row, such as [3, 4]", "correct it")  # fmt: skip
            return 1, 1
        return numbers[0], numbers[-1]

    def _items(self, key: str, known: Sequence[str]) -> list[tuple[int, dict[str, str]]]:
        value = self.tree.get(key, "")
        items: list[tuple[int, dict[str, str]]] = []
        listed: list[Any] = value if isinstance(value, list) else [value] if value else []
        for number, item in enumerate(listed):
            if not isinstance(item, dict) or not all(isinstance(v, str) for v in item.values()):
                self._note((key, number), f"item {number + 1} of {key} is {describe_value(item)}",
                           f"keys such as {', '.join(known)}", "correct it")  # fmt: skip
                continue
            self._check_keys(item, (key, number), known)
            items.append((number, {name: text.strip() for name, text in item.items()}))
        return items

    def _read_columns(self) -> list[Column]:
        columns, fields = [], known_fields()
        for number, item in self._items("columns", _COLUMN_KEYS):
            field = item.get("field", "") or DROP
            part = item.get("part", "") or "amount"
            at = ("columns", number, "field")
            if field not in fields:
                self._note(at, f"“{field}” is no field of a piece", "a key of the vocabulary, "
                           "notes or drop", suggest(field, fields, "correct it"))  # fmt: skip
            if item.get("name") and (field != MIXTURE or part not in PARTS):
                self._note(at, f"“{item['name']}” is {part} of {field}",
                           f"field: ingredients, and a part such as {', '.join(PARTS)}",
                           "correct it, or leave the name out")  # fmt: skip
            columns.append(
                Column(item.get("column", ""), field, item.get("name", ""), part,
                       item.get("unit", ""))
            )  # fmt: skip
        return columns

    def _read_always(self) -> tuple[tuple[str, str], ...]:
        value = self.tree.get("always", "")
        if not value:
            return ()
        fields = set(known_fields()) - {"piece", "photos", DROP, MIXTURE}
        if not isinstance(value, dict) or not all(isinstance(v, str) for v in value.values()):
            self._note(("always",), f"always is {describe_value(value)}",
                       "fields and words, such as {metal: brass}", "correct it")  # fmt: skip
            return ()
        for field in value:
            if field not in fields:
                self._note(("always", field), f"“{field}” is no field of a piece",
                           "a key of the vocabulary",
                           suggest(field, fields, "see docs/sidecar.md"))  # fmt: skip
        return tuple(value.items())

    def _read_rows(self) -> list[Numbered]:
        rows = []
        for number, item in self._items("rows", _ROW_KEYS):
            row, name, now = item.get("row", ""), item.get("number", ""), item.get("now", "")
            for key, text in (("number", name), ("now", now)):
                if (text or key == "number") and not is_safe_number(text):
                    self._note(("rows", number, key), f"{key} is “{text}”",
                               "letters A to Z, digits, and - _ . between them",
                               "correct it")  # fmt: skip
            rows.append(Numbered(int(row) if row.isdecimal() and len(row) < 8 else 0,
                                 item.get("begins", ""), name, now))  # fmt: skip
        return rows
