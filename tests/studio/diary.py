"""The diary of the evenings: when each photograph was taken, and in which state.

Dates follow the table: coloured in the evening, lifted out, dried, looked at, sealed the day
after, looked at when the coat had cured; then watched at a week, one, three, six and twelve months
with a day or two of slack, as in life.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tests.studio import faults
from tests.studio.pieces import CURVE_DAYS, STARTED_AT, DemoPiece, read_pieces
from tests.studio.stand import BELLS, PLATES, Place
from tests.studio.truths import Phase, Truth, truth

SEED = 20240917  # the first evening
SECOND_CAMERA_FROM = dt.date(2025, 6, 1)
BACKS = ("SH-002", "SH-012", "SH-014")

_HOURS = {"h": 1, "d": 24}
_CHANGES_TO_WINTER = (dt.date(2024, 10, 27), dt.date(2025, 10, 26))
_CHANGES_TO_SUMMER = (dt.date(2024, 3, 31), dt.date(2025, 3, 30), dt.date(2026, 3, 29))


@dataclass(frozen=True)
class Shot:
    """One photograph. ``days`` into the watch, and the ``planned`` days (-1 before the watch);
    ``serial`` seeds what differs between shots."""

    piece: DemoPiece
    taken: dt.datetime
    state: str
    side: str
    phase: Phase
    days: float
    planned: int
    serial: int

    @property
    def place(self) -> Place:
        return PLATES if self.piece.form == "plate blank" else BELLS

    @property
    def name(self) -> str:
        """The file's name without its ending."""
        state = self.state.replace(" ", "-")
        return f"{self.piece.number}_{self.taken:%Y-%m-%d}_{state}_{self.side}"

    @property
    def camera(self) -> str:
        return "B2" if self.taken.date() >= SECOND_CAMERA_FROM else "B1"

    @property
    def offset_minutes(self) -> int:
        """Distance of the clock on the wall from UTC."""
        day = self.taken.date()
        summer = max((d for d in _CHANGES_TO_SUMMER if d <= day), default=dt.date.min)
        winter = max((d for d in _CHANGES_TO_WINTER if d <= day), default=dt.date.min)
        return 60 if summer > winter else 0

    @property
    def truth(self) -> Truth:
        return truth(self.piece.number, self.phase, self.days)

    def rng(self, purpose: int) -> np.random.Generator:
        return np.random.default_rng([SEED, self.piece.index, self.serial, purpose])


@dataclass(frozen=True)
class Dates:
    """A piece's own days. ``sealed`` and ``cured_look`` are None for a bare piece."""

    started: dt.datetime
    lifted: dt.datetime
    fresh_look: dt.datetime
    sealed: dt.date | None
    cured_look: dt.datetime | None

    @property
    def watch_from(self) -> dt.date:
        return (self.cured_look or self.fresh_look).date()


def _span(words: str) -> dt.timedelta:
    """``7 d`` or ``24 h`` as a time; anything shorter or counted leaves the same evening."""
    number, _, unit = words.partition(" ")
    return dt.timedelta(hours=float(number) * _HOURS.get(unit, 0))


def date_piece(piece: DemoPiece) -> Dates:
    """When a piece was begun, lifted out, first seen dry, sealed, and first seen cured."""
    rng = np.random.default_rng([SEED, piece.index, 7])
    started = dt.datetime.combine(piece.coloured_on, STARTED_AT)
    lifted = started + _span(piece.exposure)
    dried = lifted + _span(piece.dry)
    fresh = dried + dt.timedelta(minutes=int(rng.integers(18, 75)))
    if fresh.hour < 7:
        fresh = fresh.replace(hour=7, minute=40)
    if not piece.sealed:
        return Dates(started, lifted, fresh, None, None)
    same_day = _span(piece.dry) < dt.timedelta(days=1)
    sealed = fresh.date() + dt.timedelta(days=0 if same_day else 1)
    cured = sealed + dt.timedelta(days=int(rng.integers(1, 3)))
    evening = dt.time(19, int(rng.integers(2, 58)))
    return Dates(started, lifted, fresh, sealed, dt.datetime.combine(cured, evening))


def _evening(day: dt.date, rng: np.random.Generator) -> dt.datetime:
    minute = int(rng.integers(0, 150))
    return dt.datetime.combine(day, dt.time(18, 50)) + dt.timedelta(
        minutes=minute, seconds=int(rng.integers(0, 60))
    )


def _slack(piece: DemoPiece, days: int, rng: np.random.Generator) -> int:
    drawn = int(rng.integers(-2, 3)) if days > 7 else int(rng.integers(-1, 2))
    if piece.number == "SH-012" or (piece.texture == "banded" and days <= 30):
        return 0  # kept to the day: the class was waiting for it
    return drawn


def list_shots(piece: DemoPiece) -> list[Shot]:
    """Every photograph drawn of a piece, by date. (Copies of files are not shots.)"""
    rng = np.random.default_rng([SEED, piece.index, 8])
    dates = date_piece(piece)
    number = piece.number
    begun = dates.started - dt.timedelta(minutes=int(rng.integers(25, 80)))
    found: list[tuple[dt.datetime, str, str, Phase, float, int]] = [
        (begun, "bare", "front", Phase.BARE, 0.0, -1)
    ]
    fresh_state = "before seal" if piece.sealed else "dry"
    fresh_phase = Phase.FRESH if piece.sealed else Phase.WATCHED
    fresh_planned = -1 if piece.sealed else 0
    found.append((dates.fresh_look, fresh_state, "front", fresh_phase, 0.0, fresh_planned))
    if dates.cured_look:
        found.append((dates.cured_look, "after seal", "front", Phase.WATCHED, 0.0, 0))
    if number in BACKS:
        turned = dates.fresh_look + dt.timedelta(minutes=3)
        found.append((turned, fresh_state, "back", Phase.BACK, 0.0, -1))
    if number == faults.WET:
        damp = dates.lifted + dt.timedelta(minutes=12)
        found.append((damp, "wet", "front", Phase.WET, 0.0, -1))
    for days in CURVE_DAYS[1:]:
        slack = _slack(piece, days, rng)
        if (number, days) == faults.MISSING_RECHECK:
            continue
        if (number, days) == faults.LATE_RECHECK[:2]:
            slack = faults.LATE_RECHECK[2] - days
        day = dates.watch_from + dt.timedelta(days=days + slack)
        taken = _evening(day, rng)
        if (number, days) == faults.CLOCK_RESET:
            taken = faults.RESET_TO
        found.append((taken, "recheck", "front", Phase.WATCHED, float(days + slack), days))
    for extra, days, state in faults.EXTRA_LOOKS:
        if extra == number:
            day = dates.watch_from + dt.timedelta(days=days)
            taken = _evening(day, rng)
            found.append((taken, state, "front", Phase.WATCHED, float(days), days))
    return [Shot(piece, *facts, serial) for serial, facts in enumerate(found)]


def list_all_shots() -> list[Shot]:
    return [shot for piece in read_pieces().values() for shot in list_shots(piece)]


def find_shot(file_name: str) -> Shot:
    """The shot of a file of the library, by its name with or without folder and ending; its
    ``truth`` is what the picture ought to read. Raises KeyError for a name that is no shot's."""
    name = Path(file_name).stem
    if name == Path(faults.DUPLICATE[2]).stem:
        number, days, _ = faults.DUPLICATE
        return next(s for s in list_shots(read_pieces()[number]) if s.planned == days)
    for shot in list_shots(read_pieces()[name[:6]]):
        if shot.name == name:
            return shot
    raise KeyError(file_name)
