"""A library's folder made for one test."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from builder.read.library import read_library
from builder.records.library import Library
from builder.records.settings import Settings

TODAY = dt.date(2026, 1, 31)
WHOLE = "metal: copper\nmethod: dip\nstarted: 2024-10-01\n"


class LibraryFolder:
    """Writes pieces and pictures, and reads them back."""

    def __init__(self, root: Path) -> None:
        self.root = root
        (root / "samples").mkdir()

    def write(self, folder: str, text: str | bytes, *pictures: str) -> Path:
        """One piece's folder; the pictures are names alone, since none is opened."""
        place = self.root / "samples" / folder
        place.mkdir(exist_ok=True)
        data = text.encode() if isinstance(text, str) else text
        (place / "sample.yaml").write_bytes(data)
        for picture in pictures:
            (place / picture).write_bytes(b"")
        return place

    def whole(self, number: str, more: str = "", *pictures: str) -> Path:
        """A piece that has all that is required, and more."""
        return self.write(number, f"piece: {number}\n{WHOLE}{more}", *pictures)

    def read(self, settings: Settings | None = None) -> Library:
        return read_library(self.root, settings or Settings(), TODAY)

    def piece(self, number: str, attempt: int = 1):
        for entry in self.read().entries:
            if (entry.piece.piece, entry.piece.attempt) == (number, attempt):
                return entry.piece
        raise AssertionError(f"{number} was not read")

    def problems(self, settings: Settings | None = None) -> list[str]:
        return [str(problem) for problem in self.read(settings).problems]
