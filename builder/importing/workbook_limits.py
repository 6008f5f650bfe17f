"""What a workbook would cost, told from its parts before any cell is made of them.

XLSX (ECMA-376) and ODS (OASIS Open Document 1.3) are zip files of XML. A few bytes of either can
name a cell in the last row and column, or repeat one text a million times, and a reader would make
room for all between. So each part is read once as a stream, and counted.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO
from xml.parsers import expat

from builder.importing.tables import (
    MOST_COLUMNS,
    MOST_ROWS,
    MOST_SIGNS,
    MOST_UNPACKED,
    refuse,
)

_MOST_PARTS = 2_000
_PACKED = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_MOST_MERGES = 20_000
_REFERENCE = re.compile(r"\$?([A-Za-z]{1,7})\$?([0-9]{1,10})")
_BLOCK = 1 << 16
_WIDEST = 200_000  # columns, empty ones too; spreadsheets have 16,384


class _TooMuchError(Exception):
    """Its text is what was found."""


def check_workbook(path: Path, file: str) -> None:
    """Raise ``TableError`` where the workbook is no zip file of XML, or would cost more than the
    limits of a table."""
    try:
        with zipfile.ZipFile(path) as book:
            parts = book.infolist()
            if len(parts) > _MOST_PARTS or sum(p.file_size for p in parts) > MOST_UNPACKED:
                raise _TooMuchError(f"it unpacks to more than {MOST_UNPACKED / 1e6:.0f} MB")
            if any(part.compress_type not in _PACKED for part in parts):
                raise _TooMuchError("it is packed in a way no spreadsheet uses")
            names = {part.filename for part in parts}
            if len(names) < len(parts):
                raise _TooMuchError("it has two parts of one name")
            texts = _Texts()
            for part in sorted(parts, key=lambda p: "sharedstrings" not in p.filename.lower()):
                low = part.filename.lower()
                with book.open(part) as stream:
                    if low.endswith("sharedstrings.xml"):
                        _parse(stream, texts)
                    elif "/worksheets/" in low and low.endswith(".xml"):
                        _parse(stream, _Sheet(texts.lengths))
                    elif low == "content.xml":
                        _parse(stream, _Spread())
    except _TooMuchError as error:
        raise refuse(
            file, str(error), f"a table of at most {MOST_ROWS} rows and {MOST_COLUMNS} columns",
            "delete what lies outside the table, or save the one sheet as CSV; nothing was read",
        ) from None  # fmt: skip
    except (zipfile.BadZipFile, expat.ExpatError, NotImplementedError, RuntimeError, OSError,
            EOFError, ValueError, zlib.error) as error:  # fmt: skip
        reason = str(error) or type(error).__name__
        raise refuse(
            file, f"it cannot be opened as a workbook ({reason})", "an XLSX or ODS file",
            "open it in a spreadsheet and save it again without a password, or as CSV",
        ) from None  # fmt: skip


class _Handler:
    """What is told of a part's XML."""

    def start(self, name: str, marks: dict[str, str]) -> None: ...
    def end(self, name: str) -> None: ...
    def text(self, data: str) -> None: ...


def _parse(stream: IO[bytes], handler: _Handler) -> None:
    parser = expat.ParserCreate()

    def refuse_entities(*_: object) -> None:
        raise _TooMuchError("it declares a document type, which no spreadsheet writes")

    parser.StartDoctypeDeclHandler = refuse_entities
    parser.StartElementHandler = handler.start
    parser.EndElementHandler = handler.end
    parser.CharacterDataHandler = handler.text
    read = 0
    while block := stream.read(_BLOCK):
        read += len(block)
        if read > MOST_UNPACKED:
            raise _TooMuchError(f"a part of it unpacks to more than {MOST_UNPACKED / 1e6:.0f} MB")
        parser.Parse(block, False)
    parser.Parse(b"", True)


@dataclass
class _Texts(_Handler):
    """The lengths of a workbook's shared texts, in order."""

    lengths: list[int] = field(default_factory=list)

    def start(self, name: str, marks: dict[str, str]) -> None:
        if _plain(name) == "si":
            self.lengths.append(0)

    def text(self, data: str) -> None:
        if self.lengths:
            self.lengths[-1] += len(data)


@dataclass
class _Sheet(_Handler):
    """One sheet of an XLSX workbook."""

    lengths: list[int]
    row: int = 0
    column: int = 0
    signs: int = 0
    merges: int = 0
    shared: bool = False
    value: str | None = None

    def start(self, name: str, marks: dict[str, str]) -> None:
        plain = _plain(name)
        if plain == "row":
            self.row, self.column = _whole(marks.get("r", ""), self.row + 1), 0
        elif plain == "c":
            self.row, self.column = _locate(marks.get("r", ""), self.row, self.column + 1)
            self.shared = marks.get("t") == "s"
        elif plain in ("v", "is"):  # a cell that is only coloured costs nothing
            _check(self.row, self.column)
            self.value = ""
        elif plain == "mergeCell":
            self.merges += 1
            if self.merges > _MOST_MERGES:
                raise _TooMuchError(f"more than {_MOST_MERGES} cells are merged")

    def text(self, data: str) -> None:
        self._add(len(data))
        if self.value is not None and self.shared and len(self.value) < 12:
            self.value += data

    def end(self, name: str) -> None:
        if _plain(name) == "v":
            if self.shared and self.value and self.value.strip().isdecimal():
                at = int(self.value)
                self._add(self.lengths[at] if at < len(self.lengths) else 0)
            self.value = None

    def _add(self, signs: int) -> None:
        self.signs += signs
        if self.signs > MOST_SIGNS:
            raise _TooMuchError(f"its cells hold more than {MOST_SIGNS / 1e6:.0f} million signs")


@dataclass
class _Spread(_Handler):
    """The sheets of an ODS document: repeats are written out by whoever reads them."""

    row: int = 0
    repeat_row: int = 1
    column: int = 0
    repeat: int = 1
    signs: int = 0
    in_row: int = 0
    in_cell: int = 0

    def start(self, name: str, marks: dict[str, str]) -> None:
        if name == "table:table":
            self.row = 0
        elif name == "table:table-row":
            self.repeat_row = max(1, _whole(marks.get("table:number-rows-repeated", ""), 1))
            self.column = self.in_row = 0
        elif name in ("table:table-cell", "table:covered-table-cell"):
            self.repeat = max(1, _whole(marks.get("table:number-columns-repeated", ""), 1))
            self.in_cell = int(any(mark.startswith("office:") for mark in marks))

    def text(self, data: str) -> None:
        if data.strip():
            self.in_cell += len(data)

    def end(self, name: str) -> None:
        if name in ("table:table-cell", "table:covered-table-cell"):
            if self.in_cell:
                _check(0, self.column + self.repeat)
                self.in_row += self.in_cell * self.repeat
            self.column += self.repeat
            self.in_cell = 0
            if self.column > _WIDEST:
                raise _TooMuchError(f"it speaks of a column {self.column}")
        elif name == "table:table-row":
            if self.in_row:
                _check(self.row + self.repeat_row, 0)
                self.signs += self.in_row * self.repeat_row
                if self.signs > MOST_SIGNS:
                    raise _TooMuchError(
                        f"its cells hold more than {MOST_SIGNS / 1e6:.0f} million signs"
                    )
            self.row += self.repeat_row


def _check(row: int, column: int) -> None:
    if row > MOST_ROWS:
        raise _TooMuchError(f"it speaks of a row {row}")
    if column > MOST_COLUMNS:
        raise _TooMuchError(f"it speaks of a column {column}")


def _locate(reference: str, row: int, column: int) -> tuple[int, int]:
    """Row and column, from 1, of ``B7``; those told where it names none."""
    if not reference:
        return row, column
    match = _REFERENCE.fullmatch(reference.strip())
    if match is None:
        raise _TooMuchError(f"it speaks of a cell {reference[:20]!r}")
    at = 0
    for letter in match[1].upper():
        at = at * 26 + ord(letter) - ord("A") + 1
    return int(match[2]), at


def _whole(text: str, otherwise: int) -> int:
    text = text.strip()
    return int(text) if text.isdecimal() and len(text) < 12 else otherwise


def _plain(name: str) -> str:
    return name.rpartition(":")[2]
