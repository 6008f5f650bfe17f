"""The faults planted in the demo, as data: a picture or a sidecar each that a tool must not fall
for. Pieces by number; looks by (number, days into the watch)."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

WARM_WITH_CARD = (("SH-004", 30), ("SH-018", 91))
WARM_WITHOUT_CARD = ("SH-017", 30)
WIDE_GAMUT_HEIC = ("SH-015", 91)
TURNED_BY_TAG = ("SH-010", 182)
POSITION_IN_EXIF = (("SH-001", 365), ("SH-008", 91))
POSITION_IN_THUMBNAIL = ("SH-022", 0)
WET = "SH-017"
GLARE = ("SH-025", 30)
MISSING_RECHECK = ("SH-005", 91)
LATE_RECHECK = ("SH-020", 182, 213)
CLOCK_RESET = ("SH-021", 7)
RESET_TO = dt.datetime(2024, 1, 1, 0, 4, 11)

#: (the piece in the picture, days, the folder it lies in)
MISFILED = ("SH-012", 21, "SH-014")
#: (piece, days, the copy's name)
DUPLICATE = ("SH-002", 91, "phone-0113.jpg")

#: Looks outside the plan: (piece, days, state).
EXTRA_LOOKS = (
    ("SH-012", 21, "recheck"),
    ("SH-016", 14, "event"),
    ("SH-028", 274, "event"),
)


@dataclass(frozen=True)
class SidecarFault:
    """A sidecar's oddity: the piece, the field, and the words written there."""

    piece: str
    field: str
    written: str


SIDECARS = (
    SidecarFault("SH-030", "ingredients.amount", "a splash"),
    SidecarFault("SH-029", "thickness", "20"),
    SidecarFault("SH-028", "humidity_pct", "unknown"),
    SidecarFault("SH-029", "share.recipe", "students"),
)
