"""The comparison plate: two looks at one scale on one sheet, to be mailed or printed.

Pictures lie on neutral mid grey, since a white or tinted surround misleads the eye about colour
(CIE viewing practice for surface colours: a neutral, matt surround; common practice). Words stand
on near-white, where they can be read and printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageDraw

from builder.errors import PictureError, Problem, Weight
from builder.look.plate_band import MARGIN, PAPER, WIDTH, Shown, lay_band
from builder.look.typesetting import Block, Style, set_text
from builder.look.web import encode_jpeg
from builder.records.photo import ColourShare

#: Lettering shows artefacts of compression before metal does. Common practice, no source.
_QUALITY = 90
_TITLE = Style(50, (17, 17, 17), strong=True)
_SUBTITLE = Style(27, (85, 85, 85))
_CAPTION = Style(25, (34, 34, 34))
_LABEL = Style(21, (90, 90, 90))
_VALUE = Style(29, (17, 17, 17), strong=True)
_FOOTER = Style(20, (90, 90, 90))
_HAIRLINE = (200, 200, 200)
_GAP = 28
_FIGURES_ABREAST = 3
_FIGURE_GUTTER = 48
_CAPTION_GUTTER = 70


@dataclass(frozen=True)
class PlateSide:
    """One of the two looks.

    ``view`` is the file of the straightened piece, ``width_mm`` what its width covers (None where
    the set-up does not say); ``heading`` stands above it, ``lines`` below; ``colours`` are the
    colours measured, largest share first; ``card_strip`` the file of the card of the same
    photograph, in pixels of the view's size.
    """

    view: Path
    heading: str
    lines: tuple[str, ...] = ()
    width_mm: float | None = None
    colours: tuple[ColourShare, ...] = ()
    card_strip: Path | None = None


@dataclass(frozen=True)
class Plate:
    """All that stands on a plate. ``figures`` are (label, value) in words."""

    title: str
    left: PlateSide
    right: PlateSide
    subtitle: str = ""
    figures: tuple[tuple[str, str], ...] = ()
    footer: str = ""


def compose_plate(plate: Plate) -> bytes:
    """The plate as JPEG bytes, 1800 pixels wide, as high as its words need.

    Raises :class:`PictureError` where a view or card strip cannot be opened.
    """
    inner = WIDTH - 2 * MARGIN
    title = set_text(plate.title, _TITLE, inner)
    subtitle = set_text(plate.subtitle, _SUBTITLE, inner)
    band = lay_band(_show(plate.left), _show(plate.right))
    captions = [
        set_text("\n".join(side.lines), _CAPTION, (inner - _CAPTION_GUTTER) // 2)
        for side in (plate.left, plate.right)
    ]
    figures = [_set_figure(*figure, inner) for figure in plate.figures]
    footer = set_text(plate.footer, _FOOTER, inner)

    band_top = 60 + title.height + subtitle.height + _GAP
    captions_top = band_top + band.height + _GAP
    figures_top = captions_top + max(block.height for block in captions) + _GAP
    footer_top = figures_top + _figures_height(figures)
    height = footer_top + _GAP + footer.height + 44

    sheet = Image.new("RGB", (WIDTH, height), PAPER)
    draw = ImageDraw.Draw(sheet)
    title.paint(draw, MARGIN, 56)
    subtitle.paint(draw, MARGIN, 56 + title.height + 4)
    sheet.paste(band, (0, band_top))
    for place, block in enumerate(captions):
        block.paint(draw, MARGIN + place * (inner + _CAPTION_GUTTER) // 2, captions_top)
    _paint_figures(draw, figures, figures_top, inner)
    draw.line((MARGIN, footer_top, WIDTH - MARGIN, footer_top), _HAIRLINE, 2)
    footer.paint(draw, MARGIN, footer_top + _GAP // 2)
    return encode_jpeg(sheet, full_colour=True, quality=_QUALITY)


def _show(side: PlateSide) -> Shown:
    return Shown(
        view=_open(side.view),
        heading=side.heading,
        width_mm=side.width_mm,
        colours=side.colours,
        card=None if side.card_strip is None else _open(side.card_strip),
    )


def _open(path: Path) -> Image.Image:
    try:
        with Image.open(path) as image:
            return image.convert("RGB")
    except (OSError, SyntaxError, ValueError):
        raise PictureError(
            Problem(
                path.name,
                0,
                "the published picture cannot be opened",
                "a picture made by an earlier step",
                "delete the site's pictures folder and build again",
                Weight.LEFT_OUT,
            )
        ) from None


def _set_figure(label: str, value: str, inner: int) -> tuple[Block, Block]:
    width = (inner - (_FIGURES_ABREAST - 1) * _FIGURE_GUTTER) // _FIGURES_ABREAST
    return set_text(label, _LABEL, width), set_text(value, _VALUE, width)


def _rows(figures: list[tuple[Block, Block]]) -> list[list[tuple[Block, Block]]]:
    return [
        figures[start : start + _FIGURES_ABREAST]
        for start in range(0, len(figures), _FIGURES_ABREAST)
    ]


def _row_height(row: list[tuple[Block, Block]]) -> int:
    return max(label.height + value.height for label, value in row) + _GAP + 14


def _figures_height(figures: list[tuple[Block, Block]]) -> int:
    return sum(_row_height(row) for row in _rows(figures))


def _paint_figures(
    draw: ImageDraw.ImageDraw, figures: list[tuple[Block, Block]], top: int, inner: int
) -> None:
    step = (inner + _FIGURE_GUTTER) // _FIGURES_ABREAST
    for row in _rows(figures):
        for place, (label, value) in enumerate(row):
            left = MARGIN + place * step
            draw.line((left, top, left + step - _FIGURE_GUTTER, top), _HAIRLINE, 2)
            label.paint(draw, left, top + 14)
            value.paint(draw, left, top + 14 + label.height)
        top += _row_height(row)
