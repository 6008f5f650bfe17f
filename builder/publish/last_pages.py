"""The pages of a site as they were last made: one that would be the same is taken from there."""

from __future__ import annotations

import stat
from collections.abc import Hashable
from dataclasses import dataclass, field
from pathlib import Path

from builder.publish.search import SearchEntry
from builder.recent import Recent


@dataclass(frozen=True)
class Standing:
    """A page as it stands in the site: bytes, time in nanoseconds, what search finds it by."""

    size: int
    time_ns: int
    search: SearchEntry


@dataclass
class LastPages:
    """Pages of ``site`` for one ``audience``, of which ``recent`` knows how they stood when they
    were made, and what they rested on."""

    site: Path
    audience: str
    recent: Recent
    _made: dict[str, tuple[tuple[object, ...], SearchEntry]] = field(default_factory=dict)

    def find(self, address: str, basis: tuple[object, ...]) -> tuple[Path, SearchEntry] | None:
        """The page as it stands, if it rests on the same and nobody has touched it since."""
        last = self.recent.find(self._question(address), basis)
        if not isinstance(last, Standing):
            return None
        file = self.site / address
        return (file, last.search) if _stamp(file) == (last.size, last.time_ns) else None

    def note(self, address: str, basis: tuple[object, ...], search: SearchEntry) -> None:
        """A page that is made anew."""
        self._made[address] = (basis, search)

    def settle(self) -> None:
        """Take in how the pages made anew stand, now that the site is whole."""
        for address, (basis, search) in self._made.items():
            if stamp := _stamp(self.site / address):
                self.recent.keep(self._question(address), basis, Standing(*stamp, search))

    def _question(self, address: str) -> Hashable:
        return ("page", self.audience), address


def _stamp(file: Path) -> tuple[int, int] | None:
    """Size and time of a plain file; a link is none that was made here."""
    try:
        status = file.lstat()
    except OSError:
        return None
    return (status.st_size, status.st_mtime_ns) if stat.S_ISREG(status.st_mode) else None
