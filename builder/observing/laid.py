"""What lies on a jig sheet: the piece outlined, the card in its slot, white paper round them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.look.card_places import CardPlace, CardPlaceError, find_card
from builder.look.flats import find_white_cells, flatten
from builder.look.opening import Opened
from builder.look.outlines import Outline, OutlineError, find_outline
from builder.look.sheets import FoundSheet
from builder.measure.arrays import Mask
from builder.measure.decode import is_clipped, rgb_to_xyz_of, to_linear_rgb, to_linear_xyz
from builder.measure.field import Margin, fit_field
from builder.records.jig import BoxMm, widen
from builder.records.photo import Encoding
from builder.records.settings import SetUp
from builder.smooth import spread

Floats = NDArray[np.float64]

#: Squares a millimetre at which piece and card are looked for: fine enough for a hanging hole, and
#: no finer than most phones show a sheet.
PX_PER_MM = 3.0
_LEAST_PX_PER_MM = 2.0
_ROUND_PLACE_MM = 10.0  # looked at round the place, so that what reaches beyond it is seen to
_ROUND_SLOT_MM = 4.0
_DARKEST = 1e-3  # light that paper is never seen below
_SHADOW_MM = 6.0  # paper this near the piece may lie in its shadow or show its colour


@dataclass(frozen=True, eq=False)
class _Seen:
    """The picture (h, w, 3), 8-bit, in which the sheet was found."""

    rgb: NDArray[np.uint8]
    encoding: Encoding


@dataclass(frozen=True, eq=False)
class Laid:
    """``piece`` its outline, None where ``piece_fault`` says why there is none; ``card`` its place,
    None where none is asked for or ``card_fault`` says why there is none; ``margin`` the white
    paper."""

    piece: Outline | None
    card: CardPlace | None
    margin: Margin
    piece_fault: str = ""
    card_fault: str = ""


def look_over(opened: Opened, sheet: FoundSheet, setup: SetUp, times: int = 1) -> Laid:
    """Find what lies on the ``sheet``: a piece in its place, and the set-up's card in the slot.
    ``times``: the sheet was found in the picture so many times reduced, so these are too."""
    seen = _Seen(opened.rgb if times == 1 else opened.small_rgb, opened.encoding)
    paper = _paper_under(seen, sheet)
    piece, piece_fault = _outline(seen, sheet, paper)
    card, card_fault = _find_card(seen, sheet, paper, setup)
    covered = [widen(_bounds(piece), _SHADOW_MM) if piece else sheet.jig.place]
    return Laid(piece, card, _gather_margin(seen, sheet, covered), piece_fault, card_fault)


def _gather_margin(seen: _Seen, sheet: FoundSheet, covered: list[BoxMm]) -> Margin:
    """The paper that is surely white, outside the boxes ``covered``, mm. White, and smooth, it has
    the same light in a reduced picture to some parts in ten thousand."""
    cells = find_white_cells(seen.rgb, sheet, covered)
    light = to_linear_xyz(cells.samples, seen.encoding).mean(axis=1, dtype=np.float64)
    return Margin(cells.at, np.asarray(light))


def _paper_under(seen: _Seen, sheet: FoundSheet) -> Callable[[Floats], Floats]:
    """What white paper is seen as, linear RGB (…, 3), at places (…, 2) of the sheet, mm."""
    margin = _gather_margin(seen, sheet, [sheet.jig.place])
    rgb = margin.xyz @ np.linalg.inv(rgb_to_xyz_of(seen.encoding)).T
    light = fit_field(margin.at, rgb)
    if light is None:  # burnt out, or hidden: an even guess serves for finding
        middling = np.median(rgb, axis=0) if len(rgb) else np.ones(3)
        return lambda at: np.broadcast_to(np.maximum(middling, _DARKEST), (*at.shape[:-1], 3))
    return lambda at: light.white * light.at(at)


def _outline(
    seen: _Seen, sheet: FoundSheet, paper: Callable[[Floats], Floats]
) -> tuple[Outline | None, str]:
    box = widen(sheet.jig.place, _ROUND_PLACE_MM)
    flat, scale, _ = _over_paper(seen, sheet, paper, box)
    try:
        return find_outline(flat, scale, box[:2], sheet.jig), ""
    except OutlineError as error:
        return None, error.sentence


def _find_card(
    seen: _Seen, sheet: FoundSheet, paper: Callable[[Floats], Floats], setup: SetUp
) -> tuple[CardPlace | None, str]:
    card = setup.card
    if card is None or setup.card_at is not None:
        return None, ""
    box = widen(sheet.jig.slot, _ROUND_SLOT_MM)
    flat, scale, clipped = _over_paper(seen, sheet, paper, box)
    try:
        place = find_card(
            flat,
            scale,
            box[:2],
            card.rows,
            card.columns,
            [(patch.row, patch.column, patch.lab) for patch in card.patches],
            setup.card_mm,
            clipped,
        )
        return place, ""
    except CardPlaceError as error:
        return None, error.sentence


def _over_paper(
    seen: _Seen, sheet: FoundSheet, paper: Callable[[Floats], Floats], box: BoxMm
) -> tuple[NDArray[np.float32], float, Mask]:
    """The box straightened, as linear light over that of the paper; its squares a mm; and which of
    them ran out of scale."""
    scale = min(PX_PER_MM, max(_LEAST_PX_PER_MM, 1.0 / sheet.mm_per_px))
    rgb = flatten(seen.rgb, sheet, box, scale)
    flat = to_linear_rgb(rgb, seen.encoding)
    height, width = flat.shape[:2]
    start, size = np.array(box[:2]), np.array((width, height)) / scale
    light = spread(lambda place: paper(start + size * place), height, width, np.float32)
    flat /= np.moveaxis(light, 0, -1)
    return flat, scale, is_clipped(rgb)


def _bounds(outline: Outline) -> BoxMm:
    xs, ys = zip(*outline.corners, strict=True)
    return (min(xs), min(ys), max(xs), max(ys))
