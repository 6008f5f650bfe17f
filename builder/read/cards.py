"""A reference card's true colours, from a CGATS file or written into the settings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from builder.errors import CardError, Problem, SidecarError, Weight
from builder.read.cgats import ColourTable, Row, read_cgats
from builder.read.plain_text import read_plain_text
from builder.read.wording import describe_value, quote
from builder.records.photo import Lab
from builder.records.settings import Card, CardPatch

_PLACE = re.compile(r"([A-Za-z])0?([1-9][0-9]?)")  # row and column: A1, a1, A01, C12
_NUMBER = re.compile(r"[-+]?(?:[0-9]{1,4}(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,2})?")
_LARGEST = 200.0  # |a*|, |b*| of no surface comes near
Grid = tuple[int, int]


def read_card_file(path: Path, file: str, grid: Grid | None, limit: int, white: str = "") -> Card:
    """The card in a CGATS file. ``grid`` is its rows and columns, else what its patches reach;
    ``white`` serves where the file names none. Patches whose name is no place are not used.

    Raises ``CardError``.
    """
    try:
        text = read_plain_text(path, file, limit)
    except SidecarError as error:
        raise CardError(error.problems) from None
    table = read_cgats(text, file)
    if white and table.white_written and table.white != white:
        raise _refuse(
            file,
            0,
            f"the file says its white is {table.white}, the set-up {white}",
            "one white",
            "delete “white” from the set-up, if the file is right",
        )
    patches = _read_rows(table, file)
    used = white if white and not table.white_written else table.white
    return _make_card(Path(file).stem, patches, grid, used, file)


def read_written_card(
    name: str, written: Mapping[str, Any], grid: Grid | None, white: str, file: str, line: int
) -> Card:
    """The card written out as ``A1: [L, a, b]``. Raises ``CardError``."""
    patches = []
    for key, value in written.items():
        place = _PLACE.fullmatch(str(key).strip())
        if not place:
            raise _refuse(
                file,
                line,
                f"card names a patch {quote(str(key))}",
                "row and column, such as A1",
                "rename the patch",
            )
        lab = _read_lab(value if isinstance(value, (list, tuple)) else ())
        if lab is None:
            raise _refuse(
                file,
                line,
                f"{key} of card is {describe_value(value)}",
                "three numbers L*, a*, b*, such as [50.9, 0.1, -0.3]",
                "correct it",
            )
        patches.append(_place_patch(place, lab))
    return _make_card(name, patches, grid, white, file, line)


def _read_rows(table: ColourTable, file: str) -> list[CardPatch]:
    patches = []
    for row in table.rows:
        place = _find_place(row)
        if place is None:
            continue
        lab = _read_lab([row.fields[name] for name in ("LAB_L", "LAB_A", "LAB_B")])
        if lab is None:
            written = ", ".join(row.fields[name] for name in ("LAB_L", "LAB_A", "LAB_B"))
            raise _refuse(
                file,
                row.line,
                f"patch {place[0]} has L*a*b* {quote(written)}",
                "three numbers, with points and no commas",
                "correct the file",
            )
        patches.append(_place_patch(place, lab))
    if not patches:
        raise _refuse(
            file,
            table.rows[0].line,
            "no patch is named by its place",
            "SAMPLE_ID or SAMPLE_NAME by row and column, such as A1",
            "name the patches that way in a copy of the file",
        )
    return patches


def _find_place(row: Row) -> re.Match[str] | None:
    for name in ("SAMPLE_ID", "SAMPLE_NAME", "SAMPLEID", "SAMPLENAME", "SAMPLE_LOC"):
        place = _PLACE.fullmatch(row.fields.get(name, "").strip())
        if place:
            return place
    return None


def _read_lab(written: Any) -> Lab | None:
    parts = [str(part).strip() for part in written]
    if len(parts) != 3 or not all(_NUMBER.fullmatch(part) for part in parts):
        return None
    L, a, b = (float(part) for part in parts)
    return (L, a, b) if 0 <= L <= 110 and abs(a) <= _LARGEST and abs(b) <= _LARGEST else None


def _place_patch(place: re.Match[str], lab: Lab) -> CardPatch:
    letter, column = place[1].upper(), int(place[2])
    return CardPatch(f"{letter}{column}", ord(letter) - ord("A"), column - 1, lab)


def _make_card(
    name: str, patches: list[CardPatch], grid: Grid | None, white: str, file: str, line: int = 0
) -> Card:
    """Patches in the order of rows and columns; each place once, and within the grid."""
    patches = sorted(patches, key=lambda patch: (patch.row, patch.column))
    names = Counter(patch.name for patch in patches)
    twice = sorted(name for name, count in names.items() if count > 1)
    if twice:
        raise _refuse(
            file,
            line,
            f"patch {twice[0]} is there twice",
            "each place once",
            "delete one of the two",
        )
    rows = max((patch.row + 1 for patch in patches), default=0)
    columns = max((patch.column + 1 for patch in patches), default=0)
    if not patches:
        raise _refuse(file, line, "the card has no patches", "A1: [L, a, b] and so on", "add them")
    if grid and (grid[0] < rows or grid[1] < columns):
        raise _refuse(
            file,
            line,
            f"the patches reach row {rows} and column {columns}, the grid "
            f"only {grid[0]} and {grid[1]}",
            "a grid that holds all patches",
            "correct card_grid: [rows, columns]",
        )
    return Card(name, *(grid or (rows, columns)), tuple(patches), white)


def _refuse(file: str, line: int, found: str, expected: str, remedy: str) -> CardError:
    weight = Weight.LEFT_OUT
    return CardError(
        Problem(
            file,
            line,
            found,
            f"expected {expected}",
            f"{remedy}; its set-up has no card until then",
            weight,
        )
    )
