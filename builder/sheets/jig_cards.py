"""Cards for the bench: a piece's last photograph, to match its view, what is due, its label."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.errors import PrintError, Problem, Weight
from builder.records.jig import Jig, PointMm, write_label
from builder.records.photo import WebImage
from builder.relate.due import Due, find_due, sort_by_day
from builder.relate.findings import Findings, Look
from builder.sheets.codes import draw_label_code
from builder.sheets.labels import choose_labels
from builder.sheets.lettering import CAP, fit_lines, fit_size, leading, shorten
from builder.sheets.made_pictures import read_made
from builder.sheets.shapes import FAINT, QUIET, Frame, Line, Pen, Photo, Shape, Sheet, Words

WIDTH_MM, HEIGHT_MM = 190.0, 86.0
_LEAST_MARGIN_MM = 8.0  # printers leave some 5 mm white
_PLACE_MM = (4.0, 4.0, 112.0, 76.0)  # of the picture, from the card's left top corner
_CAPTION_MM = 81.5
#: Folded here, what is left is the label and fits its place on the sheet. The picture has to stay
#: out: the sheet's marks in it would be read.
FOLD_MM, FOLD_DOWN_MM = 116.0, 35.0
_CODE_MM = (119.0, 3.0, 149.0, 33.0)
_NUMBER_MM = (151.0, 6.0, 187.0, 30.0)
_TEXT_MM = (120.0, 187.0)
_DUE_MM, _DUE_STEP_MM, _DUE_LINES = 41.5, 5.2, 2
_SETUP_MM = 53.0
_MATCH_MM, _MATCH_STEP_MM = 58.0, 3.9
_WRITE_MM = (75.0, 82.5)
_MOST_MM, _LARGE_MM, _SMALL_MM, _LEAST_MM, _NOTE_MM = 12.0, 4.0, 3.0, 2.4, 2.4
_ENOUGH_PIXELS = 960  # across some 100 mm: 240 to the inch

MATCH = (
    "Match this view: the same set-up and lamps, the",
    "piece the same way up and as large. Front, dry.",
    "Folded twice, only the label goes in.",
)


@dataclass(frozen=True)
class JigCard:
    """``due``: lines that say what is due and when; ``setup``: the name of the set-up, "" for none;
    ``jpeg``: the last photograph, whole, None where there is none, ``shape`` its width over its
    height; ``taken``: the day of it, in words."""

    piece: str
    due: tuple[str, ...]
    setup: str
    jpeg: bytes | None = None
    shape: float = 1.0
    taken: str = ""


def choose_cards(
    findings: Findings, pictures: Path, wanted: Sequence[str] = ()
) -> tuple[JigCard, ...]:
    """A card for each piece of ``wanted``, in that order, or for every piece of which something is
    due, by date. ``pictures`` is the folder of made web sizes.

    Raises ``PrintError`` naming every number that is no piece's; where nothing is due; or where a
    picture cannot be read.
    """
    dues = find_due(findings)
    chosen = [label.piece for label in choose_labels(findings.library, wanted)]
    if not wanted:
        chosen = list(dict.fromkeys(due.entry.piece.piece for due in sort_by_day(dues)))
    if not chosen:
        raise PrintError(
            Problem(
                findings.library.settings.samples,
                0,
                "nothing is due of any piece",
                "a piece that is still watched",
                "name the pieces to make cards of; patinarium due says what cannot be told",
                Weight.STOPS,
            )
        )
    return tuple(_make_card(piece, dues, findings, pictures) for piece in chosen)


def lay_out_cards(cards: Sequence[JigCard], paper: Jig) -> tuple[Sheet, ...]:
    """Pages of paper of that size, standing, with as many cards as they need."""
    width, height = paper.height, paper.width
    rows = int((height - 2 * _LEAST_MARGIN_MM) / HEIGHT_MM)
    corner = ((width - WIDTH_MM) / 2, (height - rows * HEIGHT_MM) / 2)
    pages = [cards[start : start + rows] for start in range(0, len(cards), rows)]
    return tuple(
        _draw_page(page, (width, height), corner, f"page {count} of {len(pages)}")
        for count, page in enumerate(pages, start=1)
    )


def draw_card(card: JigCard, corner: PointMm) -> Iterator[Shape]:
    """One card, its left top corner at ``corner``."""
    left, top = corner
    yield Frame((left, top, left + WIDTH_MM, top + HEIGHT_MM), Pen(0.2, FAINT))
    yield from _draw_picture(card, corner)
    fold, down, dashes = left + FOLD_MM, top + FOLD_DOWN_MM, Pen(0.2, QUIET, (2.0, 2.0))
    yield Line(((fold, top), (fold, top + HEIGHT_MM)), dashes)
    yield Line(((fold, down), (left + WIDTH_MM, down)), dashes)
    yield draw_label_code(write_label(card.piece), _move(_CODE_MM, corner))
    yield from _draw_number(card.piece, corner)
    start, end = (left + x for x in _TEXT_MM)
    wide = end - start
    for row, line in enumerate(card.due[:_DUE_LINES]):
        size = max(fit_size(line, wide, _LARGE_MM, bold=True), _LEAST_MM)
        at = (start, top + _DUE_MM + row * _DUE_STEP_MM)
        yield Words(shorten(line, wide, size, bold=True), at, size, True)
    if card.setup:
        said = shorten(f"Set-up: {card.setup}", wide, _SMALL_MM)
        yield Words(said, (start, top + _SETUP_MM), _SMALL_MM)
    for row, line in enumerate(MATCH):
        size = fit_size(line, wide, _SMALL_MM)
        yield Words(line, (start, top + _MATCH_MM + row * _MATCH_STEP_MM), size, grey=QUIET)
    for label, y in zip(("Day", "Seen"), _WRITE_MM, strict=True):
        yield Words(label, (start, top + y), _SMALL_MM, grey=QUIET)
        yield Line(((start + 9.0, top + y), (end, top + y)), Pen(0.2, QUIET))


def _draw_picture(card: JigCard, corner: PointMm) -> Iterator[Shape]:
    left, top, right, bottom = place = _move(_PLACE_MM, corner)
    if card.jpeg is None:
        yield Frame(place, Pen(0.2, FAINT, (1.0, 1.0)))
        middle = ((left + right) / 2, (top + bottom) / 2)
        yield Words("no photograph yet", middle, _SMALL_MM, grey=QUIET, anchor="middle")
        return
    wide = min(right - left, (bottom - top) * card.shape)
    high = wide / card.shape
    x, y = (left + right - wide) / 2, (top + bottom - high) / 2
    says = f"{card.piece}, its last photograph, {card.taken}"
    yield Photo(card.jpeg, (x, y, x + wide, y + high), says)
    at = (left, corner[1] + _CAPTION_MM)
    yield Words(f"Last photograph: {card.taken}", at, _SMALL_MM, grey=QUIET)


def _draw_number(piece: str, corner: PointMm) -> Iterator[Shape]:
    left, top, right, bottom = _move(_NUMBER_MM, corner)
    lines, size = fit_lines(piece, right - left, bottom - top, _MOST_MM, bold=True)
    high = CAP * size + (len(lines) - 1) * leading(size)
    base = (top + bottom - high) / 2 + CAP * size
    for row, line in enumerate(lines):
        yield Words(line, (left, base + row * leading(size)), size, True)


def _draw_page(
    page: Sequence[JigCard], size: tuple[float, float], corner: PointMm, count: str
) -> Sheet:
    left, top = corner
    shapes: list[Shape] = []
    for row, card in enumerate(page):
        shapes += draw_card(card, (left, top + row * HEIGHT_MM))
    width, height = size
    said = f"Patinarium jig cards, {count}. Cut at the lines, fold at the dashes."
    shapes.append(Words(said, (width / 2, height - 5.5), _NOTE_MM, grey=QUIET, anchor="middle"))
    pieces = ", ".join(card.piece for card in page)
    about = f"Cards to photograph the pieces {pieces} again in the same view."
    return Sheet(f"Jig cards, {count}", about, width, height, tuple(shapes))


def _make_card(piece: str, dues: Sequence[Due], findings: Findings, pictures: Path) -> JigCard:
    own = [due for due in dues if due.entry.piece.piece == piece]
    last = max(own, key=lambda due: due.entry.piece.attempt).entry.piece.attempt if own else 1
    own = [due for due in own if due.entry.piece.attempt == last]
    look = max((due.last for due in own if due.last), key=_day_of, default=None)
    lines = tuple(_say(due, alone=len(own) == 1) for due in own)
    usual = findings.library.settings.default_setup
    if look is None:
        return JigCard(piece, lines, usual)
    image = _choose_size(look)
    return JigCard(
        piece,
        lines,
        look.observation.file.setup or usual,
        read_made(pictures / image.name) if image else None,
        image.width / image.height if image else 1.0,
        str(look.taken),
    )


def _day_of(look: Look) -> dt.date:
    return look.taken or dt.date.min


def _choose_size(look: Look) -> WebImage | None:
    webs = look.observation.picture.webs
    return next((web for web in webs if web.width >= _ENOUGH_PIXELS), webs[-1] if webs else None)


def _say(due: Due, alone: bool) -> str:
    zones = "" if alone else f"{', '.join(due.zones)}: "
    if due.next is None:
        return f"{zones}not due: {due.gone or due.untold}"
    return f"{zones}{due.next.span.words}, due on {due.next.day}"


def _move(
    box: tuple[float, float, float, float], corner: PointMm
) -> tuple[float, float, float, float]:
    (left, top, right, bottom), (x, y) = box, corner
    return (left + x, top + y, right + x, bottom + y)
