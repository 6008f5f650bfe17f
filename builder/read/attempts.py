"""One attempt at one piece as its sidecar wrote it, before ``same_as`` is followed."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from builder.errors import Problem, Weight
from builder.read.lines import Lines, Location, find_line


@dataclass(frozen=True)
class Attempt:
    """``tree`` holds the vetted keys written beside ``change``, ``change`` those within it.

    ``file`` is the sidecar, relative to the library's folder; ``line`` where the attempt begins.
    """

    number: str
    attempt: int
    file: str
    line: int
    tree: dict[str, Any] = field(repr=False)
    change: dict[str, Any] = field(repr=False)
    lines: Lines = field(repr=False)

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
