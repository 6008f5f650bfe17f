"""How things lay before the camera in one photograph: what a finder of them ought to find."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from skimage.measure import find_contours

from builder.records.jig import PointMm
from tests.studio import faults
from tests.studio.diary import Shot
from tests.studio.grain import Random
from tests.studio.lens import Floats, Hold, View, look_down
from tests.studio.paint import MARGIN_MM, PX, draw_shape
from tests.studio.stand import (
    CARD_GRID_MM,
    CARD_SIZE_MM,
    JIG,
    LABEL_SIZE_MM,
    middle_of,
)

#: Barrel of the first camera's lens at the corner of the picture; the second corrects its own.
BARREL = {"B1": -0.008, "B2": 0.0}
STEEPEST = 6.0  # degrees from level that a hand holds a phone over a sheet
_LEAST_HOLE_MM = 1.0  # across; a finer ring is the drawing's own grain
#: How far things are laid off their places at most: mm across and down, degrees. A round one is
#: laid into its printed circle, which shows a smaller miss.
_PIECE_STRAYS = {"plate": (2.1, 2.1, 2.0), "bell": (1.2, 1.2, 2.0)}
_CARD_STRAYS = (6.0, 6.0, 2.4)
_LABEL_STRAYS = (0.8, 0.6, 0.6)


@dataclass(frozen=True)
class Laid:
    """A thing on the sheet: its ``middle`` and ``size``, mm, ``turn`` degrees clockwise."""

    middle: PointMm
    size: tuple[float, float]
    turn: float

    @property
    def corners(self) -> Floats:
        """(4, 2) mm, clockwise from its own left top corner."""
        return self.to_sheet(np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * np.array(self.size))

    def to_sheet(self, own: Floats) -> Floats:
        """Points from the thing's own left top corner, mm, to the sheet."""
        angle = np.deg2rad(self.turn)
        turned = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        return np.asarray((own - np.array(self.size) / 2) @ turned + self.middle)


@dataclass(frozen=True, eq=False)
class Lie:
    """``card`` None where none was laid. ``view`` takes mm of the sheet to px of the picture."""

    piece: Laid
    card: Laid | None
    label: Laid
    view: View

    @property
    def card_grid(self) -> Floats | None:
        """Corners of the card's grid of patches, (4, 2) mm, from its own left top."""
        if self.card is None:
            return None
        return Laid(self.card.middle, CARD_GRID_MM, self.card.turn).corners


def has_card(shot: Shot) -> bool:
    return (shot.piece.number, shot.planned) != faults.WARM_WITHOUT_CARD


def lie_of(shot: Shot) -> Lie:
    """Where piece, card and label lay in a shot, and how the camera saw the sheet."""
    rng = shot.rng(4)
    piece = _lay(rng, JIG.middle, shot.place.size_mm, _PIECE_STRAYS[shot.place.name])
    card = _lay(rng, middle_of(JIG.slot), CARD_SIZE_MM, _CARD_STRAYS)
    label = _lay(rng, middle_of(JIG.label), LABEL_SIZE_MM, _LABEL_STRAYS)
    rim = float(rng.uniform(26, 46))
    hold = Hold(
        tilt=min(abs(float(rng.normal(0, 3.0))), STEEPEST),
        # Mostly towards the maker: whoever leans over a bench tips the phone to himself.
        towards=float(rng.normal(90, 70)),
        turn=_stray(rng, 2.2),
        rim=rim,
        off=(float(rng.uniform(-1, 1)) * (rim - 16), float(rng.uniform(-22, 22))),
    )
    view = look_down(hold, BARREL[shot.camera])
    return Lie(piece, card if has_card(shot) else None, label, view)


def outline_of(shot: Shot) -> tuple[Floats, ...]:
    """The true rims of the piece, each (n, 2) mm on the sheet: the outer one first, then those of
    its holes. The metal ends where the paint covers half."""
    outline = draw_shape(shot)
    laid = lie_of(shot).piece
    rims = [
        laid.to_sheet((ring[:, ::-1] + 0.5) / PX - MARGIN_MM)
        for ring in find_contours(outline.inside, 0.0)  # type: ignore[no-untyped-call]
        if float(np.ptp(ring, axis=0).max()) > _LEAST_HOLE_MM * PX
    ]
    return tuple(sorted(rims, key=lambda rim: -float(np.ptp(rim, axis=0).prod())))


def _lay(
    rng: Random, middle: PointMm, size: tuple[float, float], strays: tuple[float, float, float]
) -> Laid:
    across, down, turn = strays
    x, y = middle[0] + _stray(rng, across), middle[1] + _stray(rng, down)
    return Laid((x, y), size, _stray(rng, turn))


def _stray(rng: Random, most: float) -> float:
    """A hand's miss: half of ``most`` is common, more than it never."""
    return most * float(np.clip(rng.normal(0, 0.5), -1, 1))
