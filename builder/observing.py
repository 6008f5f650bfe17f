"""One photograph, from file to readings: the only place where ``look`` and ``measure`` meet.

An original is opened once; its digest, web sizes, the view of the piece and every reading come from
that opening.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from builder.errors import PictureError, Problem
from builder.kept import Seen
from builder.look.opening import Opened, open_original
from builder.look.perspective import CornersError
from builder.look.views import cut_patches, cut_quad, mm_per_pixel, quad_size, write_view
from builder.look.web import write_web_sizes
from builder.measure.cards import CardFit, fit_card
from builder.measure.decode import find_clipped, is_clipped, rgb_to_xyz_of, to_linear_xyz
from builder.measure.patches import SeenPatch
from builder.measure.readings import read_region
from builder.measure.spaces import D50, D65, adapt_lab
from builder.records.photo import Box, Lab, PhotoFile, Picture, Quad, Reading, WebImage
from builder.records.settings import Card, Settings, SetUp

#: Raised when what one opening gives changes its meaning without any code in look or measure
#: changing; kept results of another number are not used.
SEEING = 1

_WHITES = {"D50": D50, "D65": D65}
_CARD_VIEW_MM = 60  # the card's width in the strip shown beside a piece, for lack of its true one
_WHOLE: Box = (0.0, 0.0, 1.0, 1.0)


@dataclass(frozen=True)
class Task:
    """All that is needed to see one photograph, small enough to hand to another process.

    ``setup`` is one that marks nothing where the photograph belongs to none. ``zones`` are (name,
    part of the piece's place as fractions); empty for the whole piece.
    """

    root: Path
    pictures: Path
    photo: PhotoFile
    setup: SetUp
    zones: tuple[tuple[str, Box], ...]
    settings: Settings

    @property
    def piece_at(self) -> Quad | None:
        return self.photo.piece_at or self.setup.piece_at

    @property
    def card_at(self) -> Quad | None:
        return self.photo.card_at or self.setup.card_at


@dataclass(frozen=True, eq=False)
class Place:
    """The piece's place straightened: linear XYZ (h, w, 3) as seen, and what is clipped (h, w)."""

    xyz: NDArray[np.float32]
    clipped: NDArray[np.bool_]


def see(task: Task) -> Seen:
    """Open one photograph and take from it all that is wanted. A picture that cannot be opened
    comes back as its problem; a pictures folder that cannot be written to raises ``SiteError``."""
    try:
        opened = open_original(task.root, task.photo.path, task.settings.limits)
    except PictureError as error:
        return Seen(None, problem=error.problems[0])
    webs = write_web_sizes(opened, task.settings.web_widths, task.pictures)
    try:
        fit = _fit_card(task, opened)
        place = _straighten_piece(task, opened)
        strip = _show_card(task, opened, fit)
    except CornersError as error:
        return Seen(
            _picture(opened, webs), problem=_refuse_corners(task, error), sha256=opened.sha256
        )
    view = _show_piece(task, place, fit) if place else None
    return Seen(
        replace(
            _picture(opened, webs),
            view=view,
            view_corrected=bool(view and fit and not fit.rejected),
            card_strip=strip,
        ),
        fit.report() if fit else None,
        _read_parts(task, place, fit) if place else (),
        sha256=opened.sha256,
    )


def _picture(opened: Opened, webs: tuple[WebImage, ...]) -> Picture:
    return Picture(
        path=opened.path,
        sha256=opened.sha256,
        bytes=opened.bytes,
        format=opened.format,
        width=opened.width,
        height=opened.height,
        exif=opened.exif,
        profile=opened.profile,
        webs=webs,
        file_day=opened.file_day,
        notes=opened.notes,
    )


def _fit_card(task: Task, opened: Opened) -> CardFit | None:
    """The card's correction; None where the set-up has no card to look for."""
    card = task.setup.card
    if card is None or task.card_at is None:
        return None
    pixels = cut_patches(opened.rgb, task.card_at, card.rows, card.columns)
    return fit_card(
        [
            SeenPatch(
                patch.name,
                _to_d65(patch.lab, card),
                to_linear_xyz(pixels[patch.name], opened.encoding),
                is_clipped(pixels[patch.name]),
            )
            for patch in card.patches
        ],
        rgb_to_xyz_of(opened.encoding),
    )


def _to_d65(lab: Lab, card: Card) -> Lab:
    L, a, b = (float(value) for value in adapt_lab(lab, _WHITES[card.white], D65))
    return L, a, b


def _straighten_piece(task: Task, opened: Opened) -> Place | None:
    if task.piece_at is None:
        return None
    rgb = cut_quad(opened.rgb, task.piece_at, *quad_size(opened.rgb, task.piece_at))
    return Place(to_linear_xyz(rgb, opened.encoding), find_clipped(rgb))


def _read_parts(task: Task, place: Place, fit: CardFit | None) -> tuple[Reading, ...]:
    """A reading of each zone, or of the whole piece where it has none."""
    height, width = place.clipped.shape
    size_mm = task.setup.piece_mm
    scale = mm_per_pixel(size_mm, width) if size_mm else None
    readings = []
    for name, zone in task.zones or (("", _WHOLE),):
        left, top, right, bottom = _within(zone, task.setup.read_at)
        rows = slice(round(top * height), round(bottom * height))
        columns = slice(round(left * width), round(right * width))
        readings.append(
            read_region(place.xyz[rows, columns], place.clipped[rows, columns], fit, scale, name)
        )
    return tuple(readings)


def _within(zone: Box, inner: Box) -> Box:
    """The part of ``zone`` that ``inner`` is of the whole: edges are left off every zone alike."""
    left, top, right, bottom = zone
    width, height = right - left, bottom - top
    return (
        left + inner[0] * width,
        top + inner[1] * height,
        left + inner[2] * width,
        top + inner[3] * height,
    )


def _show_piece(task: Task, place: Place, fit: CardFit | None) -> WebImage:
    size_mm = task.setup.piece_mm
    unit = task.settings.view_width
    if size_mm:
        width, height = (max(1, round(side * unit / 100)) for side in size_mm)
        return write_view(_corrected(place.xyz, fit), task.pictures, width, height)
    return write_view(_corrected(place.xyz, fit), task.pictures, unit)


def _show_card(task: Task, opened: Opened, fit: CardFit | None) -> WebImage | None:
    if task.card_at is None or fit is None:
        return None
    rgb = cut_quad(opened.rgb, task.card_at, *quad_size(opened.rgb, task.card_at))
    width = round(_CARD_VIEW_MM * task.settings.view_width / 100)
    return write_view(_corrected(to_linear_xyz(rgb, opened.encoding), fit), task.pictures, width)


def _corrected(xyz: NDArray[np.float32], fit: CardFit | None) -> NDArray[np.float32]:
    return np.asarray(fit.correct(xyz), dtype=np.float32) if fit else xyz


def _refuse_corners(task: Task, error: CornersError) -> Problem:
    return Problem(
        task.photo.path,
        0,
        str(error),
        "four corners, clockwise from the left top, around the piece and the card",
        "correct piece_at or card_at in the sidecar or the set-up; the picture is shown unmeasured",
    )
