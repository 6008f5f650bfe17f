"""A sheet as SVG (W3C SVG 1.1), in millimetres, with nothing from elsewhere."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from builder.records.jig import PointMm
from builder.sheets.lettering import measure_words
from builder.sheets.shapes import (
    Code,
    Disc,
    Frame,
    Line,
    Mat,
    Pen,
    Photo,
    Ring,
    Shape,
    Sheet,
    Words,
)

_NAMESPACE = "http://www.w3.org/2000/svg"
_LINKS = "http://www.w3.org/1999/xlink"
_FONTS = "Helvetica, Arial, 'Liberation Sans', sans-serif"


def write_svg(sheet: Sheet) -> str:
    """The file's text: the same for the same sheet. One unit is a millimetre."""
    width, height = _say(sheet.width), _say(sheet.height)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="{_NAMESPACE}" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" role="img" aria-labelledby="title about" xml:lang="en">',
        f'<title id="title">{escape(sheet.title)}</title>',
        f'<desc id="about">{escape(sheet.about)}</desc>',
        f"<style>@page {{ size: {width}mm {height}mm; margin: 0 }}</style>",
        f'<rect width="{width}" height="{height}" fill="#fff"/>',
        f'<g font-family="{_FONTS}" fill="none">',
        *map(_draw, sheet.shapes),
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _draw(shape: Shape) -> str:
    match shape:
        case Line(points, pen):
            return f'<path d="M{_join(points)}" {_pen(pen)}/>'
        case Frame((left, top, right, bottom), pen):
            size = f'width="{_say(right - left)}" height="{_say(bottom - top)}"'
            return f'<rect x="{_say(left)}" y="{_say(top)}" {size} {_pen(pen)}/>'
        case Mat((left, top, right, bottom), grey):
            size = f'width="{_say(right - left)}" height="{_say(bottom - top)}"'
            return f'<rect x="{_say(left)}" y="{_say(top)}" {size} fill="{_grey(grey)}"/>'
        case Ring(middle, across, pen):
            return f"<circle {_round(middle, across)} {_pen(pen)}/>"
        case Disc(middle, across, grey):
            return f'<circle {_round(middle, across)} fill="{_grey(grey)}"/>'
        case Code(text, _, loops):
            paths = "".join(f"M{_join(loop)}Z" for loop in loops)
            title = f"<title>{escape(text)}</title>"
            return f'<path d="{paths}" fill="#000" fill-rule="evenodd">{title}</path>'
        case Words():
            return _write(shape)
        case Photo():
            return _place(shape)


def _place(photo: Photo) -> str:
    left, top, right, bottom = photo.box
    data = base64.b64encode(photo.jpeg).decode("ascii")
    return (
        f'<image x="{_say(left)}" y="{_say(top)}" width="{_say(right - left)}" '
        f'height="{_say(bottom - top)}" preserveAspectRatio="none" xmlns:xlink="{_LINKS}" '
        f'xlink:href="data:image/jpeg;base64,{data}"><title>{escape(photo.says)}</title></image>'
    )


def _write(words: Words) -> str:
    x, y = map(_say, words.at)
    # Whatever font there is, the words are as wide as they were laid out.
    wide = _say(measure_words(words.text, words.size, words.bold))
    parts = [
        f'x="{x}" y="{y}" font-size="{_say(words.size)}"',
        f'textLength="{wide}" lengthAdjust="spacingAndGlyphs"',
        f"fill={quoteattr(_grey(words.grey))}",
    ]
    if words.bold:
        parts.append('font-weight="bold"')
    if words.anchor != "start":
        parts.append(f'text-anchor="{words.anchor}"')
    if words.turn:
        parts.append(f'transform="rotate({_say(words.turn)} {x} {y})"')
    return f"<text {' '.join(parts)}>{escape(words.text)}</text>"


def _pen(pen: Pen) -> str:
    dashes = f' stroke-dasharray="{" ".join(map(_say, pen.dashes))}"' if pen.dashes else ""
    return f'stroke="{_grey(pen.grey)}" stroke-width="{_say(pen.width)}"{dashes}'


def _round(middle: PointMm, across: float) -> str:
    return f'cx="{_say(middle[0])}" cy="{_say(middle[1])}" r="{_say(across / 2)}"'


def _join(points: Iterable[PointMm]) -> str:
    return "L".join(f"{_say(x)} {_say(y)}" for x, y in points)


def _grey(grey: float) -> str:
    return "#" + f"{round(255 * grey):02x}" * 3


def _say(number: float) -> str:
    """To a thousandth of a millimetre, without needless noughts."""
    return f"{number:.3f}".rstrip("0").rstrip(".")
