"""Labels for pieces: the number in words and as a QR code, many to a page, to be cut apart."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile

from builder.errors import PrintError, Problem, Weight
from builder.records.facts import Fact
from builder.records.jig import Jig, PointMm, write_label
from builder.records.library import Library
from builder.sheets.codes import draw_label_code
from builder.sheets.lettering import CAP, fit_lines, fit_size, leading, shorten
from builder.sheets.shapes import FAINT, QUIET, Line, Pen, Shape, Sheet, Words

WIDTH_MM, HEIGHT_MM = 94.0, 36.0  # a millimetre of air inside the sheet's frame on each side
_LEAST_MARGIN_MM = 8.0  # printers leave some 5 mm white; the cut marks stand inside that
_CODE_MM = 34.0  # the code and its quiet zone
_WORDS_MM = (38.0, 90.0)  # from the label's left edge
_NUMBER_MM = (4.0, 22.0)  # from the label's top edge
_RULE_MM, _LINE_MM = 26.0, 31.6
_MOST_MM = 13.0
_SMALL_MM, _LEAST_MM = 3.6, 2.6
_CUT_MM = (1.0, 4.0)  # where a cut mark begins and how long it is, from the labels' edge
_NOTE_MM = 2.4
_LIKE = 0.7  # share of signs in common from which a number may be meant


@dataclass(frozen=True)
class Label:
    """``piece``: the piece's number; ``words``: the small line, such as metal and method."""

    piece: str
    words: str = ""


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
    pieces = [known[number.casefold()].piece for number in wanted or known]
    return tuple(Label(piece.piece, _join(piece.metal, piece.method)) for piece in pieces)


def lay_out_labels(labels: Sequence[Label], paper: Jig) -> tuple[Sheet, ...]:
    """Pages of paper of that size, standing, with as many labels as they need."""
    width, height = paper.height, paper.width
    columns = int((width - 2 * _LEAST_MARGIN_MM) / WIDTH_MM)
    rows = int((height - 2 * _LEAST_MARGIN_MM) / HEIGHT_MM)
    corner = ((width - columns * WIDTH_MM) / 2, (height - rows * HEIGHT_MM) / 2)
    each = columns * rows
    pages = [labels[start : start + each] for start in range(0, len(labels), each)]
    return tuple(
        _draw_page(page, (width, height), corner, columns, f"page {count} of {len(pages)}")
        for count, page in enumerate(pages, start=1)
    )


def draw_label(label: Label, corner: PointMm) -> Iterator[Shape]:
    """One label, its left top corner at ``corner``."""
    left, top = corner
    air = (HEIGHT_MM - _CODE_MM) / 2
    code = (left + air, top + air, left + air + _CODE_MM, top + air + _CODE_MM)
    yield draw_label_code(write_label(label.piece), code)
    start, end = _WORDS_MM
    above, below = _NUMBER_MM
    lines, size = fit_lines(label.piece, end - start, below - above, _MOST_MM, bold=True)
    high = CAP * size + (len(lines) - 1) * leading(size)
    base = top + (above + below - high) / 2 + CAP * size
    for row, line in enumerate(lines):
        yield Words(line, (left + start, base + row * leading(size)), size, True)
    yield Line(((left + start, top + _RULE_MM), (left + end, top + _RULE_MM)), Pen(0.2, FAINT))
    if label.words:
        small = max(fit_size(label.words, end - start, _SMALL_MM), _LEAST_MM)
        words = shorten(label.words, end - start, small)
        yield Words(words, (left + start, top + _LINE_MM), small, grey=QUIET)


def _draw_page(
    page: Sequence[Label], size: tuple[float, float], corner: PointMm, columns: int, count: str
) -> Sheet:
    left, top = corner
    shapes: list[Shape] = []
    for place, label in enumerate(page):
        row, column = divmod(place, columns)
        shapes += draw_label(label, (left + column * WIDTH_MM, top + row * HEIGHT_MM))
    rows = -(-len(page) // columns)
    shapes += _draw_cuts(corner, min(columns, len(page)), rows)
    width, height = size
    said = f"Patinarium labels, {count}. Cut at the marks. Print at 100 %, not “fit to page”."
    shapes.append(Words(said, (width / 2, height - 7.0), _NOTE_MM, grey=QUIET, anchor="middle"))
    pieces = ", ".join(label.piece for label in page)
    about = f"Labels of {WIDTH_MM:g} by {HEIGHT_MM:g} mm to cut out, for the pieces {pieces}."
    return Sheet(f"Labels, {count}", about, width, height, tuple(shapes))


def _draw_cuts(corner: PointMm, columns: int, rows: int) -> Iterator[Shape]:
    """Short marks outside the labels, where a straight edge is laid."""
    left, top = corner
    right, bottom = left + columns * WIDTH_MM, top + rows * HEIGHT_MM
    near, far = _CUT_MM[0], sum(_CUT_MM)
    pen = Pen(0.2, QUIET)
    for column in range(columns + 1):
        x = left + column * WIDTH_MM
        yield Line(((x, top - far), (x, top - near)), pen)
        yield Line(((x, bottom + near), (x, bottom + far)), pen)
    for row in range(rows + 1):
        y = top + row * HEIGHT_MM
        yield Line(((left - far, y), (left - near, y)), pen)
        yield Line(((right + near, y), (right + far, y)), pen)


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
