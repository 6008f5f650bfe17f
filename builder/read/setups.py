"""The set-ups of the settings: where piece and card lie in a picture, and which card it is."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from builder.errors import CardError, Problem, Weight
from builder.read.cards import Grid, read_card_file, read_written_card
from builder.read.corners import read_box, read_boxes, read_quad
from builder.read.lines import Location
from builder.read.option_values import (
    SETTINGS_FILE,
    OptionError,
    read_decimal,
    read_inside,
    read_text,
    read_whole,
    read_wholes,
)
from builder.read.wording import describe_value, quote, suggest
from builder.records.jig import JIGS, MOST_SHEETS, jig_named
from builder.records.photo import Box, Light, Quad
from builder.records.settings import Card, SetUp
from builder.records.words import LIGHTS, choose_word

SETUP_KEYS = (
    "sheet",
    "sheet_number",
    "piece_at",
    "card_at",
    "card",
    "card_grid",
    "card_mm",
    "white",
    "read_at",
    "piece_mm",
    "light",
    "blur",
)
_NO_CARD = "The set-up has no card until then"
WHITES = ("D50", "D65")
_CORNERS = "[left, top, right, bottom] or four corners [x, y] clockwise, as fractions from 0 to 1"
_MOST_ROWS, _MOST_COLUMNS = 26, 99  # letters A to Z, two figures
_WIDEST_MM = 10_000.0
_MOST_SETUPS = 100

Note = Callable[[Location, str, str, str], None]


@dataclass
class SetUpReader:
    """Reads the set-ups of one library. Problems that stop the run go to ``note``; cards that
    cannot be used to ``left_out``."""

    root: Path
    samples: str
    card_bytes: int
    note: Note
    locate: Callable[[Location], int]
    left_out: list[Problem] = field(default_factory=list)

    def read_all(self, written: Any) -> tuple[SetUp, ...]:
        if not isinstance(written, Mapping):
            self.note(
                ("setups",),
                f"setups is {describe_value(written)}",
                "names, each with keys such as piece_at and card_at",
                "correct it",
            )
            return ()
        if len(written) > _MOST_SETUPS:
            self.note(
                ("setups",),
                f"there are {len(written)} set-ups",
                f"at most {_MOST_SETUPS}: each may have a card to be read",
                "keep those that photographs were taken on",
            )
            return ()
        return tuple(self._read(str(name), keys) for name, keys in written.items())

    def _read(self, name: str, keys: Any) -> SetUp:
        place: Location = ("setups", name)
        if not isinstance(keys, Mapping):
            if keys not in (None, ""):
                self.note(
                    place,
                    f"the set-up {quote(name)} is {describe_value(keys)}",
                    "keys such as sheet, piece_at and card_at",
                    "correct it",
                )
            return SetUp(name)
        if name.casefold() == "none":
            self.note(
                place,
                "a set-up is named “none”",
                "another name",
                "rename it: “none” is how a piece says that it has no set-up",
            )
        for key in keys:
            if key not in SETUP_KEYS:
                self.note(
                    (*place, key),
                    f"“{key}” is no setting of a set-up",
                    f"one of: {', '.join(SETUP_KEYS)}",
                    suggest(key, SETUP_KEYS, "delete it"),
                )
        usual = SetUp(name)
        return SetUp(
            name=name,
            piece_at=self._read_quad(place, keys, "piece_at"),
            card_at=self._read_quad(place, keys, "card_at"),
            card=self._read_card(place, keys),
            read_at=self._try(place, keys, "read_at", _read_part) or usual.read_at,
            piece_mm=self._try(place, keys, "piece_mm", _read_size),
            light=self._try(place, keys, "light", _read_light) or usual.light,
            sheet=self._try(place, keys, "sheet", _read_sheet) or "",
            sheet_number=self._try(place, keys, "sheet_number", _read_number),
            card_mm=self._try(place, keys, "card_mm", _read_size),
            blur=self._try(place, keys, "blur", _read_blur) or (),
        )

    def _try(self, place: Location, keys: Mapping[str, Any], key: str, read: Any) -> Any:
        """``keys[key]`` converted, or None where it is not given or cannot be."""
        if keys.get(key) in (None, ""):
            return None
        try:
            return read(keys[key])
        except OptionError as error:
            found = f"{key} of the set-up {quote(str(place[-1]))} is {describe_value(keys[key])}"
            self.note((*place, key), found, str(error), "correct it, or delete the line")
            return None

    def _read_quad(self, place: Location, keys: Mapping[str, Any], key: str) -> Quad | None:
        if keys.get(key) in (None, ""):
            return None
        quad = read_quad(keys[key])
        if isinstance(quad, str):
            found = f"{key} of the set-up {quote(str(place[-1]))}: {quad}"
            self.note((*place, key), found, _CORNERS, "correct it")
            return None
        return quad

    def _read_card(self, place: Location, keys: Mapping[str, Any]) -> Card | None:
        card = keys.get("card")
        grid = self._try(place, keys, "card_grid", _read_grid)
        white = self._try(place, keys, "white", _read_white) or ""
        if card in (None, ""):
            return None
        try:
            if isinstance(card, Mapping):
                return self._read_written(place, card, grid, white)
            return self._read_file(place, keys, grid, white)
        except CardError as error:
            self.left_out += error.problems
            return None

    def _read_written(
        self, place: Location, card: Mapping[str, Any], grid: Grid | None, white: str
    ) -> Card | None:
        own = self._try((*place, "card"), card, "white", _read_white)
        patches = {key: value for key, value in card.items() if key != "white"}
        line = self.locate((*place, "card"))
        if not (own or white):
            raise CardError(
                Problem(
                    SETTINGS_FILE,
                    line,
                    "the card does not say which white its values are for",
                    "expected “white: D50” or “white: D65”",
                    f"ask the card's maker; most give D50. {_NO_CARD}",
                    Weight.LEFT_OUT,
                )
            )
        return read_written_card(str(place[-1]), patches, grid, own or white, SETTINGS_FILE, line)

    def _read_file(
        self, place: Location, keys: Mapping[str, Any], grid: Grid | None, white: str
    ) -> Card | None:
        written = self._try(place, keys, "card", read_inside)
        if written is None:
            return None
        for file in (written, f"{self.samples}/{written}"):
            path = self.root / file
            if not path.is_file():
                continue
            if not path.resolve().is_relative_to(self.root.resolve()):
                self.note(
                    (*place, "card"),
                    f"card {quote(written)} leads outside the library",
                    "a file inside it",
                    "put a copy there",
                )
                return None
            return read_card_file(path, file, grid, self.card_bytes, white)
        raise CardError(
            Problem(
                SETTINGS_FILE,
                self.locate((*place, "card")),
                f"there is no card file {quote(written)}",
                f"expected a CGATS file in the library's folder or in {self.samples}",
                f"put it there, or delete the line. {_NO_CARD}",
                Weight.LEFT_OUT,
            )
        )


def _read_part(value: Any) -> tuple[float, float, float, float]:
    box = read_box(value)
    if isinstance(box, str):
        raise OptionError(f"[left, top, right, bottom] as fractions from 0 to 1 ({box})")
    return box


def _read_blur(value: Any) -> tuple[Box, ...]:
    boxes = read_boxes(value)
    if isinstance(boxes, str):
        raise OptionError(
            f"a list of [left, top, right, bottom], each as fractions from 0 to 1 ({boxes})"
        )
    return boxes


def _read_size(value: Any) -> tuple[float, float]:
    parts = re.split(r"[x×,]", value) if isinstance(value, str) else value
    if not isinstance(parts, (list, tuple)) or len(parts) != 2:
        raise OptionError("width and height in mm, such as [100, 150]")
    try:
        width, height = (read_decimal(part, 0.1, _WIDEST_MM) for part in parts)
    except OptionError as error:
        raise OptionError(f"width and height in mm, such as [100, 150], each {error}") from None
    return width, height


def _read_sheet(value: Any) -> str:
    jig = jig_named(read_text(value))
    if jig is None:
        raise OptionError(f"one of: {', '.join(jig.name for jig in JIGS)}")
    return jig.name


def _read_number(value: Any) -> int:
    return read_whole(value, 0, MOST_SHEETS)


def _read_light(value: Any) -> str:
    word = choose_word(LIGHTS)(read_text(value))
    if word not in list(Light):
        raise OptionError(f"one of: {', '.join(LIGHTS)}")
    return word


def _read_grid(value: Any) -> Grid:
    rows, columns = read_wholes(value, 1, _MOST_COLUMNS, count=2)
    if rows > _MOST_ROWS:
        raise OptionError(f"at most {_MOST_ROWS} rows")
    return rows, columns


def _read_white(value: Any) -> str:
    white = read_text(value).upper()
    if white not in WHITES:
        raise OptionError(f"one of: {', '.join(WHITES)}")
    return white
