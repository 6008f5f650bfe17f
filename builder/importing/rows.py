"""Rows to pieces: what each says, in the table's own words, and every doubt."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from builder.importing.columns import (
    DROP,
    FRACTION,
    MIXTURE,
    NOTES,
    NUMBER,
    PHOTOS,
    SIDES,
    Column,
    is_date,
    is_measured,
)
from builder.importing.day_orders import Order, find_order, is_open, read_day
from builder.importing.decimals import Decimals, find_decimals, read_decimals
from builder.importing.doubts import Doubt
from builder.importing.mapping import Mapping
from builder.importing.recipes import find_amounts, read_recipe
from builder.importing.symbols import METAL_SYMBOLS
from builder.importing.tables import Table
from builder.importing.vetted_rows import vet_leaves
from builder.read.leaves import Path, Value
from builder.read.sidecar import is_safe_number
from builder.read.wording import quote

_EMPTY = frozenset({"", "-", "–", "—", "--", ".", "n/a", "na", "n.a.", "nil"})
_DITTO = frozenset({'"', "''", "”", "“", "″", "〃", "ditto", "do.", "do", "as above", "same"})
_TICKS = frozenset({"x", "yes", "y", "✓", "✔", "used", "true"})
_NONE_USED = frozenset({"0", "no", "none", "n", "false"})
_LISTED = re.compile(r"\s*[,;/\n]\s*")
_STEPS = re.compile(r"\s*(?:[;\n>→]|,(?![0-9])|\bthen\b)\s*")
_FILES = re.compile(r"\s*[,;\n|]\s*")
_SUMS = frozenset({"total", "totals", "sum", "average", "mean", "count", "subtotal"})
_FORMULA = re.compile(r"[=+@](?:[A-Za-z]|\()")
_BARE = re.compile(r"[^\W_]", re.UNICODE)
_FULL_PER_CENT = 100.0
_LONGEST_BEGINNING = 60
_LONGEST_RECIPE = 1_000  # signs; what is longer is a story, and goes to the notes


@dataclass(frozen=True)
class RowPiece:
    """What one row says. ``row`` counts from 1; ``number`` is "" where the row has none.

    ``notes``: texts by the heading they stood under, "" for notes proper. ``columns``: the heading
    of what each leaf was read from. ``begins``: the row's first words but its number.
    """

    row: int
    number: str
    leaves: dict[Path, Value]
    notes: dict[str, str]
    photos: tuple[str, ...] = ()
    columns: dict[Path, str] = field(default_factory=dict)
    begins: str = ""


@dataclass(frozen=True)
class Rows:
    """The ``pieces`` of a table and its ``doubts``; ``open_dates``: dates whose order nothing
    tells, so that it has to be asked, as (row, heading, text)."""

    pieces: tuple[RowPiece, ...]
    doubts: tuple[Doubt, ...]
    open_dates: tuple[tuple[int, str, str], ...]


def read_rows(
    table: Table, placed: Sequence[tuple[int, Column]], mapping: Mapping, today: dt.date
) -> Rows:
    """Every row below the header that says something. ``placed``: the columns with their places."""
    return _Reader(table, placed, mapping, today).read()


class _Reader:
    """One table's rows; what holds for whole columns is found first."""

    def __init__(
        self, table: Table, placed: Sequence[tuple[int, Column]], mapping: Mapping, today: dt.date
    ) -> None:
        self.table, self.placed, self.mapping, self.today = table, placed, mapping, today
        self.doubts: list[Doubt] = []
        self.open_dates: list[tuple[int, str, str]] = []
        self.first = mapping.header[1]
        self.body = self._fill()
        self.decimals = self._find_decimals()
        self.orders = self._find_orders()

    def read(self) -> Rows:
        header = self.table.rows[self.first - 1] if self.first else ()
        pieces = []
        self._note_shares()
        for number, cells in enumerate(self.body, start=self.first + 1):
            if any(cells) and cells != header:
                told, left_open = len(self.doubts), len(self.open_dates)
                piece = self._read_row(number, cells)
                if piece:
                    pieces.append(piece)
                    said = {doubt.column for doubt in self.doubts[told:]}
                    said |= {heading for _, heading, _ in self.open_dates[left_open:]}
                    self.doubts += self._vet(piece, said)
        return Rows(tuple(pieces), tuple(self.doubts), tuple(self.open_dates))

    def _vet(self, piece: RowPiece, said: set[str]) -> list[Doubt]:
        """What a sidecar's reader would say of the piece, but of dates in columns of which it was
        ``said`` already."""
        dated = {column.heading for _, column in self.placed if is_date(column.field)} & said
        vetted = vet_leaves(piece.row, piece.leaves, piece.columns)
        return [doubt for doubt in vetted if doubt.column not in dated]

    def _doubt(
        self, row: int, column: Column | None, found: str, todo: str, left: bool = False
    ) -> None:
        self.doubts.append(Doubt(row, column.heading if column else "", found, todo, left))

    def _fill(self) -> list[tuple[str, ...]]:
        """The rows below the header, cells that were merged downwards filled."""
        rows = [list(row) for row in self.table.rows[self.first :]]
        for top, left, bottom, right in self.table.merged:
            if top < self.first or bottom == top or left >= self.table.width:
                continue
            text = self.table.rows[top][left] if top < len(self.table.rows) else ""
            last = min(bottom, len(self.table.rows) - 1)
            for row in range(top + 1, last + 1):
                rows[row - self.first][left] = text
            columns = [c for at, c in self.placed if left <= at <= right]
            if text and columns and columns[0].field not in (NOTES, DROP):
                self._doubt(
                    top + 1, columns[0], f"{quote(text)} is merged down to row {last + 1}",
                    "it is taken for each of those rows; correct them if it is not meant so",
                )  # fmt: skip
        return [tuple(row) for row in rows]

    def _cells(self, at: int) -> list[str]:
        return [row[at] for row in self.body if row[at]]

    def _find_decimals(self) -> Decimals | None:
        if self.mapping.decimals:
            return Decimals(self.mapping.decimals)
        measured = [at for at, column in self.placed if is_measured(column.field)]
        texts = (text for at in measured for text in self._cells(at))
        found = find_decimals(text for text in texts if len(text) <= _LONGEST_RECIPE)
        return found or (Decimals.COMMA if self.table.commas else None)

    def _find_orders(self) -> dict[int, frozenset[Order]]:
        dated = [at for at, column in self.placed if is_date(column.field)]
        own = {at: find_order(self._cells(at), self.today) for at in dated}
        whole = frozenset(order for orders in own.values() for order in orders)
        return {at: orders or whole for at, orders in own.items()}

    def _note_shares(self) -> None:
        """Shares that may be parts of one: what a workbook shows as 5 % it keeps as 0.05."""
        for at, column in self.placed:
            shares = column.unit == "%" or column.field.endswith("_pct")
            if not shares or column.unit == FRACTION:
                continue
            numbers = [_number(text) for text in self._cells(at)]
            known = [number for number in numbers if number is not None]
            if known and all(0 <= n <= 1 for n in known) and any(0 < n < 1 for n in known):
                self._doubt(
                    0, column, f"its numbers lie between 0 and 1 ({self._cells(at)[0]})",
                    "if the sheet shows them as per cent, write “unit: fraction” at this column in "
                    "the mapping; they are taken as per cent as they are",
                )  # fmt: skip

    def _read_row(self, row: int, cells: tuple[str, ...]) -> RowPiece | None:
        said = {at: self._look(row, at, column) for at, column in self.placed}
        numbers = [text for at, column in self.placed if column.field == NUMBER
                   and (text := said[at])]  # fmt: skip
        number = self._read_number(row, numbers[0]) if numbers else ""
        filled = [text for at, column in self.placed if column.field not in (NUMBER, DROP)
                  and (text := said[at])]  # fmt: skip
        if number is None:
            return None
        if number.casefold() in _SUMS or (not number and len(filled) < 2):
            words = quote(next(cell for cell in cells if cell))
            self._doubt(row, None, f"this row begins {words}", "passed over: it is no piece")
            return None
        piece = RowPiece(row, number, {}, {}, begins=" · ".join(filled[:3])[:_LONGEST_BEGINNING])
        photos: list[str] = []
        for at, column in self.placed:
            text = said[at]
            if not text or column.field in (NUMBER, DROP):
                continue
            if _FORMULA.match(text):
                self._doubt(row, column, f"{quote(text)} looks like a formula",
                            "kept as text; put its value into the table")  # fmt: skip
            if column.field == PHOTOS:
                photos += [name for name in _FILES.split(text) if name]
            elif column.field == NOTES:
                self._note(piece, column, text)
            else:
                self._say(piece, at, column, text)
        self._join_sides(piece)
        for name, value in self.mapping.always:
            piece.leaves.setdefault(tuple(name.split(".")), value)
        return RowPiece(row, number, _order(piece.leaves), piece.notes, tuple(photos),
                        piece.columns, piece.begins)  # fmt: skip

    def _look(self, row: int, at: int, column: Column) -> str:
        """A cell's words, "" for its ways of saying nothing; ditto marks say what stands above."""
        text = self.body[row - self.first - 1][at].strip()
        if column.field != NOTES:  # whose lines may be set in
            text = re.sub(r"[^\S\n]+", " ", text)
        if text.casefold() in _EMPTY:
            return ""
        if text.casefold() not in _DITTO or column.field in (NUMBER, DROP):
            return text
        for above in range(row - self.first - 2, -1, -1):
            other = self.body[above][at].strip()
            if other and other.casefold() not in _DITTO:
                said = "" if other.casefold() in _EMPTY else other
                self._doubt(row, column, f"{quote(text)} says “as above”",
                            f"taken for {quote(other)} (row {above + self.first + 1})")  # fmt: skip
                return said
        return text

    def _read_number(self, row: int, text: str) -> str | None:
        """The piece's number; None where it can be no folder's name."""
        plain = tidy_number(text)
        column = next(column for _, column in self.placed if column.field == NUMBER)
        if not is_safe_number(plain):
            self._doubt(row, column, f"{quote(text)} can be no number",
                        "give it letters A to Z, digits, and - _ . between them; the row is left "
                        "out", True)  # fmt: skip
            return None
        if plain != text:
            self._doubt(row, column, f"the number is written {quote(text)}",
                        f"it becomes {plain}: the name of its folder")  # fmt: skip
        return plain

    def _note(self, piece: RowPiece, column: Column, text: str) -> None:
        heading = "" if not piece.notes.get("") and _is_notes(column) else column.heading
        piece.notes[heading] = text
        amounts = find_amounts(text)
        if amounts:
            self._doubt(piece.row, column, f"the notes speak of {', '.join(amounts)}",
                        "kept in the notes; if it belongs to the recipe, write it under "
                        "ingredients in the sidecar")  # fmt: skip

    def _say(self, piece: RowPiece, at: int, column: Column, text: str) -> None:
        if len(text) > _LONGEST_RECIPE and (column.field == MIXTURE or is_measured(column.field)):
            self._doubt(piece.row, column, f"{quote(text)} is too long for {column.field}",
                        "kept in the notes")  # fmt: skip
            piece.notes[column.heading] = text
            return
        if is_date(column.field):
            text = self._read_date(piece.row, at, column, text)
        elif column.field == MIXTURE:
            self._say_ingredients(piece, column, text)
            return
        elif is_measured(column.field):
            text = self._measure(piece.row, column, text)
        value: Value = text
        if column.field == "colour_words":
            value = tuple(word for word in _LISTED.split(text) if word)
        elif column.field == "prep":
            value = tuple(step for step in _STEPS.split(text) if step)
        elif column.field == "metal":
            value = self._name_metal(piece.row, column, text)
        elif column.field in ("same_as", "sister"):
            value = tidy_number(text)
        elif column.field == "starred":
            value = "yes" if text.casefold() in _TICKS | {"*", "★", "1"} else text
        elif column.field == "sealant.kind" and text.casefold() in _NONE_USED | {"bare"}:
            value = "none"
        self._put(piece, column, column.path, value)

    def _name_metal(self, row: int, column: Column, text: str) -> str:
        """A metal's name for its symbol; “Xy”, which is none, is doubted."""
        plain = text.strip(" .").casefold()
        if plain in METAL_SYMBOLS:
            return METAL_SYMBOLS[plain]
        if len(plain) < 3 and plain.isalpha():
            self._doubt(row, column, f"{quote(text)} is no metal’s symbol",
                        "kept as written; write the metal’s name")  # fmt: skip
        return text

    def _say_ingredients(self, piece: RowPiece, column: Column, text: str) -> None:
        if column.name:
            if text.casefold() in _NONE_USED:
                return
            self._put(piece, column, (MIXTURE, column.name, "name"), column.name)
            if text.casefold() not in _TICKS:
                measured = self._measure(piece.row, column, text)
                self._put(piece, column, (MIXTURE, column.name, column.part), measured)
            return
        text = self._measure(piece.row, column, text)
        for item in read_recipe(text):
            name = item["name"]
            if "as_written" in item:
                self._doubt(piece.row, column,
                            f"{quote(item['as_written'])} could not be told apart surely",
                            f"one ingredient, {quote(name)}, with its words as written; set them "
                            "apart with “;”")  # fmt: skip
            for part, words in item.items():
                self._put(piece, column, (MIXTURE, name, part), words)

    def _put(self, piece: RowPiece, column: Column, path: Path, value: Value) -> None:
        if path[-1] != "name" and path in piece.leaves and piece.leaves[path] != value:
            self._doubt(piece.row, column, f"{'.'.join(path)} is said twice in this row",
                        "the first is taken, and this one kept in the notes")  # fmt: skip
            piece.notes[column.heading] = value if isinstance(value, str) else ", ".join(value)
            return
        piece.leaves[path] = value
        piece.columns[path] = column.heading

    def _read_date(self, row: int, at: int, column: Column, text: str) -> str:
        orders = self.orders[at]
        day = read_day(text, orders, self.mapping.dates, self.today)
        if day.written == text and is_open(text, self.today):
            if len(orders) > 1:
                self._doubt(row, column, f"{quote(text)}: {day.said}",
                            "kept as written, and no day; write it as 2024-04-03, or say --dates "
                            "for all that are open")  # fmt: skip
            else:
                self.open_dates.append((row, column.heading, text))
        elif day.said:
            self._doubt(row, column, f"{quote(text)}: {day.said}", f"read as {day.written}")
        return day.written

    def _measure(self, row: int, column: Column, text: str) -> str:
        """A number's words with the unit of its heading, where they have none of their own."""
        read = read_decimals(text, self.decimals)
        if read is None:
            self._doubt(row, column, f"the comma of {quote(text)} can be read two ways",
                        "kept as written; say “decimals” in the mapping")  # fmt: skip
            read = text
        if column.unit == FRACTION:
            number = _number(read)
            return read if number is None else f"{number * _FULL_PER_CENT:.12g} %"
        bare = not _BARE.search(re.sub(r"[0-9½⅓⅔¼¾⅛]|\b(?:about|ca|circa)\b|\bx\b", "", read))
        counted = bare and re.search(r"[0-9½⅓⅔¼¾⅛]", read) and not re.search('[%°"″”]', read)
        if not column.unit or not counted:
            return read
        return f"{read} {column.unit}"

    def _join_sides(self, piece: RowPiece) -> None:
        """Width and height from columns of their own."""
        paths = [tuple(side.split(".")) for side in SIDES]
        sides = [piece.leaves.pop(path, None) for path in paths]
        headings = [piece.columns.pop(path, "") for path in paths]
        if isinstance(sides[0], str) and isinstance(sides[1], str):
            value = tuple(side for side in sides if isinstance(side, str))
            piece.leaves.setdefault(("size_mm",), value)
            piece.columns[("size_mm",)] = headings[0]
        else:
            for heading, side in zip(headings, sides, strict=True):
                if isinstance(side, str):
                    piece.notes[heading] = side


def tidy_number(text: str) -> str:
    """A number as it can be a folder's name: “No. KM 054” is KM-054."""
    plain = re.sub(r"^(?:no\.?\s+|no\.|#\s*|nr\.?\s+)(?=[A-Za-z0-9])", "", text, flags=re.I)
    return re.sub(r"[\s/\\]+", "-", plain.strip())


def _is_notes(column: Column) -> bool:
    return bool(re.match(r"(?i)\W*(?:notes?|remarks?|comments?|observations?)\b", column.heading))


def _number(text: str) -> float | None:
    plain = text.strip().rstrip("%").strip().replace(",", ".")
    try:
        return float(plain) if re.fullmatch(r"[0-9]{1,9}(?:\.[0-9]{1,15})?", plain) else None
    except ValueError:
        return None


def _order(leaves: dict[Path, Value]) -> dict[Path, Value]:
    """An ingredient's name before what is said of it."""
    named = dict.fromkeys(path[1] for path in leaves if path[0] == MIXTURE and len(path) > 2)
    ordered: dict[Path, Value] = {}
    for path, value in leaves.items():
        if path[0] == MIXTURE and len(path) > 2 and path[1] in named:
            ordered.setdefault((MIXTURE, path[1], "name"), path[1])
        ordered[path] = value
    return ordered
