"""The ledger: what is written down of every original and note, entry after entry, never edited.

A digest is SHA-256 in lower-case hexadecimal (FIPS 180-4).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

LEDGER = "ledger.jsonl"
NO_ENTRY = "0" * 64  # what the first entry has before it


class Deed(StrEnum):
    """What an entry says was done."""

    BEGAN = "began"  # the ledger itself; its facts name the library for good
    FILED = "filed"  # an original came in, as it is
    NOTED = "noted"  # a sidecar, the settings or a card's list, as they are from then on
    MOVED = "moved"  # an original or note now lies elsewhere; its facts say from where
    CORRECTED = "corrected"  # what was said of an original (its day, its state) is now this
    REPLACED = "replaced"  # an original's bytes are now others, and the maker says why
    REMOVED = "removed"  # a file is gone, and the maker says why


@dataclass(frozen=True)
class Draft:
    """An entry before it is sealed. ``file`` is relative to the library's folder, with ``/``, ""
    for none; ``facts`` are short texts by name, in the order they are written (docs/filing.md)."""

    what: Deed
    file: str = ""
    sha256: str = ""
    bytes: int = 0
    facts: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LedgerEntry:
    """Entry ``number``, from 1, written ``at`` (UTC). ``before`` is the seal of the one before it,
    ``seal`` its own: the digest of its line up to there. ``line`` of the file, from 1."""

    number: int
    at: dt.datetime
    what: Deed
    file: str
    sha256: str
    bytes: int
    facts: Mapping[str, str]
    before: str
    seal: str
    line: int


@dataclass(frozen=True)
class LedgerFault:
    """Line (from 1) of the ledger at which something is wrong, and what, in plain words."""

    line: int
    found: str


@dataclass(frozen=True)
class Ledger:
    """All entries that can be read, in order, and what is wrong with the others. ``torn``: bytes at
    the end that an interrupted run left of an entry that never was; ``unended``: the last entry is
    whole, and only its line end is gone."""

    entries: tuple[LedgerEntry, ...] = ()
    faults: tuple[LedgerFault, ...] = ()
    torn: int = 0
    unended: bool = False

    @property
    def name(self) -> str:
        """What names this library for good, "" before the ledger has begun."""
        first = self.entries[0] if self.entries else None
        return first.facts.get("library", "") if first and first.what is Deed.BEGAN else ""

    def standing(self) -> dict[str, LedgerEntry]:
        """The last entry that gives the digest of each file there should be, by its path."""
        last: dict[str, LedgerEntry] = {}
        for entry in self.entries:
            take_in(last, entry)
        return last

    def chains(self) -> dict[str, tuple[LedgerEntry, ...]]:
        """Every entry on each file there should be, by its present path, those on its earlier
        places included, in order."""
        chains: dict[str, tuple[LedgerEntry, ...]] = {}
        for entry in self.entries:
            before = chains.pop(entry.facts.get("from", ""), ()) if entry.what is Deed.MOVED else ()
            if entry.what is Deed.REMOVED:
                chains.pop(entry.file, None)
            elif entry.what is Deed.FILED:
                chains[entry.file] = (entry,)
            elif entry.file:
                chains[entry.file] = (*(before or chains.get(entry.file, ())), entry)
        return chains


NO_LEDGER = Ledger()


def take_in(standing: dict[str, LedgerEntry], entry: LedgerEntry) -> None:
    """Bring what stands up to date with one entry more."""
    if entry.what is Deed.MOVED:
        standing.pop(entry.facts.get("from", ""), None)
    if entry.what is Deed.REMOVED:
        standing.pop(entry.file, None)
    elif entry.file and entry.what is not Deed.CORRECTED:
        standing[entry.file] = entry
