"""What can go wrong, and how it is said.

The tree::

    PatinariumError
    ├── LibraryError        the settings or the folder cannot be used at all: the run stops
    ├── SidecarError        one sidecar cannot be read: its piece is left out, the rest goes on
    ├── PictureError        one picture cannot be opened: it is left out, the rest goes on
    ├── CardError           the reference card's values cannot be used
    ├── SiteError           the site could not be written; the last good one is left as it was
    ├── PrintError          a sheet or labels cannot be made as asked: no file is written
    ├── BusyError           another run works on the library, or its folder refuses: nothing is done
    ├── TableError          a table, or what it is to become, cannot be used: nothing is imported
    ├── FilingError         a photograph or note cannot be filed: nothing of the maker's is changed
    └── ArchiveError        the ledger or a bag cannot be read or written as asked

No error of a library in use (yaml, PIL, exifread, pydantic, mkdocs) leaves ``builder`` unmapped.
A :class:`Problem` is one sentence for the maker; an error carries one or more of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Weight(StrEnum):
    """How far a problem reaches."""

    STOPS = "stops"  # nothing can be built
    LEFT_OUT = "left out"  # this file or piece is left out; the rest is built
    NOTED = "noted"  # kept as it is and said so


@dataclass(frozen=True, order=True, slots=True)
class Problem:
    """One thing to put right.

    ``file`` is relative to the library's folder, with ``/``; ``line`` counts from 1, 0 where the
    file has no lines or the place is the whole file.
    """

    file: str
    line: int
    found: str
    expected: str
    remedy: str
    weight: Weight = Weight.NOTED

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        said = "; ".join(part for part in (self.found, self.expected, self.remedy) if part)
        return f"{where}: {said}"


class PatinariumError(Exception):
    """Root of the tree; ``problems`` is never empty."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (
            (problems,) if isinstance(problems, Problem) else tuple(problems)
        )
        super().__init__("\n".join(str(problem) for problem in self.problems))


class LibraryError(PatinariumError):
    """The settings or the library's folder cannot be used: the run stops."""


class SidecarError(PatinariumError):
    """One sidecar cannot be read: its piece is left out."""


class PictureError(PatinariumError):
    """One picture cannot be opened: it is left out."""


class CardError(PatinariumError):
    """The reference card's values cannot be used: its set-up is read without a card."""


class SiteError(PatinariumError):
    """The site could not be written; the last good one is left as it was."""


class PrintError(PatinariumError):
    """A sheet or labels cannot be made as asked: no file is written."""


class BusyError(PatinariumError):
    """Another run is at work on the library, or its folder cannot be written to."""


class FilingError(PatinariumError):
    """A photograph or a note cannot be filed; nothing of the maker's was changed."""


class TableError(PatinariumError):
    """A table, or the file that says what it is to become, cannot be used: nothing was imported."""


class ArchiveError(PatinariumError):
    """The ledger, or a bag, cannot be read or written as asked; nothing there was changed."""
