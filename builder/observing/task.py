"""What is asked for of one photograph."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from builder.records.photo import Box, PhotoFile, Quad
from builder.records.settings import Settings, SetUp

#: Raised when what one opening gives changes its meaning without any code in look or measure
#: changing; kept results of another number are not used.
SEEING = 2


@dataclass(frozen=True)
class Task:
    """All that is needed to see one photograph, small enough to hand to another process.

    ``setup`` is one that marks nothing where the photograph belongs to none. ``zones`` are (name,
    part of the piece's place as fractions); empty for the whole piece. ``piece_mm`` are the
    piece's own width and height in any order, where its notes say them.
    """

    root: Path
    pictures: Path
    photo: PhotoFile
    setup: SetUp
    zones: tuple[tuple[str, Box], ...]
    settings: Settings
    piece_mm: tuple[float, float] | None = None

    @property
    def piece_at(self) -> Quad | None:
        return self.photo.piece_at or self.setup.piece_at

    @property
    def card_at(self) -> Quad | None:
        return self.photo.card_at or self.setup.card_at

    @property
    def blur(self) -> tuple[Box, ...]:
        return (*self.setup.blur, *self.photo.blur)
