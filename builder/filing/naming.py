"""What a filed picture is called: ``SH-014_2025-01-14_recheck_back.jpg``."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Container, Iterator
from itertools import count
from pathlib import Path

from builder.read.photo_names import PhotoName
from builder.records.photo import Light, State

_PLAIN = re.compile(r"[\w.()+-]+(?: [\w.()+-]+)*")
_LIGHT = {Light.CROSS_POLARISED: "xpol", Light.RAKING: "raking"}


def list_names(
    source: Path, piece: str, day: dt.date | None, said: PhotoName, state: State | None
) -> Iterator[str]:
    """Names for the picture, the best first, each only where the one before is taken.

    The number, the day, and what is told of state, side and light: never what was inferred, since
    that may come out otherwise when a date is put right. A name that says all of it already is
    kept; without a day the camera's own name is, after the number.
    """
    ending = source.suffix.lower()
    keeps = said.number == piece and said.day == day and (state is None or said.state is state)
    if keeps and _PLAIN.fullmatch(source.stem):
        stem = source.stem
    else:
        state = state or said.state
        parts = [
            piece,
            day.isoformat() if day else _tidy(source.stem),
            state.replace(" ", "-") if state else "",
            said.side if said.side not in (None, "front") else "",
            _LIGHT.get(said.light, "") if said.light else "",
        ]
        stem = "_".join(part for part in parts if part)
    yield stem + ending
    for number in count(2):
        yield f"{stem}_{number}{ending}"


def choose_name(names: Iterator[str], taken: Container[str]) -> str:
    """The first of ``names`` that is not among those ``taken`` (small letters)."""
    return next(name for name in names if name.casefold() not in taken)


def _tidy(stem: str) -> str:
    return re.sub(r"[^\w.()+-]+", "-", stem).strip("-.")[:80] or "picture"
