"""What is added to a sidecar: a look at the piece, or a photograph, as it will stand there.

Every value is the text to be written, "" where nothing is said of it; the keys are those of
``Check``, ``Condition`` and ``PhotoNote`` in :mod:`builder.records.piece`.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SeenNote:
    """One condition seen."""

    what: str
    where: str = ""
    extent: str = ""
    severity: str = ""
    moving: str = ""


@dataclass(frozen=True)
class CheckNote:
    """One look at the piece. ``seen`` is empty where nothing was seen, None where it is not said
    whether anything was."""

    date: str
    state: str = ""
    seen: tuple[SeenNote, ...] | None = None
    notes: str = ""
    by: str = ""


@dataclass(frozen=True)
class PhotoLine:
    """One photograph, by its name in the piece's folder."""

    file: str
    date: str = ""
    state: str = ""
    side: str = ""
    light: str = ""
    setup: str = ""
    caption: str = ""
