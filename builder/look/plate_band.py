"""The grey band of a comparison plate: both views at one scale, their measured colours flat below
them, the cards of the same photographs, and a scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image, ImageDraw

from builder.look.spaces import lab_to_xyz, xyz_to_srgb8
from builder.look.typesetting import Style, set_text
from builder.records.photo import ColourShare

WIDTH = 1800
MARGIN = 90
PAPER = (247, 247, 247)
#: L* 50, neutral. Source: IEC 61966-2-1 and CIE 15 (119, 119, 119 is L* 50.03).
GROUND = (119, 119, 119)

_LIGHT = (255, 255, 255)
_HEADING = Style(30, _LIGHT, strong=True)
_SMALL = Style(22, _LIGHT)
_COLUMN = 775  # of two, with a gutter between
_HIGHEST_VIEW = 1050
_HIGHEST_CARD = 230
# Above this many times its own pixels a view would look soft in print.
_LARGEST_FACTOR = 1.7
_PADDING = 56
_GAP = 18
_SWATCH = 46
_SCALE_STEPS_MM = (200, 100, 50, 20, 10, 5, 2, 1)
_LONGEST_SCALE = 420


@dataclass(frozen=True)
class Shown:
    """One look, opened: see ``PlateSide`` of :mod:`builder.look.plates`."""

    view: Image.Image
    heading: str
    width_mm: float | None
    colours: tuple[ColourShare, ...]
    card: Image.Image | None


def lay_band(left: Shown, right: Shown) -> Image.Image:
    """The band, 1800 pixels wide."""
    sides = (left, right)
    factors = _factors(sides)
    views = [_scale(side.view, factor) for side, factor in zip(sides, factors, strict=True)]
    cards = _scale_cards(sides, factors)
    headings = [set_text(side.heading, _HEADING, _COLUMN) for side in sides]
    per_mm = None if left.width_mm is None else views[0].width / left.width_mm
    if right.width_mm is None:
        per_mm = None

    views_top = _PADDING + max(block.height for block in headings) + _GAP
    swatches_top = views_top + max(view.height for view in views) + _GAP
    cards_top = swatches_top + (_SWATCH + _GAP if any(side.colours for side in sides) else 0)
    scale_top = cards_top + max((card.height + _GAP for card in cards if card), default=0)
    height = scale_top + (50 if per_mm else 0) + _PADDING - _GAP

    band = Image.new("RGB", (WIDTH, height), GROUND)
    draw = ImageDraw.Draw(band)
    for place, (side, view, card, heading) in enumerate(
        zip(sides, views, cards, headings, strict=True)
    ):
        edge = MARGIN if place == 0 else WIDTH - MARGIN - _COLUMN
        heading.paint(draw, edge, views_top - _GAP + 4 - heading.height)
        band.paste(view, (edge, views_top))
        _paint_colours(draw, side.colours, edge, swatches_top, view.width)
        if card:
            band.paste(card, (edge, cards_top))
    if per_mm:
        _paint_scale(draw, per_mm, scale_top + 8)
    return band


def _factors(sides: Sequence[Shown]) -> list[float]:
    """How many times its own pixels each view is drawn, so that both have one scale in mm; where
    a width in mm is not known, one scale in pixels."""
    known = all(side.width_mm for side in sides)
    # The pixels of a view that one unit takes, the unit being 1 mm or one pixel.
    pixels = [side.view.width / side.width_mm if known and side.width_mm else 1.0 for side in sides]
    scale = min(
        min(
            _COLUMN / side.view.width,
            _HIGHEST_VIEW / side.view.height,
            _LARGEST_FACTOR,
        )
        * unit
        for side, unit in zip(sides, pixels, strict=True)
    )
    return [scale / unit for unit in pixels]


def _scale(image: Image.Image, factor: float) -> Image.Image:
    size = max(1, round(image.width * factor)), max(1, round(image.height * factor))
    return image if size == image.size else image.resize(size, Image.Resampling.LANCZOS)


def _scale_cards(sides: Sequence[Shown], factors: list[float]) -> list[Image.Image | None]:
    """Cards at their views' scale, or both smaller by the same measure where they would be high."""
    highest = max(
        (
            max(side.card.height * factor / _HIGHEST_CARD, side.card.width * factor / _COLUMN)
            for side, factor in zip(sides, factors, strict=True)
            if side.card
        ),
        default=1.0,
    )
    return [
        side.card and _scale(side.card, factor / max(1.0, highest))
        for side, factor in zip(sides, factors, strict=True)
    ]


def _paint_colours(
    draw: ImageDraw.ImageDraw,
    colours: tuple[ColourShare, ...],
    left: int,
    top: int,
    width: int,
) -> None:
    whole = sum(colour.share for colour in colours)
    if whole <= 0:
        return
    start = 0.0
    for colour in colours:
        end = start + colour.share / whole
        draw.rectangle(
            (left + round(start * width), top, left + round(end * width) - 1, top + _SWATCH - 1),
            fill=_srgb(colour),
        )
        start = end


def _srgb(colour: ColourShare) -> tuple[int, int, int]:
    levels = xyz_to_srgb8(lab_to_xyz(np.array(colour.lab)).astype(np.float32))
    return int(levels[0]), int(levels[1]), int(levels[2])


def _paint_scale(draw: ImageDraw.ImageDraw, per_mm: float, top: int) -> None:
    length = next(
        (step for step in _SCALE_STEPS_MM if step * per_mm <= _LONGEST_SCALE),
        _SCALE_STEPS_MM[-1],
    )
    end = MARGIN + round(length * per_mm)
    draw.rectangle((MARGIN, top + 12, end, top + 15), _LIGHT)
    for edge in (MARGIN, end - 3):
        draw.rectangle((edge, top + 4, edge + 3, top + 23), _LIGHT)
    set_text(f"{length} mm, both", _SMALL, _COLUMN).paint(draw, end + 18, top + 1)
