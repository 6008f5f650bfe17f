"""Pieces side by side on paper: pictures at one scale on grey mats, with what is said of them."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.records.jig import BoxMm, Jig, PointMm
from builder.sheets.lettering import CAP, fit_lines, fit_size, leading, shorten
from builder.sheets.shapes import QUIET, Mat, Photo, Shape, Sheet, Words

#: L* 50, neutral: sRGB 119 of 255 (IEC 61966-2-1). A lighter or darker ground shifts what is seen.
MAT = 119 / 255
_WHITE = 1.0
_ACROSS, _DOWN = 4, 4
_EDGE_MM, _HEAD_MM, _FOOT_MM = 12.0, 25.0, 14.0  # white at the sides, above and below the mats
_GAP_MM, _CAPTION_MM, _ROOM_MM = 4.0, 18.5, 2.0  # between mats; below each; round a picture
_UNDER_MM = 4.0  # at the mat's foot, where its pictures are named
_TITLE_MM, _TITLE_AT, _ABOUT_AT = 5.0, 15.0, 20.5
_NUMBER_MM, _SMALL_MM, _LEAST_MM, _NOTE_MM = 3.6, 2.7, 1.9, 2.4
_LINES_MM = (4.6, 8.3, 11.6, 14.9)  # baselines below the mat; the first is the number's


@dataclass(frozen=True)
class Shot:
    """One picture of a piece: a whole JPEG file ``wide`` by ``high`` pixels; ``size`` is what it
    shows in mm, None where not known; ``says`` what it is, for those who do not see it; ``under``
    stands below it."""

    jpeg: bytes
    wide: int
    high: int
    size: tuple[float, float] | None
    says: str
    under: str = ""


@dataclass(frozen=True)
class Tile:
    """One piece: its number, its pictures, and ``lines`` said of it. ``instead`` stands on the mat
    where there is no picture."""

    piece: str
    lines: tuple[str, ...]
    shots: tuple[Shot, ...] = ()
    instead: str = ""


@dataclass(frozen=True)
class ContactSheet:
    """``shown`` says which pictures these are ("latest pictures"), ``note`` what is to be said on
    every page, "" for nothing."""

    title: str
    day: dt.date
    tiles: tuple[Tile, ...]
    shown: str
    note: str = ""


def lay_out_contact(contact: ContactSheet, paper: Jig) -> tuple[Sheet, ...]:
    """Pages of paper of that size, standing, with as many tiles as they need. At least one tile."""
    columns = _ACROSS // max(1, *(len(tile.shots) for tile in contact.tiles))
    mat = _mat_of(paper, columns)
    scale = choose_scale(contact.tiles, mat)
    each = columns * _DOWN
    pages = [contact.tiles[at : at + each] for at in range(0, len(contact.tiles), each)]
    return tuple(
        _draw_page(contact, page, paper, mat, scale, f"page {count} of {len(pages)}")
        for count, page in enumerate(pages, start=1)
    )


def choose_scale(tiles: Sequence[Tile], mat: tuple[float, float]) -> float | None:
    """How much larger than they are all pieces are printed: the most at which each fits its place,
    as one to a number with one decimal; no more than 1. None where no size is known."""
    needs = [
        size / room
        for tile in tiles
        for shot in tile.shots
        if shot.size
        for size, room in zip(shot.size, _room_of(mat, len(tile.shots)), strict=True)
    ]
    return 1 / max(1.0, math.ceil(10 * max(needs) - 1e-9) / 10) if needs else None


def _mat_of(paper: Jig, columns: int) -> tuple[float, float]:
    width, height = paper.height - 2 * _EDGE_MM, paper.width - _HEAD_MM - _FOOT_MM
    return (width + _GAP_MM) / columns - _GAP_MM, height / _DOWN - _CAPTION_MM


def _room_of(mat: tuple[float, float], shots: int) -> tuple[float, float]:
    """Width and height, mm, that each of so many pictures on one mat may take."""
    wide, high = mat
    return (wide - (shots + 1) * _ROOM_MM) / shots, high - _ROOM_MM - _UNDER_MM


def _draw_page(
    contact: ContactSheet,
    page: Sequence[Tile],
    paper: Jig,
    mat: tuple[float, float],
    scale: float | None,
    count: str,
) -> Sheet:
    width, height = paper.height, paper.width
    columns = round((width - 2 * _EDGE_MM + _GAP_MM) / (mat[0] + _GAP_MM))
    shapes: list[Shape] = list(_draw_head(contact, width, scale))
    for place, tile in enumerate(page):
        row, column = divmod(place, columns)
        corner = (
            _EDGE_MM + column * (mat[0] + _GAP_MM),
            _HEAD_MM + row * (mat[1] + _CAPTION_MM),
        )
        shapes += _draw_tile(tile, corner, mat, scale)
    foot, right = height - 8.0, width - _EDGE_MM
    shapes.append(Words(count, (right, foot), _NOTE_MM, grey=QUIET, anchor="end"))
    if contact.note:
        wide = right - _EDGE_MM - 30.0
        size = max(fit_size(contact.note, wide, _NOTE_MM), _LEAST_MM)
        note = shorten(contact.note, wide, size)
        shapes.append(Words(note, (_EDGE_MM, foot), size, grey=QUIET))
    pieces = ", ".join(tile.piece for tile in page)
    title = f"{contact.title}: contact sheet, {contact.day}, {count}"
    return Sheet(title, f"Pictures of the pieces {pieces}.", width, height, tuple(shapes))


def _draw_head(contact: ContactSheet, width: float, scale: float | None) -> Iterator[Shape]:
    right = width - _EDGE_MM
    wide = right - _EDGE_MM - 30.0
    size = max(fit_size(contact.title, wide, _TITLE_MM, bold=True), _SMALL_MM)
    yield Words(shorten(contact.title, wide, size, True), (_EDGE_MM, _TITLE_AT), size, True)
    yield Words(str(contact.day), (right, _TITLE_AT), _SMALL_MM, anchor="end")
    number = len(contact.tiles)
    said = f"Contact sheet: {number} pieces" if number > 1 else "Contact sheet: one piece"
    at = f"all at one scale, 1 : {1 / scale:.4g}" if scale else "of no known scale"
    yield Words(f"{said}, {contact.shown}, {at}", (_EDGE_MM, _ABOUT_AT), _SMALL_MM, grey=QUIET)


def _draw_tile(
    tile: Tile, corner: PointMm, mat: tuple[float, float], scale: float | None
) -> Iterator[Shape]:
    left, top = corner
    wide, high = mat
    yield Mat((left, top, left + wide, top + high), MAT)
    if not tile.shots:
        middle = (left + wide / 2, top + high / 2)
        yield Words(tile.instead, middle, _SMALL_MM, grey=_WHITE, anchor="middle")
    room = _room_of(mat, max(1, len(tile.shots)))
    for place, shot in enumerate(tile.shots):
        x = left + _ROOM_MM + place * (room[0] + _ROOM_MM)
        yield from _draw_shot(shot, (x, top + _ROOM_MM), room, scale)
    number, *rest = (top + high + line for line in _LINES_MM)
    lines, size = fit_lines(tile.piece, wide, CAP * _NUMBER_MM, _NUMBER_MM, bold=True)
    for row, line in enumerate(reversed(lines)):
        yield Words(line, (left, number - row * leading(size)), size, True)
    for line, base in zip((line for line in tile.lines if line), rest, strict=False):
        size = max(fit_size(line, wide, _SMALL_MM), _LEAST_MM)
        yield Words(shorten(line, wide, size), (left, base), size)


def _draw_shot(
    shot: Shot, corner: PointMm, room: tuple[float, float], scale: float | None
) -> Iterator[Shape]:
    x, y = corner
    under = shot.under
    if shot.size and scale:
        wide, high = (side * scale for side in shot.size)
    else:
        fit = min(room[0] / shot.wide, room[1] / shot.high)
        wide, high = shot.wide * fit, shot.high * fit
        under = ", ".join(part for part in (under, "not to scale") if part)
    left, top = x + (room[0] - wide) / 2, y + (room[1] - high) / 2
    box: BoxMm = (left, top, left + wide, top + high)
    yield Photo(shot.jpeg, box, shot.says)
    if under:
        size = max(fit_size(under, room[0], _NOTE_MM), _LEAST_MM)
        at = (x + room[0] / 2, y + room[1] + 0.7 * _UNDER_MM)
        yield Words(shorten(under, room[0], size), at, size, grey=_WHITE, anchor="middle")
