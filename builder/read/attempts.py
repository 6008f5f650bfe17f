"""One attempt at one piece as its sidecar wrote it, before ``same_as`` is followed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from builder.errors import Problem, Weight
from builder.read.lines import Lines, Location, find_line


@dataclass(frozen=True)
class Attempt:
    """``tree`` holds the vetted keys written beside ``change``, ``change`` those within it; neither
    is to be changed. Both and ``lines`` are kept as one text, ``packed``: a large library has a
    great many of them, which are seldom asked for.

    ``file`` is the sidecar, relative to the library's folder; ``line`` where the attempt begins.
    """

    number: str
    attempt: int
    file: str
    line: int
    packed: str = field(repr=False)

    @classmethod
    def of(
        cls,
        number: str,
        attempt: int,
        file: str,
        line: int,
        tree: Mapping[str, Any],
        change: Mapping[str, Any],
        lines: Lines,
    ) -> Attempt:
        packed = json.dumps([tree, change, list(lines.items())], ensure_ascii=False)
        return cls(number, attempt, file, line, packed)

    @property
    def tree(self) -> Mapping[str, Any]:
        return _unpack(self.packed)[0]

    @property
    def change(self) -> Mapping[str, Any]:
        return _unpack(self.packed)[1]

    @property
    def lines(self) -> Lines:
        return _unpack(self.packed)[2]

    @property
    def key(self) -> tuple[str, int]:
        return self.number, self.attempt

    def find_line(self, *place: str | int) -> int:
        """The line a place is written on: in ``change``, or beside it; for what ``same_as``
        brings, the line of ``same_as``."""
        location: Location = ("change", *place) if place[:1] and place[0] in self.change else place
        if place and place[0] not in self.change and place[0] not in self.tree:
            location = ("same_as",)
        return find_line(self.lines, location)

    def note(
        self, line: int, found: str, expected: str, remedy: str, weight: Weight = Weight.NOTED
    ) -> Problem:
        return Problem(self.file, line, found, expected, remedy, weight)


@lru_cache(maxsize=64)
def _unpack(packed: str) -> tuple[Mapping[str, Any], Mapping[str, Any], Lines]:
    tree, change, lines = json.loads(packed)
    return tree, change, {tuple(place): line for place, line in lines}
