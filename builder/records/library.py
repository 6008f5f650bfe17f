"""The whole library as read: entries in order of number and attempt, and their photographs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.errors import Problem
from builder.records.ledger import NO_LEDGER, Ledger
from builder.records.photo import PhotoFile
from builder.records.piece import Entry
from builder.records.settings import Settings

#: How tables become pieces, in the library's folder.
IMPORTS = "imports"


@dataclass(frozen=True)
class Library:
    """``root`` is where ``mkdocs.yml`` lies; every path in the records is relative to it.
    ``ledger`` is empty where there is none yet."""

    root: Path
    settings: Settings
    entries: tuple[Entry, ...]
    photos: tuple[PhotoFile, ...]
    problems: tuple[Problem, ...] = ()
    ledger: Ledger = NO_LEDGER
