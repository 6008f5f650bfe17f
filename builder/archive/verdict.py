"""What is found of a library or a bag: what makes it not valid, and what is only said."""

from __future__ import annotations

from dataclasses import dataclass, field

from builder.errors import Problem, Weight
from builder.read.wording import show_name

ANOTHER_COPY = "bring it back from another copy"
_LONGEST = 500
_MOST = 10_000  # of each kind that are told: nobody reads more


@dataclass
class Verdict:
    """``faults`` make it not valid, ``notes`` do not. ``digests``: SHA-256 of every file that was
    read, by its path; ``sizes`` their bytes; ``entries`` of the ledger that fit; ``unknown`` files
    that the ledger does not have yet; ``about``: labels of bag-info.txt with their values."""

    faults: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    digests: dict[str, str] = field(default_factory=dict)
    sizes: dict[str, int] = field(default_factory=dict)
    entries: int = 0
    unknown: int = 0
    about: tuple[tuple[str, str], ...] = ()

    @property
    def valid(self) -> bool:
        return not self.faults

    @property
    def bytes(self) -> int:
        return sum(self.sizes.values())

    def fault(
        self, file: str, found: str, expected: str, remedy: str = ANOTHER_COPY, line: int = 0
    ) -> None:
        if len(self.faults) < _MOST:
            problem = Problem(_show(file), line, _show(found), expected, remedy, Weight.STOPS)
            self.faults.append(problem)

    def note(self, file: str, found: str, remedy: str = "", line: int = 0) -> None:
        if len(self.notes) < _MOST:
            self.notes.append(Problem(_show(file), line, _show(found), "", remedy, Weight.NOTED))


def _show(text: str) -> str:
    """A stranger's words as they can be printed, not without end."""
    shown = show_name(text[:_LONGEST])
    return shown if len(text) <= _LONGEST else f"{shown}…"
