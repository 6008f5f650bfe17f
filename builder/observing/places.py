"""Where the piece and the card lie in a picture: marked by hand, or found on a jig sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from builder.look.codes import Code, read_codes, read_labels
from builder.look.opening import Opened
from builder.look.outlines import Outline
from builder.look.sheets import FoundSheet, NoMarksError, SheetError, find_sheet
from builder.observing.laid import PX_PER_MM, Laid, look_over
from builder.observing.task import Task
from builder.records.jig import OUTLINES
from builder.records.photo import Quad

_ROOM_MM = 1.5  # shown round a piece that is no plate
_SAME_SIZE = 0.02  # a side measured this near a known size is of that size...
_SAME_MM = 0.6  # ...or this near


@dataclass(frozen=True, eq=False)
class Places:
    """``piece`` and ``card``: their corners as fractions of the upright picture, None where not
    known; ``piece_mm``: width and height of the place, and ``corners_mm`` (4, 2) its corners on the
    sheet. ``labels``: numbers read from labels in the frame. ``sheet`` and ``laid``: the jig sheet
    and what lies on it, where the places come from it; ``fault``: a sentence why a sheet that
    should be there cannot serve, else ""; ``codes``: all that were read."""

    piece: Quad | None = None
    card: Quad | None = None
    piece_mm: tuple[float, float] | None = None
    labels: tuple[str, ...] = ()
    corners_mm: NDArray[np.float64] | None = None
    sheet: FoundSheet | None = None
    laid: Laid | None = None
    fault: str = ""
    codes: tuple[Code, ...] = ()

    @property
    def card_mm(self) -> NDArray[np.float64] | None:
        """The card's corners on the sheet, mm (4, 2), None where they do not come from it."""
        return np.array(self.laid.card.quad_mm) if self.laid and self.laid.card else None

    @property
    def said(self) -> tuple[str, ...]:
        """What was decided on the way to piece and card, in sentences."""
        card = self.laid.card if self.laid else None
        return (*(self.outline.said if self.outline else ()), *(card.said if card else ()))

    @property
    def outline(self) -> Outline | None:
        """The piece outlined, None where its place is marked by hand."""
        return self.laid.piece if self.laid else None


def find_places(task: Task, opened: Opened) -> Places:
    """The places of ``task``'s photograph. Corners marked by hand go before the sheet's."""
    codes = read_codes(opened.picture, opened.small)
    return replace(_find(task, opened, codes), labels=read_labels(codes), codes=codes)


def _find(task: Task, opened: Opened, codes: tuple[Code, ...]) -> Places:
    if opened.is_colourless:
        return Places(fault="it is black and white: no colour can be read from it")
    if task.piece_at is not None:
        return Places(task.piece_at, task.card_at, task.setup.piece_mm)
    try:
        sheet, times = _find_sheet(task, opened, codes)
    except NoMarksError as error:
        return Places(card=task.card_at, fault=str(error) if task.setup.sheet else "")
    except SheetError as error:
        return Places(card=task.card_at, fault=str(error))
    laid = look_over(opened, sheet, task.setup, times)
    card = laid.card
    sheet = sheet.enlarged(times, (opened.width, opened.height))
    corners, size = frame_piece(laid.piece, task) if laid.piece else (None, None)
    return Places(
        piece=None if corners is None else sheet.quad(corners),
        card=task.card_at or (sheet.quad(card.quad_mm) if card else None),
        piece_mm=size,
        corners_mm=corners,
        sheet=sheet,
        laid=laid,
        fault=laid.piece_fault,
    )


def _find_sheet(task: Task, opened: Opened, codes: tuple[Code, ...]) -> tuple[FoundSheet, int]:
    """The sheet, and how many times reduced the picture is that it was found in; in all its pixels
    where fewer are not enough.

    Raises :class:`SheetError`.
    """
    size, number = task.setup.sheet, task.setup.sheet_number
    if opened.times > 1:
        reduced = [code.reduced(opened.times) for code in codes]
        try:
            sheet = find_sheet(opened.small_rgb, reduced, size, number)
        except NoMarksError:
            raise
        except SheetError:
            pass
        else:
            if sheet.mm_per_px * PX_PER_MM <= 1.0:
                return sheet, opened.times
    return find_sheet(opened.rgb, codes, size, number), 1


def frame_piece(outline: Outline, task: Task) -> tuple[NDArray[np.float64], tuple[float, float]]:
    """The corners (4, 2) on the sheet, mm, of what is shown of a piece, and its width and height: a
    plate's own corners; for any other form an upright box about it with a little room round it."""
    width, height = settle_size(outline.size_mm, task)
    corners = np.array(outline.corners)
    if outline.form == "plate":
        return corners, (width, height)
    width, height = width + 2 * _ROOM_MM, height + 2 * _ROOM_MM
    half = np.array([width, height]) / 2
    around = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    return corners.mean(axis=0) + around * half, (width, height)


def settle_size(measured: tuple[float, float], task: Task) -> tuple[float, float]:
    """Width and height in mm that a piece is shown at: the size it is known to have where it
    measures like that, so that its pictures lie on each other, else whole millimetres."""
    known = [task.piece_mm, task.setup.piece_mm, *((o * 2)[:2] for o in OUTLINES)]
    for size in known:
        for width, height in (size, size[::-1]) if size else ():
            if _is_like(measured[0], width) and _is_like(measured[1], height):
                return (width, height)
    return (max(1.0, round(measured[0])), max(1.0, round(measured[1])))


def _is_like(measured: float, known: float) -> bool:
    return abs(measured - known) <= max(_SAME_MM, _SAME_SIZE * known)
