"""CSV and TSV, in whatever encoding and with whatever sign between the values."""

from __future__ import annotations

import csv
import io
from collections import Counter
from itertools import islice

from builder.importing.tables import (
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_ROWS,
    Table,
    refuse,
    square,
)

#: What ``encoding`` of a mapping may be.
ENCODINGS = ("utf-8", "utf-16", "cp1252", "cp1250", "latin-1", "mac_roman", "cp437", "cp850")
_DELIMITERS = ",;\t|"
_MARKS = (
    (b"\xff\xfe\x00\x00", "utf-32"), (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"),
)  # fmt: skip
_LOOKED_AT = 60  # rows from which the sign between the values is told


def read_text_table(data: bytes, file: str, encoding: str = "") -> Table:
    """A text table; ``encoding`` "" is told from its bytes. Raises ``TableError``."""
    text, said = _decode(data, file, encoding)
    delimiter = find_delimiter(text)
    rows: list[list[str]] = []
    try:
        for number, row in enumerate(_split(text, delimiter), start=1):
            if number > MOST_ROWS:
                raise refuse(file, f"there are more than {MOST_ROWS} rows", "a shorter table",
                             "split it; nothing was read")  # fmt: skip
            if len(row) > MOST_COLUMNS and any(row[MOST_COLUMNS:]):
                raise refuse(file, f"row {number} has {len(row)} columns",
                             f"at most {MOST_COLUMNS}", "leave out what is not needed")  # fmt: skip
            if any(len(cell) > LONGEST_CELL for cell in row):
                raise refuse(
                    file, f"a cell of row {number} is longer than {LONGEST_CELL} signs",
                    "short texts", "look for a quotation mark that is not closed", number,
                )  # fmt: skip
            rows.append([cell.strip() for cell in row[:MOST_COLUMNS]])
    except csv.Error as error:
        raise refuse(
            file,
            f"it cannot be read as a table ({error})",
            "values set apart by commas, semicolons or tabs",
            "look for a quotation mark that is not closed",
        ) from None
    return Table(file, "", square(rows), commas=delimiter == ";", said=said)


def find_delimiter(text: str) -> str:
    """The sign that stands between the values: the one that parts most rows into as many."""

    def score(delimiter: str) -> tuple[int, int]:
        try:
            widths = [len(row) for row in islice(_split(text, delimiter), _LOOKED_AT) if any(row)]
        except csv.Error:
            return 0, 0
        width, rows = max(
            Counter(width for width in widths if width > 1).items(),
            key=lambda item: (item[1], item[0]),
            default=(0, 0),
        )
        return rows, width

    return max(_DELIMITERS, key=score)


def _split(text: str, delimiter: str) -> csv.Reader:  # type: ignore[name-defined]
    return csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)


def _decode(data: bytes, file: str, encoding: str) -> tuple[str, tuple[str, ...]]:
    for mark, named in _MARKS:
        if data.startswith(mark):
            return _decode_as(data, file, named), ()
    if encoding:
        return _decode_as(data, file, encoding), ()
    half = data[1:2_000:2]
    if half and half.count(0) > len(half) // 3:
        return _decode_as(data, file, "utf-16-le"), ()
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError:
        pass
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        return data.decode("mac_roman"), (_say("Mac Roman"),)
    return text, (_say("Windows-1252"),)


def _say(encoding: str) -> str:
    return (
        f"it is not UTF-8 and was read as {encoding}; where signs such as ½ or ° came out wrong, "
        f"write “encoding: …” into the mapping ({', '.join(ENCODINGS)})"
    )


def _decode_as(data: bytes, file: str, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeError:
        raise refuse(
            file, f"it is not {encoding} throughout", "one encoding",
            "save it again as CSV in UTF-8, or name another encoding in the mapping",
        ) from None  # fmt: skip
