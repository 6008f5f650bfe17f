"""Writes the maker's notes: a sidecar a piece, its dates filled in from the diary."""

from __future__ import annotations

from pathlib import Path
from string import Template

from tests.studio.diary import Shot, date_piece, list_shots
from tests.studio.pieces import DemoPiece

NOTEBOOK = Path(__file__).parent / "notebook"
_LOOKS = {7: "w1", 30: "m1", 91: "m3", 182: "m6", 365: "m12"}


def write_note(piece: DemoPiece) -> str:
    """The text of a piece's ``sample.yaml``."""
    template = Template((NOTEBOOK / f"{piece.number}.txt").read_text(encoding="utf-8"))
    return template.substitute(_dates(piece))


def _dates(piece: DemoPiece) -> dict[str, str]:
    dates = date_piece(piece)
    shots: list[Shot] = list_shots(piece)
    found = {
        "started": f"{dates.started:%Y-%m-%dT%H:%M}",
        "fresh": f"{dates.fresh_look:%Y-%m-%d}",
    }
    if dates.sealed and dates.cured_look:
        found["sealed"] = f"{dates.sealed:%Y-%m-%d}"
        found["cured"] = f"{dates.cured_look:%Y-%m-%d}"
    for shot in shots:
        if shot.state == "event":
            found["event"] = f"{shot.taken:%Y-%m-%d}"
        elif shot.planned in _LOOKS and shot.state == "recheck":
            found[_LOOKS[shot.planned]] = f"{shot.taken:%Y-%m-%d}"
    return found
