"""Labels for pieces: the number in words and as a QR code, many to a page."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile

from builder.errors import PrintError, Problem, Weight
from builder.records.facts import Fact
from builder.records.jig import QUIET_MODULES, BoxMm, PointMm, write_label
from builder.records.library import Library
from builder.records.piece import Piece
from builder.sheets.codes import count_modules, draw_label_code
from builder.sheets.label_sheets import JIG_LABEL_MM, LabelSheet, SizeMm
from builder.sheets.lettering import CAP, fit_lines, fit_size, leading, measure_words, shorten
from builder.sheets.shapes import FAINT, QUIET, Line, Pen, Shape, Sheet, Words

_AIR_MM = 1.0  # round the code and its quiet zone
_CODE_SHARE, _CODE_SHARE_ABOVE = 0.42, 0.6  # most of a label's width; of its height, code above
_BESIDE = 1.3  # labels less wide than so many times their height have the code above the words
_MOST_WORDS_MM = 45.0  # height of what stands beside the code
# Parts of that height, from its top: the number's top and bottom, the rule, the small line.
_NUMBER, _RULE, _LINE, _ALONE = (4 / 36, 22 / 36), 26 / 36, 31.6 / 36, 32 / 36
_TWO_LINES = (29.4 / 36, 32.9 / 36)
_MOST_MM = 13.0
_SMALL, _LEAST, _READABLE_MM = 3.6 / 36, 2.6 / 36, 1.8  # five points can be read in the hand
#: A square of the code: where the whole A4 jig sheet fills a picture 4000 pixels wide, a little
#: more than three pixels.
LEAST_MODULE_MM = 0.25
_CUT_MM = (1.0, 5.0)  # where a cut mark begins and ends, from the labels' edge
_LEAST_CUT_MM = 1.0
_NOTE_MM, _NOTE_UP_MM, _NOTE_ROOM_MM = 2.4, 7.0, 13.0
_LIKE = 0.7  # share of signs in common from which a number may be meant


@dataclass(frozen=True)
class Label:
    """``piece``: the piece's number; ``words``: the small line, such as metal and method, "" for
    room to write it by hand, None for no such line."""

    piece: str
    words: str | None = ""


def choose_labels(library: Library, wanted: Sequence[str] = ()) -> tuple[Label, ...]:
    """A label for each piece of ``wanted``, in that order, or for every piece of the library;
    what is written of a piece's latest attempt stands on it.

    Raises ``PrintError`` naming every number that is no piece's, or where there is no piece.
    """
    known = {entry.piece.piece.casefold(): entry for entry in library.entries}
    missing = [number for number in wanted if number.casefold() not in known]
    if missing or not known:
        names = [entry.piece.piece for entry in known.values()]
        raise PrintError([_say_missing(library, number, names) for number in missing or [""]])
    return tuple(make_label(known[number.casefold()].piece) for number in wanted or known)


def lay_out_labels(
    labels: Sequence[Label], on: LabelSheet, start: int = 1, marks: bool = True
) -> tuple[Sheet, ...]:
    """As many sheets ``on`` which labels lie as are needed, the first begun at its label number
    ``start``. ``marks``: short lines round them to cut by, where the margins have room.

    Raises ``PrintError`` where there is no such label on the sheet, or a label is too small for its
    code to be read from a photograph.
    """
    if not 1 <= start <= on.count:
        raise PrintError(_say_start(start, on))
    small = [label.piece for label in labels if _module_of(label, on.size) < LEAST_MODULE_MM]
    if small:
        raise PrintError([_say_small(piece, on) for piece in small])
    places = range(start - 1, start - 1 + len(labels))
    pages: dict[int, list[tuple[Label, int]]] = {}
    for label, place in zip(labels, places, strict=True):
        pages.setdefault(place // on.count, []).append((label, place % on.count))
    return tuple(
        _draw_page(page, on, marks, f"page {count} of {len(pages)}")
        for count, page in enumerate(pages.values(), start=1)
    )


def draw_label(label: Label, corner: PointMm, size: SizeMm = JIG_LABEL_MM) -> Iterator[Shape]:
    """One label of that ``size``, its left top corner at ``corner``."""
    x, y = corner
    code, (left, top, right, bottom) = _place(size)
    yield draw_label_code(write_label(label.piece), _move(code, corner))
    wide, high = right - left, bottom - top
    above, below = (top + part * high for part in _NUMBER)
    if label.words is None:
        below = top + _ALONE * high
    lines, tall = fit_lines(label.piece, wide, below - above, _MOST_MM, bold=True)
    stack = CAP * tall + (len(lines) - 1) * leading(tall)
    base = y + (above + below - stack) / 2 + CAP * tall
    for row, line in enumerate(lines):
        yield Words(line, (x + left, base + row * leading(tall)), tall, True)
    if label.words is None:
        return
    rule = y + top + _RULE * high
    yield Line(((x + left, rule), (x + right, rule)), Pen(0.2, FAINT))
    most, least = (max(part * high, _READABLE_MM) for part in (_SMALL, _LEAST))
    small = fit_size(label.words, wide, most)
    said = [(label.words, _LINE)]
    if small < least:
        small, said = least, list(zip(_wrap(label.words, wide, least), _TWO_LINES, strict=False))
    for words, part in said:
        if words:
            yield Words(words, (x + left, y + top + part * high), small, grey=QUIET)


def _wrap(text: str, wide: float, size: float) -> tuple[str, str]:
    """Two lines; what does not fit on the second is left out."""
    words = text.split()
    first = next(
        (n for n in range(len(words), 0, -1) if measure_words(" ".join(words[:n]), size) <= wide),
        0,
    )
    return " ".join(words[:first]), shorten(" ".join(words[first:]), wide, size)


def _place(size: SizeMm) -> tuple[BoxMm, BoxMm]:
    """Where the code with its quiet zone and the words stand, from the label's left top corner."""
    width, height = size
    edge = min(4.0, max(1.5, width * 4 / 94))
    if width < _BESIDE * height:
        side = min(width - 2 * _AIR_MM, _CODE_SHARE_ABOVE * height)
        left = (width - side) / 2
        code = (left, _AIR_MM, left + side, _AIR_MM + side)
        return code, (edge, _AIR_MM + side, width - edge, height)
    side = min(height - 2 * _AIR_MM, _CODE_SHARE * width)
    top, high = (height - side) / 2, min(height, _MOST_WORDS_MM)
    code = (_AIR_MM, top, _AIR_MM + side, top + side)
    start = code[2] + min(3.0, edge)
    return code, (start, (height - high) / 2, width - edge, (height + high) / 2)


def _module_of(label: Label, size: SizeMm) -> float:
    left, _, right, _ = _place(size)[0]
    return (right - left) / (count_modules(write_label(label.piece)) + 2 * QUIET_MODULES)


def _draw_page(page: Sequence[tuple[Label, int]], on: LabelSheet, marks: bool, count: str) -> Sheet:
    shapes: list[Shape] = []
    for label, place in page:
        shapes += draw_label(label, on.corner_of(place), on.size)
    if marks:
        shapes += _draw_cuts(on, [place for _, place in page])
        if on.height - on.end[1] >= _NOTE_ROOM_MM:
            said = (
                f"Patinarium labels, {count}. Cut at the marks. Print at 100 %, not “fit to page”."
            )
            at = (on.width / 2, on.height - _NOTE_UP_MM)
            shapes.append(Words(said, at, _NOTE_MM, grey=QUIET, anchor="middle"))
    pieces = ", ".join(label.piece for label, _ in page)
    size = " by ".join(f"{side:g}" for side in on.size)
    about = f"Labels of {size} mm, for the pieces {pieces}."
    return Sheet(f"Labels, {count}", about, on.width, on.height, tuple(shapes))


def _draw_cuts(on: LabelSheet, places: Sequence[int]) -> Iterator[Shape]:
    """Short marks outside the labels, where a straight edge is laid."""
    corners = [on.corner_of(place) for place in places]
    xs = sorted({round(x + w, 6) for x, _ in corners for w in (0.0, on.size[0])})
    ys = sorted({round(y + h, 6) for _, y in corners for h in (0.0, on.size[1])})
    pen = Pen(0.2, QUIET)
    for edge, way, most in ((ys[0], -1, ys[0]), (ys[-1], 1, on.height - ys[-1])):
        if near_far := _cut(edge, way, most):
            for x in xs:
                yield Line(((x, near_far[0]), (x, near_far[1])), pen)
    for edge, way, most in ((xs[0], -1, xs[0]), (xs[-1], 1, on.width - xs[-1])):
        if near_far := _cut(edge, way, most):
            for y in ys:
                yield Line(((near_far[0], y), (near_far[1], y)), pen)


def _cut(edge: float, way: int, most: float) -> tuple[float, float] | None:
    """Where a mark begins and ends that stands off an ``edge``, ``most`` mm before the paper does;
    None where there is no room for one."""
    near, far = _CUT_MM[0], min(_CUT_MM[1], most)
    return (edge + way * near, edge + way * far) if far - near >= _LEAST_CUT_MM else None


def _move(box: BoxMm, by: PointMm) -> BoxMm:
    left, top, right, bottom = box
    return left + by[0], top + by[1], right + by[0], bottom + by[1]


def make_label(piece: Piece) -> Label:
    """With metal and method as they are written."""
    return Label(piece.piece, _join(piece.metal, piece.method))


def _join(*facts: Fact[str]) -> str:
    return ", ".join(fact.written for fact in facts if fact.given)


def _say_missing(library: Library, number: str, names: Sequence[str]) -> Problem:
    near = difflib.get_close_matches(number, names, n=len(names) or 1, cutoff=_LIKE)
    # Of equally near numbers the one that begins alike: SH-0122 is SH-012 with a slip at its end.
    near.sort(key=lambda name: -_count_alike(name, number))
    return Problem(
        library.settings.samples,
        0,
        f"there is no piece “{number}”" if number else "there is no piece that could be read",
        "expected the number of a piece of this library",
        f"did you mean “{near[0]}”?" if near else "patinarium check says what is left out, and why",
        Weight.STOPS,
    )


def _count_alike(one: str, other: str) -> int:
    """How many signs at the beginning are the same."""
    pairs = zip(one, other, strict=False)
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], pairs))


def _say_start(start: int, on: LabelSheet) -> Problem:
    return Problem(
        f"--start-at {start}",
        0,
        "there is no such label on the sheet",
        f"a number from 1 to {on.count}, counted row by row from the left top",
        "count the labels that are gone, and add one",
        Weight.STOPS,
    )


def _say_small(piece: str, on: LabelSheet) -> Problem:
    return Problem(
        f"--size {on.name}",
        0,
        f"the code for “{piece}” would be too fine to be read from a photograph",
        f"squares of {LEAST_MODULE_MM:g} mm or more",
        "take a larger label, or a shorter number",
        Weight.STOPS,
    )
