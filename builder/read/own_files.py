"""The notes of a library: what says of its originals what they are."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from builder.read.option_values import SETTINGS_FILE
from builder.read.picture_files import PICTURE_ENDINGS
from builder.read.places import read_places
from builder.records.settings import Settings


def list_notes(root: Path, settings: Settings) -> tuple[str, ...]:
    """Paths, relative to ``root`` with ``/``, sorted, of the settings, the cards' lists they name,
    and everything under the samples folder that is no picture: sidecars, texts of the maker's."""
    notes = {path for path in _walk(root, settings) if not _is_picture(path)}
    notes |= {SETTINGS_FILE, *read_places(root).cards}
    return tuple(sorted(path for path in notes if (root / path).is_file()))


def _is_picture(path: str) -> bool:
    return Path(path).suffix.lower() in PICTURE_ENDINGS


def _walk(root: Path, settings: Settings) -> Iterator[str]:
    """Plain files, hidden ones and what lies behind links left out."""
    for folder, inner, names in os.walk(root / settings.samples):
        inner[:] = [name for name in inner if not name.startswith(".")]
        for name in names:
            file = Path(folder) / name
            if not name.startswith(".") and file.is_file() and not file.is_symlink():
                yield file.relative_to(root).as_posix()
