"""What a photograph of a piece ought to read: the colours that were drawn, and their shares.

L*a*b* D65, 2°, under the neutral lamp. ``days`` count from the start of the watch: the first look
after the cure for a sealed piece, the first dry look for a bare one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tests.studio.colours import Lab
from tests.studio.pieces import BARE_METALS, CURVE_DAYS, DemoPiece, read_pieces

WHOLE = (0.0, 0.0, 1.0, 1.0)
RUST: Lab = (40.0, 22.0, 31.0)
GREEN_RETURN: Lab = (58.0, -27.0, 8.0)
#: Damp from the tub: darker and fuller, as any porous colour when wet.
WET_SHIFT = (-12.0, 1.18)

#: Share of the area by day: coverage events as the table words them.
_COVER_BY_DAY: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "SH-012": ((0, 365), (0.76, 0.70)),
    "SH-013": ((0, 30, 365), (0.90, 0.90, 0.62)),
}
_RUST_BY_DAY = ((0, 30, 91, 365), (0.0, 0.0, 0.18, 0.45))
_RETURN_BY_DAY = ((0, 120, 182, 365), (0.0, 0.0, 0.03, 0.06))


class Phase(StrEnum):
    """How far a piece had come when it was photographed."""

    BARE = "bare"
    WET = "wet"
    FRESH = "fresh"
    BACK = "back"
    WATCHED = "watched"


@dataclass(frozen=True)
class TrueColour:
    name: str  # main, second, rust, green return
    lab: Lab
    share: float  # of the area read, 0 to 1


@dataclass(frozen=True)
class ZoneTruth:
    """``name`` is "" where the piece has one finish. ``at``: fractions of the piece's place."""

    name: str
    at: tuple[float, float, float, float]
    finish: str
    colours: tuple[TrueColour, ...]

    @property
    def main(self) -> TrueColour:
        return self.colours[0]


@dataclass(frozen=True)
class Truth:
    piece: str
    phase: Phase
    days: float
    zones: tuple[ZoneTruth, ...]


def truth(number: str, phase: Phase, days: float = 0.0) -> Truth:
    """The truth of a piece in a phase, ``days`` into its watch (0 for phases before it)."""
    piece = read_pieces()[number]
    if phase is Phase.BARE:
        main, second = BARE_METALS[piece.metal]
        colours = (TrueColour("main", main, 0.9), TrueColour("second", second, 0.1))
        return Truth(number, phase, 0.0, (ZoneTruth("", WHOLE, "bare metal", colours),))
    if phase is Phase.BACK:
        lightness, a, b = BARE_METALS[piece.metal][0]
        colours = (
            TrueColour("main", (lightness - 13.0, a * 0.85, b * 0.85), 0.72),
            TrueColour("second", (lightness - 24.0, a * 0.7, b * 0.7), 0.28),
        )
        return Truth(number, phase, days, (ZoneTruth("", WHOLE, "bare metal", colours),))
    if number == "SH-024":
        zones = _three_zones(phase, days)
    else:
        zones = (_zone("", WHOLE, piece, phase, days),)
    return Truth(number, phase, days, zones)


def _three_zones(phase: Phase, days: float) -> tuple[ZoneTruth, ...]:
    """Left waxed, centre bare, right lacquered. The bare part has been ageing since the evening
    before the coats had cured."""
    pieces = read_pieces()
    thirds = ((0.0, 0.333), (0.333, 0.667), (0.667, 1.0))
    rows = (("left", "SH-024"), ("centre", "SH-023"), ("right", "SH-025"))
    found = []
    for (name, number), (left, right) in zip(rows, thirds, strict=True):
        later = 1.0 if name == "centre" and phase is Phase.WATCHED else 0.0
        at = (left, 0.0, right, 1.0)
        found.append(_zone(name, at, pieces[number], phase, days + later))
    left_zone = found[0]
    if phase is Phase.WATCHED:
        found[0] = ZoneTruth(left_zone.name, left_zone.at, "microcrystalline wax",
                             left_zone.colours)  # fmt: skip
    return tuple(found)


def _zone(
    name: str, at: tuple[float, float, float, float], piece: DemoPiece, phase: Phase, days: float
) -> ZoneTruth:
    main, second = _main(piece, phase, days), _second(piece, phase, days)
    cover = piece.cover
    if piece.number in _COVER_BY_DAY and phase is Phase.WATCHED:
        cover = float(np.interp(days, *_COVER_BY_DAY[piece.number]))
    colours = [TrueColour("main", main, cover), TrueColour("second", second, 1 - cover)]
    if piece.number == "SH-027" and phase is Phase.WATCHED:
        colours = _with_third(colours, "rust", RUST, float(np.interp(days, *_RUST_BY_DAY)))
    if piece.number == "SH-016" and phase is Phase.WATCHED:
        share = float(np.interp(days, *_RETURN_BY_DAY))
        colours = _with_third(colours, "green return", GREEN_RETURN, share)
    finish = piece.sealant if piece.sealed and phase is Phase.WATCHED else "bare"
    if piece.sealant.startswith("(finish"):
        finish = "oil and wax"
    return ZoneTruth(name, at, finish, tuple(colours))


def _with_third(colours: list[TrueColour], name: str, lab: Lab, share: float) -> list[TrueColour]:
    """A third colour, which takes the second's ground before the main colour's."""
    if share <= 0:
        return colours
    main, second = colours
    left = second.share * (1 - share) ** 3  # the second is eaten faster
    return [
        TrueColour("main", main.lab, 1 - share - left),
        TrueColour("second", second.lab, left),
        TrueColour(name, lab, share),
    ]


def _main(piece: DemoPiece, phase: Phase, days: float) -> Lab:
    if phase is Phase.WATCHED:
        found = [np.interp(days, CURVE_DAYS, [lab[i] for lab in piece.curve]) for i in range(3)]
        return (float(found[0]), float(found[1]), float(found[2]))
    return _wetted(piece.fresh) if phase is Phase.WET else piece.fresh


def _second(piece: DemoPiece, phase: Phase, days: float) -> Lab:
    """The second colour: goes four tenths of the way the main one goes, and under a sealant a
    little darker and fuller. Invented for the demo."""
    if phase is Phase.WET:
        return _wetted(piece.second)
    if phase is Phase.FRESH:
        return piece.second
    now, start = _main(piece, phase, days), piece.curve[0]
    lightness, a, b = (
        second + 0.4 * (n - s) for second, n, s in zip(piece.second, now, start, strict=True)
    )
    if piece.sealed and piece.texture != "spangle":
        lightness, a, b = lightness - 3.0, a * 1.06, b * 1.06
    return (lightness, a, b)


def _wetted(lab: Lab) -> Lab:
    darker, fuller = WET_SHIFT
    return (lab[0] + darker, lab[1] * fuller, lab[2] * fuller)
