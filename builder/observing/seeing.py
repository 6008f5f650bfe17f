"""From one opening of a photograph to everything that is kept of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from builder.errors import PictureError, Problem
from builder.kept import Seen
from builder.look.opening import Opened, open_original
from builder.look.perspective import CornersError
from builder.look.views import cut_patches, cut_quad, mm_per_pixel, quad_size, write_view
from builder.look.web import write_web_sizes
from builder.measure.arrays import Mask
from builder.measure.cards import CardFit, fit_card, fit_paper
from builder.measure.decode import is_clipped, rgb_to_xyz_of, to_linear_xyz
from builder.measure.fitness import judge_likeness, judge_paper, judge_sheet, judge_size
from builder.measure.grids import make_grid
from builder.measure.patches import SeenPatch
from builder.measure.readings import read_region
from builder.measure.spaces import D50, D65, adapt_lab, as_lab
from builder.observing.cutting import Cut, correct_cut, cut_piece, spread_over
from builder.observing.glimpsing import describe_picture
from builder.observing.hiding import cut_blur, find_words, hide
from builder.observing.places import Places, find_places
from builder.observing.task import Task
from builder.records.photo import (
    Box,
    CardReport,
    Evidence,
    Grid,
    Lab,
    Reading,
    SheetReport,
    WebImage,
)
from builder.records.settings import Card, SetUp

_WHITES = {"D50": D50, "D65": D65}
_CARD_VIEW_MM = 60  # the card's width in the strip shown beside a piece, for lack of its true one
_WHOLE: Box = (0.0, 0.0, 1.0, 1.0)
_MAT = 0.181  # linear light of the grey that the pages lay pictures on, sRGB 118


def see(task: Task) -> Seen:
    """Open one photograph and take from it all that is wanted. A picture that cannot be opened
    comes back as its problem; a pictures folder that cannot be written to raises ``SiteError``."""
    try:
        opened = open_original(task.root, task.photo.path, task.settings.limits)
    except PictureError as error:
        return Seen(None, problem=error.problems[0])
    shown = hide(opened, task.blur)
    webs = write_web_sizes(shown, task.settings.web_widths, task.pictures)
    places = find_places(task, opened)
    picture = replace(
        describe_picture(shown, webs, places.labels),
        view_mm=places.piece_mm,
        lettering=find_words(shown, places, task.blur),
    )
    try:
        fit = _fit(task, opened, places)
        cut = cut_piece(opened, places, fit, task.settings.view_width)
        bare = cut if shown is opened else cut_piece(shown, places, fit, task.settings.view_width)
        strip = _show_card(task, shown, places, fit)
    except CornersError as error:
        return Seen(picture, problem=_refuse_corners(task, error), sha256=opened.sha256)
    sheet = _report_sheet(places, fit)
    readings = _read_parts(task, places, cut, fit) if cut else ()
    said = (
        *places.said,
        *(judge_sheet(sheet) if sheet else ()),
        *judge_paper(fit.paper if fit and fit.evidence is not Evidence.SHEET else None),
        *(judge_likeness(places.outline.size_mm, task.piece_mm) if places.outline else ()),
    )
    return Seen(
        replace(
            picture,
            view=_show_piece(task, places, bare) if bare else None,
            view_corrected=bool(cut and fit and not fit.rejected),
            card_strip=strip,
            grid=_make_grid(places, cut, cut_blur(opened, places, cut, task.blur)) if cut else None,
        ),
        _report_card(places, fit),
        tuple(replace(reading, flags=(*reading.flags, *said)) for reading in readings),
        sha256=opened.sha256,
        sheet=sheet,
    )


def _fit(task: Task, opened: Opened, places: Places) -> CardFit | None:
    """The correction by the card, by white paper where that is all there is, or None."""
    card, margin = task.setup.card, places.laid.margin if places.laid else None
    working = rgb_to_xyz_of(opened.encoding)
    if card is None or places.card is None:
        paper = None if margin is None else fit_paper(margin, working)
        fault = places.laid.card_fault if places.laid else ""
        return paper or (CardFit("", rejected=fault) if fault else None)
    pixels = cut_patches(opened.picture, places.card, card.rows, card.columns)
    corners = places.card_mm
    patches = [
        SeenPatch(
            patch.name,
            _to_d65(patch.lab, card),
            to_linear_xyz(pixels[patch.name], opened.encoding),
            is_clipped(pixels[patch.name]),
            _middle(patch.row, patch.column, card, corners),
        )
        for patch in card.patches
    ]
    return fit_card(patches, working, margin=margin if corners is not None else None)


def _middle(
    row: int, column: int, card: Card, corners_mm: NDArray[np.float64] | None
) -> tuple[float, float]:
    """Where a patch's middle lies: mm on the sheet; else counted in patches."""
    if corners_mm is None:
        return column, row
    plane = np.array([(column + 0.5) / card.columns, (row + 0.5) / card.rows])
    x, y = (float(value) for value in spread_over(corners_mm, plane))
    return x, y


def _to_d65(lab: Lab, card: Card) -> Lab:
    return as_lab(adapt_lab(lab, _WHITES[card.white], D65))


def _report_sheet(places: Places, fit: CardFit | None) -> SheetReport | None:
    sheet = places.sheet
    if sheet is None:
        return SheetReport("", 0, 0, 0.0, 0.0, rejected=places.fault) if places.fault else None
    field = fit.field if fit else None
    return SheetReport(
        size=sheet.jig.name,
        number=sheet.number,
        marks=sheet.marks,
        mm_per_px=sheet.mm_per_px,
        off_mm=sheet.off_mm,
        uneven_pct=field.uneven_pct if field else 0.0,
        left_pct=field.left_pct if field else 0.0,
        tint=field.tint if field else 0.0,
        blur_mm=sheet.blur_mm,
        rejected=places.fault,
    )


def _report_card(places: Places, fit: CardFit | None) -> CardReport | None:
    """What is known of the card; that it was not found, where it was looked for in vain."""
    if places.laid and places.laid.card_fault:
        return CardReport("", None, rejected=places.laid.card_fault)
    return fit.report() if fit and fit.kind else None


def _read_parts(task: Task, places: Places, cut: Cut, fit: CardFit | None) -> tuple[Reading, ...]:
    """A reading of each zone, or of the whole piece where it has none."""
    height, width = cut.region.clipped.shape
    scale = mm_per_pixel(places.piece_mm, width) if places.piece_mm else None
    # An outline leaves the edges off by itself; the set-up's own part is asked for besides.
    usual = _WHOLE if cut.alpha is not None and task.setup.read_at == SetUp("").read_at else None
    readings = []
    for name, zone in task.zones or (("", _WHOLE),):
        left, top, right, bottom = _within(zone, usual or task.setup.read_at)
        rows = slice(round(top * height), round(bottom * height))
        columns = slice(round(left * width), round(right * width))
        part = cut.region.cut(rows, columns)
        reading = read_region(part, fit, scale, name)
        read = part.clipped.size if part.inside is None else int(part.inside.sum())
        small = judge_size(read * cut.side**2)
        readings.append(replace(reading, flags=(*reading.flags, *small)))
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


def _make_grid(places: Places, cut: Cut, blurred: Mask | None) -> Grid | None:
    """Squares that are blurred wherever the picture is shown are left out: a map drawn of them
    would show what lies there."""
    if places.piece_mm is None:
        return None
    region = cut.region
    inside = ~region.clipped if region.inside is None else region.inside & ~region.clipped
    inside = inside if blurred is None else inside & ~blurred
    scale = mm_per_pixel(places.piece_mm, inside.shape[1])
    return make_grid(region.xyz, inside, scale)


def _show_piece(task: Task, places: Places, cut: Cut) -> WebImage:
    """The piece alone; what is not piece is the grey of the page's mat."""
    xyz = np.asarray(cut.region.xyz, dtype=np.float32)
    if cut.alpha is not None:
        mat = np.asarray(_MAT * np.array(D65.xyz), dtype=np.float32)
        xyz = xyz - mat
        xyz *= cut.alpha[..., None]
        xyz += mat
    unit = task.settings.view_width
    if places.piece_mm:
        width, height = (max(1, round(side * unit / 100)) for side in places.piece_mm)
        return write_view(xyz, task.pictures, width, height)
    return write_view(xyz, task.pictures, unit)


def _show_card(task: Task, opened: Opened, places: Places, fit: CardFit | None) -> WebImage | None:
    if places.card is None or fit is None:
        return None
    width = round(_CARD_VIEW_MM * task.settings.view_width / 100)
    # To be looked at only: so means of encoded values do, where they are enough.
    fine = quad_size(opened.small, places.card)[0] < width
    picture = opened.picture if fine else opened.small
    rgb = cut_quad(picture, places.card, *quad_size(picture, places.card))
    return write_view(correct_cut(opened, fit, rgb, places.card_mm), task.pictures, width)


def _refuse_corners(task: Task, error: CornersError) -> Problem:
    return Problem(
        task.photo.path,
        0,
        str(error),
        "four corners, clockwise from the left top, around the piece and the card",
        "correct piece_at or card_at in the sidecar or the set-up; the picture is shown unmeasured",
    )
