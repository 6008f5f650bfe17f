"""The pages of a site as they were last made: one that would be the same is taken from there."""

from __future__ import annotations

import hashlib
import json
import stat
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from builder.publish.search import SearchEntry
from builder.safe_files import write_whole


@dataclass(frozen=True)
class _Kept:
    """A page that was written: the digest of its text, its bytes, its time in nanoseconds, what
    search finds it by."""

    digest: str
    size: int
    time_ns: int
    search: SearchEntry


@dataclass
class LastPages:
    """Pages of ``site`` as it stands, by address; ``new`` are those of the site being made, by
    address: the digest of each and what it is found by."""

    site: Path
    known: dict[str, _Kept] = field(default_factory=dict)
    new: dict[str, tuple[str, SearchEntry]] = field(default_factory=dict)

    def find(self, address: str, digest: str) -> tuple[Path, SearchEntry] | None:
        """The page as it stands in the last site, if it is the one of this ``digest`` and nobody
        has touched it since."""
        kept = self.known.get(address)
        if kept is None or kept.digest != digest:
            return None
        file = self.site / address
        if _stamp(file) != (kept.size, kept.time_ns):
            return None
        self.new[address] = (digest, kept.search)
        return file, kept.search

    def note(self, address: str, digest: str, search: SearchEntry) -> None:
        """A page that was made."""
        self.new[address] = (digest, search)

    def save(self, notes: Path, audience: str) -> None:
        """Write down how the pages stand in the site, now that it is whole. A disk that refuses is
        no matter: the next build makes them all."""
        kept = {}
        for address, (digest, search) in self.new.items():
            if stamp := _stamp(self.site / address):
                kept[address] = (digest, *stamp, asdict(search))
        text = json.dumps({"site": str(self.site), "pages": kept})
        try:
            write_whole(_file(notes, audience), text.encode())
        except OSError:
            return


def recall_pages(notes: Path, audience: str, site: Path) -> LastPages:
    """What the folder ``notes`` says of the pages of ``site``; nothing, where that cannot be
    read."""
    try:
        note: Any = json.loads(_file(notes, audience).read_bytes())
        pages = note["pages"] if note["site"] == str(site) else {}
        return LastPages(site, {address: _read(*one) for address, one in pages.items()})
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return LastPages(site)


def _read(digest: str, size: int, time_ns: int, search: dict[str, Any]) -> _Kept:
    entry = SearchEntry(str(search["title"]), tuple(search["words"]), float(search["boost"]))
    return _Kept(digest, size, time_ns, entry)


def _stamp(file: Path) -> tuple[int, int] | None:
    """Size and time of a plain file; a link is none that was made here."""
    try:
        status = file.lstat()
    except OSError:
        return None
    return (status.st_size, status.st_mtime_ns) if stat.S_ISREG(status.st_mode) else None


def _file(notes: Path, audience: str) -> Path:
    whom = hashlib.sha256(audience.encode("utf-8", "surrogateescape")).hexdigest()
    return notes / f"pages-{whom[:12]}.json"
