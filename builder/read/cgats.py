"""Tables of measured colour in the CGATS text format (CGATS.17, ISO 28178).

Only what a reference card needs is read: the first table that holds L*a*b*, and its white.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from builder.errors import CardError, Problem, Weight
from builder.read.wording import quote

_TOKEN = re.compile(r'"((?:[^"]|"")*)"|(#.*)|([^\s"#]+)|(")')
_LAB = ("LAB_L", "LAB_A", "LAB_B")
#: Keywords that may name the white or the observer.
_SPEAKS_OF_WHITE = re.compile(r"WHITE|ILLUMINA|WEIGHTING|OBSERVER|MEASUREMENT_SOURCE")
_WHITE = re.compile(r"(?<![A-Z0-9])(D50|D65|D55|D75|F[0-9]{1,2})(?![A-Z0-9])")
_LAMPLIGHT = re.compile(r"(?:^|[,=:]\s*)A$")
_TEN_DEGREES = re.compile(r"(?<![0-9])10\s*(?:°|DEG)")
_KNOWN_WHITES = ("D50", "D65")
#: Without a word on it, values of this format are for D50 (ISO 13655).
USUAL_WHITE = "D50"


@dataclass(frozen=True)
class Row:
    """One patch: its fields by name, upper case, and the line it begins on."""

    line: int
    fields: dict[str, str]


@dataclass(frozen=True)
class ColourTable:
    """L*a*b* rows, 2° observer. ``white`` is ``D50`` or ``D65``; ``white_written`` tells whether
    the file says so or the format's own rule was taken."""

    rows: tuple[Row, ...]
    white: str = USUAL_WHITE
    white_written: bool = False


@dataclass(frozen=True)
class _Token:
    text: str
    line: int
    quoted: bool


@dataclass
class _Table:
    """A table while it is read."""

    names: list[str] = field(default_factory=list)
    values: list[_Token] = field(default_factory=list)
    rows_written: int | None = None
    line: int = 0


def read_cgats(text: str, file: str) -> ColourTable:
    """The first table with L*a*b* in ``text``; ``file`` names it in problems. Rows may run over
    several lines.

    Raises ``CardError`` with one sentence where there is none, or its rows do not come out even.
    """
    tokens = list(_split(text, file))
    tables = list(_read_tables(tokens, file))
    for table in tables:
        if all(name in table.names for name in _LAB):
            white, written = _find_white(tokens, file)
            return ColourTable(tuple(_make_rows(table, file)), white, written)
    if not tables:
        raise _refuse(file, 0, "there is no table in this file", "BEGIN_DATA_FORMAT and BEGIN_DATA")
    names = quote(", ".join(tables[0].names))
    raise _refuse(
        file,
        tables[0].line,
        f"no table has L*a*b*; the first has {names}",
        "fields LAB_L, LAB_A and LAB_B",
    )


def _split(text: str, file: str) -> Iterator[_Token]:
    for number, line in enumerate(text.splitlines(), start=1):
        for match in _TOKEN.finditer(line):
            quoted, comment, plain, stray = match.groups()
            if comment is not None:
                break
            if stray:
                raise _refuse(file, number, "a quotation mark that is not closed", "a pair of them")
            if quoted is None:
                yield _Token(plain, number, False)
            else:
                yield _Token(quoted.replace('""', '"'), number, True)


def _read_tables(tokens: Sequence[_Token], file: str) -> Iterator[_Table]:
    """Every block of data, with the field names last given before it."""
    table, names, inside = _Table(), list[str](), ""
    for at, token in enumerate(tokens):
        word = "" if token.quoted else token.text.upper()
        if word in {"BEGIN_DATA_FORMAT", "BEGIN_DATA"}:
            if inside:
                raise _refuse(file, token.line, f"{word} stands inside another block", "its end")
            inside = word
            names = [] if word == "BEGIN_DATA_FORMAT" else names
            table.line = token.line
        elif word == "END_DATA_FORMAT":
            inside = ""
        elif word == "END_DATA":
            table.names = names
            yield table
            table, inside = _Table(), ""
        elif inside == "BEGIN_DATA_FORMAT":
            names.append(token.text.upper())
        elif inside == "BEGIN_DATA":
            table.values.append(token)
        elif word == "NUMBER_OF_SETS" and at + 1 < len(tokens):
            table.rows_written = _read_count(tokens[at + 1], file)
    if inside:
        raise _refuse(file, table.line, f"{inside} has no end", inside.replace("BEGIN", "END"))


def _read_count(token: _Token, file: str) -> int:
    if not re.fullmatch(r"[0-9]{1,6}", token.text.strip()):
        raise _refuse(file, token.line, f"NUMBER_OF_SETS is {quote(token.text)}", "a whole number")
    return int(token.text)


def _make_rows(table: _Table, file: str) -> Iterator[Row]:
    width = len(table.names)
    count, odd = divmod(len(table.values), width)
    wanted = table.rows_written
    if odd:
        raise _refuse(
            file,
            table.values[-odd].line,
            f"the last row has {odd} values",
            f"{width}, one for each field, in every row",
        )
    if wanted is not None and wanted != count:
        raise _refuse(
            file, table.line, f"there are {count} rows", f"{wanted}, as NUMBER_OF_SETS says"
        )
    if not count:
        raise _refuse(file, table.line, "the table has no rows", "one row a patch")
    for row in range(count):
        values = table.values[row * width : (row + 1) * width]
        fields = {name: token.text for name, token in zip(table.names, values, strict=True)}
        yield Row(values[0].line, fields)


def _find_white(tokens: Sequence[_Token], file: str) -> tuple[str, bool]:
    """The white that the file's keywords name, and whether they name one."""
    whites: dict[str, int] = {}
    for keyword, value in itertools.pairwise(tokens):
        speaks = not keyword.quoted and _SPEAKS_OF_WHITE.search(keyword.text.upper())
        if not speaks or not (value.quoted or value.line == keyword.line):
            continue
        said = value.text.upper()
        ten = "OBSERVER" in keyword.text.upper() and said.strip() == "10"
        if ten or _TEN_DEGREES.search(said):
            raise _refuse(
                file,
                value.line,
                f"the values are for {quote(value.text)}",
                "values for the 2° observer",
            )
        for white in (*_WHITE.findall(said), *("A" for _ in _LAMPLIGHT.findall(said))):
            whites.setdefault(white, value.line)
    odd = [white for white in whites if white not in _KNOWN_WHITES]
    if odd:
        raise _refuse(file, whites[odd[0]], f"the values are for white {odd[0]}", "D50 or D65")
    if len(whites) > 1:
        raise _refuse(file, max(whites.values()), "the file names two whites, D50 and D65", "one")
    return (next(iter(whites)), True) if whites else (USUAL_WHITE, False)


def _refuse(file: str, line: int, found: str, expected: str) -> CardError:
    remedy = "correct the file, or ask the card's maker for one; its set-up has no card until then"
    return CardError(Problem(file, line, found, f"expected {expected}", remedy, Weight.LEFT_OUT))
