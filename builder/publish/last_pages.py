"""The pages of a site as they were last made: one that would be the same is taken from there."""

from __future__ import annotations

import stat
from collections.abc import Hashable
from dataclasses import dataclass
from pathlib import Path

from builder.digests import digest_bytes
from builder.publish.bases import Bases
from builder.publish.search import SearchEntry


@dataclass(frozen=True)
class Standing:
    """A page as it stands in the site: the digest of its bytes, and what search finds it by."""

    sha256: str
    search: SearchEntry


@dataclass(frozen=True)
class LastPages:
    """Pages of ``site``; ``bases`` tells what each rests on, and remembers what it was when it was
    made."""

    site: Path
    bases: Bases

    def find(self, address: str, basis: tuple[object, ...]) -> tuple[Path, SearchEntry] | None:
        """The page as it stands, if it rests on the same and is, byte for byte, what was made."""
        last = self.bases.recent.find(self._question(address), basis)
        file = self.site / address
        if not isinstance(last, Standing) or _digest(file) != last.sha256:
            return None
        return file, last.search

    def note(self, address: str, basis: tuple[object, ...], html: str, search: SearchEntry) -> None:
        """A page that is made anew."""
        standing = Standing(digest_bytes(html.encode()), search)
        self.bases.recent.keep(self._question(address), basis, standing)

    def _question(self, address: str) -> Hashable:
        return ("page", self.bases.audience), address


def _digest(file: Path) -> str:
    """SHA-256 of a plain file; a link is none that was made here."""
    try:
        return digest_bytes(file.read_bytes()) if stat.S_ISREG(file.lstat().st_mode) else ""
    except OSError:
        return ""
