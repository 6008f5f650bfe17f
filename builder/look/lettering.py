"""Where words can be read in a picture: rows of shapes drawn in strokes.

Ink is what is darker, or lighter, than the middle of what lies round it. Its pieces that have the
build of a letter are put together where they stand in a row like letters: near each other, alike in
height and stroke, on one line. It reads nothing, and what is found may be no words: it is there to
make somebody look. Limits by experiment: tests/look/test_lettering.py says how often it finds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from builder.look.joining import join_pairs, join_runs
from builder.records.photo import Box, Point

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

#: The published picture is up to 1600 pixels wide; letters of ten pixels there have seven here.
LONG_SIDE = 1200
_COARSER = 3  # times smaller once more, for letters as high as a hand
_AROUND = 12  # pixels: radius of what ink is held against
_CONTRAST = 26  # grey levels of 255
_MOST_RUNS = 60_000  # of ink in all rows: a texture, in which nobody reads
_LEAST_HIGH, _MOST_HIGH = 7, 130  # pixels, of a letter
_MOST_PLACES = 12
_STEEPEST = 0.3  # of a row against the picture's edge
_TOLD_APART = 0.78
_MOST_ASKED = 5  # letters of a row that stands on its side
_ROOM = 0.4  # of a letter's height, shown round a row


@dataclass(frozen=True, eq=False)
class _Shapes:
    """Pieces of ink, an entry each, in pixels. ``run``: mean length of its rows' runs; ``crossed``:
    runs a row; ``contrast``: mean of the middles of its runs against what lies round them."""

    left: Ints
    top: Ints
    right: Ints
    bottom: Ints
    area: Ints
    run: Floats
    crossed: Floats
    contrast: Floats

    def take(self, which: NDArray[np.bool_]) -> _Shapes:
        return _Shapes(**{name: values[which] for name, values in vars(self).items()})

    @property
    def width(self) -> Ints:
        return self.right - self.left

    @property
    def height(self) -> Ints:
        return self.bottom - self.top

    def turned(self) -> _Shapes:
        """The same of the picture turned on its side; strokes are taken to be as wide down as
        across."""
        crossed = self.area / np.maximum(1e-9, self.run * self.width)
        return _Shapes(
            self.top, self.left, self.bottom, self.right, self.area, self.run, crossed,
            self.contrast,
        )  # fmt: skip


def find_lettering(picture: Image.Image, known: Iterable[Sequence[Point]] = ()) -> tuple[Box, ...]:
    """Places in the upright picture, at most twelve, where words may be read, as fractions, sorted.

    ``known`` are polygons, fractions of the picture, in which nothing is looked for.
    """
    if min(picture.size) < _LEAST_HIGH:
        return ()
    grey = reduce_to_read(picture)
    hidden = _draw_hidden(grey.size, tuple(known))
    boxes = list(_look_at(grey, hidden))
    small = (max(1, grey.width // _COARSER), max(1, grey.height // _COARSER))
    boxes += _look_at(grey.resize(small, Image.Resampling.BOX), hidden.resize(small))
    return tuple(sorted(_join(boxes)))[:_MOST_PLACES]


def reduce_to_read(picture: Image.Image) -> Image.Image:
    """The picture in grey, no larger than LONG_SIDE."""
    long = max(picture.size)
    grey = picture.reduce(max(1, long // LONG_SIDE)).convert("L")
    if max(grey.size) <= LONG_SIDE:
        return grey
    scale = LONG_SIDE / max(grey.size)
    size = (max(1, round(grey.width * scale)), max(1, round(grey.height * scale)))
    return grey.resize(size, Image.Resampling.BILINEAR)


def _draw_hidden(size: tuple[int, int], known: Sequence[Sequence[Point]]) -> Image.Image:
    hidden = Image.new("L", size, 0)
    draw = ImageDraw.Draw(hidden)
    for polygon in known:
        draw.polygon([(x * size[0], y * size[1]) for x, y in polygon], fill=255)
    return hidden


def _look_at(grey: Image.Image, hidden: Image.Image) -> Iterator[Box]:
    own = np.asarray(grey).astype(np.int16)
    around = np.asarray(grey.filter(ImageFilter.BoxBlur(_AROUND))).astype(np.int16)
    apart = own - around
    apart[np.asarray(hidden) > 0] = 0
    width, height = grey.size
    for ink in (-apart, apart):
        shapes = _find_shapes(ink)
        if shapes is None:
            continue
        for turned in (False, True):
            rows_of = _find_rows(shapes.turned(), _MOST_ASKED) if turned else _find_rows(shapes)
            for left, top, right, bottom in rows_of:
                box = (top, left, bottom, right) if turned else (left, top, right, bottom)
                columns = slice(max(0, round(box[0])), round(box[2]))
                rows = slice(max(0, round(box[1])), round(box[3]))
                if _tell_apart(own[rows, columns]) < _TOLD_APART:
                    continue
                yield (
                    columns.start / width, rows.start / height,
                    min(1.0, columns.stop / width), min(1.0, rows.stop / height),
                )  # fmt: skip


def _tell_apart(values: NDArray[np.int16]) -> float:
    """0 to 1: how far the greys fall into two kinds, ink and ground. Source: Otsu, A Threshold
    Selection Method from Gray-Level Histograms (1979), its measure η."""
    counts = np.bincount(np.maximum(values, 0).ravel(), minlength=256).astype(np.float64)
    total, levels = counts.sum(), np.arange(len(counts))
    below = np.cumsum(counts)[:-1] / total
    moment = np.cumsum(counts * levels)[:-1] / total
    mean = (counts * levels).sum() / total
    spread = (counts * levels**2).sum() / total - mean**2
    between = (mean * below - moment) ** 2 / np.maximum(below * (1 - below), 1e-9)
    return float(between.max() / spread) if spread > 0 else 0.0


def _find_shapes(ink: NDArray[np.int16]) -> _Shapes | None:
    """The pieces of what stands out by more than the least contrast, None where there is nothing or
    far too much."""
    wide = ink.shape[1] + 1
    there = np.pad(ink > _CONTRAST, ((0, 0), (1, 1)))
    ends = np.flatnonzero(there[:, 1:] != there[:, :-1])  # beginnings and ends take turns
    rows, starts, stops = ends[::2] // wide, ends[::2] % wide, ends[1::2] % wide
    if not 0 < len(rows) <= _MOST_RUNS:
        return None
    shape = join_runs(rows, starts, stops, ink.shape[1], corners=True)
    order = np.argsort(shape, kind="stable")
    rows, starts, stops, shape = rows[order], starts[order], stops[order], shape[order]
    firsts = np.flatnonzero(np.diff(shape, prepend=-1))
    counts = np.diff(firsts, append=len(shape))
    top, bottom = rows[firsts], rows[firsts + counts - 1] + 1
    area = np.add.reduceat(stops - starts, firsts)
    middles = ink[rows, (starts + stops) // 2].astype(np.int64)
    return _Shapes(
        np.minimum.reduceat(starts, firsts), top, np.maximum.reduceat(stops, firsts), bottom, area,
        area / counts, counts / (bottom - top), np.add.reduceat(middles, firsts) / counts,
    )  # fmt: skip


def _find_rows(shapes: _Shapes, least: int = 3) -> Iterator[Box]:
    """Rows of ``least`` letters and more, and words written in one stroke: left, top, right,
    bottom, in pixels."""
    height, width = shapes.height, shapes.width
    fill = shapes.area / (height * width)
    high = (height >= _LEAST_HIGH) & (height <= _MOST_HIGH)
    letters = high & (width <= 1.7 * height) & (width >= 0.1 * height) & (fill >= 0.12)
    letters &= (fill <= 0.8) | (width <= 0.45 * height)
    letters &= shapes.run <= 0.5 * height
    yield from _put_together(shapes.take(letters), least)
    if least > 3:
        return
    words = high & (height >= 10) & (width >= 2 * height) & (width <= 14 * height)
    words &= (shapes.crossed >= 3.5) & (fill <= 0.4) & (shapes.run <= 0.3 * height)
    for box in _boxes_of(shapes.take(words)):
        yield _with_room(box, box[3] - box[1])


def _put_together(letters: _Shapes, least: int) -> Iterator[Box]:
    one, other = _list_neighbours(letters)
    number = join_pairs(len(letters.left), one, other)
    order = np.argsort(number, kind="stable")
    for group in np.split(order, np.flatnonzero(np.diff(number[order])) + 1):
        if len(group) < least:
            continue
        row = letters.take(np.isin(np.arange(len(number)), group))
        if _is_row(row):
            ends = (row.left.min(), row.top.min(), row.right.max(), row.bottom.max())
            left, top, right, bottom = map(float, ends)
            yield _with_room((left, top, right, bottom), float(np.median(row.height)))


def _list_neighbours(letters: _Shapes) -> tuple[Ints, Ints]:
    """Pairs that stand beside each other like two letters of a word."""
    order = np.argsort(letters.left, kind="stable")
    left, right = letters.left[order], letters.right[order]
    high = letters.height[order]
    first = np.arange(len(order)) + 1
    last = np.searchsorted(left, right + 0.9 * high, "right")
    count = np.maximum(0, last - first)
    a = np.repeat(np.arange(len(order)), count)
    b = np.repeat(first - (np.cumsum(count) - count), count) + np.arange(len(a))
    a, b = order[a], order[b]
    low, tall = np.minimum(letters.height[a], letters.height[b]), np.maximum(
        letters.height[a], letters.height[b]
    )  # fmt: skip
    top, bottom = letters.top, letters.bottom
    level = np.minimum(abs(top[a] - top[b]), abs(bottom[a] - bottom[b]))
    overlap = np.minimum(bottom[a], bottom[b]) - np.maximum(top[a], top[b])
    thin, thick = (f(letters.run[a], letters.run[b]) for f in (np.minimum, np.maximum))
    faint, strong = (f(letters.contrast[a], letters.contrast[b]) for f in (np.minimum, np.maximum))
    kept = (
        (tall <= 1.7 * low)
        & (level <= np.maximum(1.5, 0.15 * tall))
        & (overlap >= 0.6 * low)
        & (letters.left[b] >= letters.right[a] - 0.2 * tall)
        & (letters.left[b] <= letters.right[a] + 0.7 * tall)
        & (thick <= 2.2 * thin)
        & (strong <= 1.8 * faint)
    )
    return a[kept], b[kept]


def _is_row(row: _Shapes) -> bool:
    """Whether shapes in a row have the build of words: most of them strokes and not lumps, not all
    alike as the marks of a rule are; of three, like a number on a house, more is asked."""
    count = len(row.left)
    strokes = (row.run <= 0.52 * row.width) & (row.area <= 0.68 * row.width * row.height)
    lumps = ~strokes & (row.width > 0.45 * row.height)
    if strokes.sum() < max(2, 0.4 * count) or lumps.sum() > 0.25 * count or not _lies_on_line(row):
        return False
    high = row.height
    if count > 3:
        return bool(np.ptp(row.width) >= 2 or np.ptp(row.run) > 0.3)
    level = max(np.ptp(row.top), np.ptp(row.bottom))
    return bool(
        high.min() >= 12
        and level <= max(1.5, 0.1 * high.max())
        and row.run.max() <= 1.6 * row.run.min()
        and row.contrast.min() >= 1.3 * _CONTRAST
    )


def _lies_on_line(row: _Shapes) -> bool:
    middle = (row.left + row.right) / 2
    if np.ptp(middle) == 0:
        return False
    feet = np.polynomial.polynomial.polyfit(middle, row.bottom, 1)
    off = row.bottom - np.polynomial.polynomial.polyval(middle, feet)
    high = float(np.median(row.height))
    return bool(abs(feet[1]) <= _STEEPEST and np.quantile(abs(off), 0.8) <= 0.3 * high)


def _boxes_of(shapes: _Shapes) -> Iterator[Box]:
    for box in zip(shapes.left, shapes.top, shapes.right, shapes.bottom, strict=True):
        left, top, right, bottom = map(float, box)
        yield left, top, right, bottom


def _with_room(box: Box, high: float) -> Box:
    left, top, right, bottom = box
    room = _ROOM * high
    return left - room, top - room, right + room, bottom + room


def _join(boxes: Iterable[Box]) -> list[Box]:
    """Boxes that overlap as one."""
    joined: list[Box] = []
    for box in boxes:
        while True:
            met = next((other for other in joined if _overlap(box, other)), None)
            if met is None:
                break
            joined.remove(met)
            box = (
                min(box[0], met[0]), min(box[1], met[1]), max(box[2], met[2]), max(box[3], met[3]),
            )  # fmt: skip
        joined.append(box)
    return joined


def _overlap(one: Box, other: Box) -> bool:
    return (
        one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
    )  # fmt: skip
