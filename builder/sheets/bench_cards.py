"""A card to hang over a bench, drawn: large steps to tick off, room to write by hand.

Everything is laid out at one scale, the largest at which it goes on one side of paper; what does
not go on one at the least scale goes on several.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from builder.records.jig import write_label
from builder.sheets.bench_words import Absence, BenchCard, Told, Weighed
from builder.sheets.codes import draw_label_code
from builder.sheets.lettering import (
    CAP,
    fit_lines,
    fit_size,
    leading,
    measure_words,
    wrap,
)
from builder.sheets.shapes import (
    BLACK,
    QUIET,
    TEXT,
    Frame,
    Line,
    Pen,
    Shape,
    Sheet,
    Words,
)

#: Width and height, mm, standing. ISO 216; ANSI/ASME Y14.1, size A.
PAPERS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"A4": (210.0, 297.0), "A5": (148.0, 210.0), "Letter": (215.9, 279.4)}
)
#: Tried in turn till all goes on one side, with room to write. On A4; on less, in proportion.
_SCALES = tuple(hundredths / 100 for hundredths in range(130, 70, -5))
_SEVERAL = 1.0  # where it goes on several sides in any case
_A4_WIDTH_MM = 210.0
_MARGIN_MM = 12.0
_CODE_MM, _NUMBER_MM, _MOST_MM = 30.0, 18.0, 18.0
_TITLE_MM, _BODY_MM, _AMOUNT_MM, _SMALL_MM, _NOTE_MM = 5.2, 4.8, 6.0, 3.3, 2.7
_LEAST_MM = 2.5  # 7 points: no smaller word is read at a bench
_TICK_MM, _INDENT_MM, _AMOUNT_WIDE_MM, _LABEL_MM = 4.2, 8.0, 70.0, 27.0
_GAP_MM, _LINE_MM = 2.5, 8.5
_LEAST_LINES = 2
_BY_HAND = (("Date", "Made by"), ("Room, °C", "Humidity, %"), ("Start", "Stop"))
_PRINT = "Figures are reckoned from the record, not measured."


@dataclass(frozen=True)
class _Row:
    """Something ``height`` mm high that is not parted; ``draw`` takes its upper edge."""

    height: float
    draw: Callable[[float], Iterable[Shape]]


@dataclass(frozen=True)
class _Room:
    """Where rows go: left and right edge, mm, and the scale of everything in it."""

    left: float
    right: float
    scale: float

    def inset(self, left: float, right: float = 0.0) -> _Room:
        return _Room(self.left + left, self.right - right, self.scale)

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def small(self) -> float:
        """Size of the small words, mm."""
        return max(_SMALL_MM * self.scale, _LEAST_MM)

    @property
    def caution(self) -> float:
        """Size of the cautions and of what is written by hand, mm: the least that scales."""
        return 0.9 * _BODY_MM * self.scale


def draw_card(card: BenchCard, size: tuple[float, float]) -> tuple[Sheet, ...]:
    """The card on as many sheets of that width and height, mm, as it needs."""
    width, height = size
    rooms = [_make_room(width, scale) for scale in _SCALES]
    legible = [room for room in rooms if room.caution >= _LEAST_MM]
    for room in [*legible, _make_room(width, _SEVERAL)]:
        rows = list(_list_rows(card, room))
        pages = _part(rows, room, height)
        spare = _LEAST_LINES * _LINE_MM * room.scale
        if len(pages) == 1 and _find_bottom(room, height) - _end(rows, room) >= spare:
            break
    about = f"Bench card of piece {card.piece}: what to do, step by step, and room for notes."
    return tuple(
        Sheet(
            f"Bench card, {card.piece}",
            about,
            width,
            height,
            tuple(_draw_page(card, pages, number, room, size)),
        )
        for number in range(len(pages))
    )


def _make_room(width: float, scale: float) -> _Room:
    whole = scale * width / _A4_WIDTH_MM
    margin = max(_MARGIN_MM * width / _A4_WIDTH_MM, 8.0)  # printers leave some 5 mm white
    return _Room(margin, width - margin, whole)


def _part(rows: Sequence[_Row], room: _Room, height: float) -> list[list[_Row]]:
    """Rows to pages; a page after the first begins lower, under the number."""
    bottom = _find_bottom(room, height)
    pages: list[list[_Row]] = [[]]
    y = room.left
    for row in rows:
        if pages[-1] and y + row.height > bottom:
            pages.append([])
            y = room.left + _TITLE_MM * room.scale * 2
        pages[-1].append(row)
        y += row.height
    return pages


def _find_bottom(room: _Room, height: float) -> float:
    """Where rows end, over the line at the foot."""
    return height - room.left - 2 * _NOTE_MM


def _end(rows: Iterable[_Row], room: _Room) -> float:
    return room.left + sum(row.height for row in rows)


def _draw_page(
    card: BenchCard,
    pages: Sequence[Sequence[_Row]],
    number: int,
    room: _Room,
    size: tuple[float, float],
) -> Iterator[Shape]:
    width, height = size
    y = room.left
    if number:
        title = _TITLE_MM * room.scale
        yield Words(card.piece, (room.left, y + CAP * title), title, True, BLACK)
        y += title * 2
    for row in pages[number]:
        yield from row.draw(y)
        y += row.height
    if number == len(pages) - 1:
        yield from _rule_lines(room, y, _find_bottom(room, height))
    said = f"Patinarium bench card, {card.piece}, page {number + 1} of {len(pages)}. {_PRINT}"
    at = (width / 2, height - max(room.left - 4.0, 5.0))
    yield Words(said, at, fit_size(said, room.width, _NOTE_MM), grey=QUIET, anchor="middle")


def _rule_lines(room: _Room, top: float, bottom: float) -> Iterator[Shape]:
    """Lines to write on, down to the end of the page."""
    step, size = _LINE_MM * room.scale, room.caution
    if top + step > bottom:
        return
    yield Words("Seen", (room.left, top + step * 0.85), size, grey=QUIET)
    left = room.left + _LABEL_MM * room.scale
    y = top + step * 0.85 + 0.6
    while y <= bottom:
        yield Line(((left, y), (room.right - 4.0, y)), Pen(0.25, QUIET))
        y += step
        left = room.left


def _list_rows(card: BenchCard, room: _Room) -> Iterator[_Row]:
    yield _head(card, room)
    yield from _pair_up(card.blank, room)
    yield _gap(room)
    yield from _warn(card.cautions, room)
    yield from _title("1  Prepare", room)
    if card.prep_absence:
        yield from _sentence(f"Preparation {card.prep_absence}.", room)
    for step in card.prep:
        yield _step(step, room)
    yield from _title("2  Mix", room)
    yield from _mix(card, room)
    yield from _title("3  Colour", room)
    yield from _pair_up(card.colour, room)
    yield from _title("4  Stop, dry, seal", room)
    for told in card.after:
        yield _line(told, room, tick=True)
    yield from _tell_figures(card, room)
    yield _stack([*_title("By hand", room), *(_blanks(pair, room) for pair in _BY_HAND)])


def _head(card: BenchCard, room: _Room) -> _Row:
    """The number, and its code with its quiet zone flush with the edge."""
    code = _CODE_MM * room.scale
    most, high = _MOST_MM * room.scale, _NUMBER_MM * room.scale
    lines, size = fit_lines(card.piece, room.width - code - 4.0, high, most, bold=True)
    base = CAP * size + max(high - CAP * size - (len(lines) - 1) * leading(size), 0.0) / 2

    def draw(y: float) -> Iterator[Shape]:
        # The quiet zone may hang over the margin, where there is nothing.
        over = 0.1 * code
        box = (room.right - code + over, y - over, room.right + over, y - over + code)
        yield draw_label_code(write_label(card.piece), box)
        for row, line in enumerate(lines):
            yield Words(line, (room.left, y + base + row * leading(size)), size, True, BLACK)

    return _Row(code - 0.15 * code, draw)


def _title(words: str, room: _Room) -> Iterator[_Row]:
    size = _TITLE_MM * room.scale

    def draw(y: float) -> Iterator[Shape]:
        top = y + _GAP_MM * room.scale
        yield Line(((room.left, top), (room.right, top)), Pen(0.4, TEXT))
        yield Words(words, (room.left, top + size * 1.25), size, True, BLACK)

    yield _Row(_GAP_MM * room.scale + size * 1.65, draw)


def _step(words: str, room: _Room) -> _Row:
    """Something to do, with a box to tick."""
    size = _BODY_MM * room.scale
    inner = room.inset(_INDENT_MM * room.scale)
    lines = wrap(words, inner.width, size)

    def draw(y: float) -> Iterator[Shape]:
        yield _tick(room, y, size)
        yield from _write(lines, (inner.left, y), size)

    return _Row(len(lines) * leading(size) + 0.45 * size, draw)


def _tick(room: _Room, y: float, size: float) -> Shape:
    """A box to tick, its middle at that of the capitals of a line of ``size`` that hangs at y."""
    tick = _TICK_MM * room.scale
    left, top = room.left + 0.2, y + size * (1 - CAP / 2) - tick / 2
    return Frame((left, top, left + tick, top + tick), Pen(0.35, QUIET))


def _mix(card: BenchCard, room: _Room) -> Iterator[_Row]:
    if card.mixture is None:
        yield from _sentence(f"Mixture {Absence.MISSING}.", room)
        return
    if not card.mixture:
        yield from _sentence("Nothing: the record says there is no mixture.", room)
    big = _AMOUNT_MM * room.scale
    most = max((measure_words(one.amount, big, True) for one in card.mixture), default=0.0)
    least = 45.0 if any(one.absence for one in card.mixture) else 32.0
    wide = min(max(most, least * room.scale), _AMOUNT_WIDE_MM * room.scale)
    for weighed in card.mixture:
        yield _weigh(weighed, room, wide)
    for words in card.how:
        yield from _small(words, room)


def _weigh(weighed: Weighed, room: _Room, wide: float) -> _Row:
    """One thing: its amount, in a column ``wide`` mm, its name beside it, what is to say below."""
    big, body, small = _AMOUNT_MM * room.scale, _BODY_MM * room.scale * 1.1, room.small
    indent = _INDENT_MM * room.scale
    beside = room.inset(indent + wide + 6.0 * room.scale)
    amount = wrap(weighed.amount, wide + 0.01, big, True)
    names = wrap(weighed.name, beside.width, body)
    said = "; ".join(weighed.asides)
    # What is to say stands behind the name if it goes on that line, else below.
    after = measure_words(names[-1], body) + 3.0
    inline = len(names) == 1 and after + measure_words(said, small) <= beside.width
    asides = wrap(said, beside.width, small) if said and not inline else ()
    high = max(
        len(amount) * leading(big),
        big - body + (len(names) + 0.1) * leading(body) + len(asides) * leading(small),
    )

    def draw(y: float) -> Iterator[Shape]:
        left = room.left + indent
        yield _tick(room, y, big)
        if weighed.absence:
            yield from _leave_open(weighed.absence, (left, left + wide), y, body)
        else:
            yield from _write(amount, (left, y), big, True)
        base = y + big - body
        yield from _write(names, (beside.left, base), body)
        if inline:
            yield Words(said, (beside.left + after, base + body), small, grey=QUIET)
        below = base + len(names) * leading(body) + 0.1 * body
        yield from _write(asides, (beside.left, below), small, grey=QUIET)

    return _Row(high + 0.3 * big, draw)


def _leave_open(
    absence: Absence, across: tuple[float, float], y: float, size: float
) -> Iterator[Shape]:
    """An absent value: what was never asked gets a line to write it on, what is lost or was left
    out on purpose its own words."""
    left, right = across
    base = y + size
    if absence is not Absence.MISSING:
        mark = "? " if absence is Absence.UNKNOWN else "– "
        yield Words(f"{mark}{absence}", (left, base), size, grey=QUIET)
        return
    small = max(0.62 * size, _LEAST_MM)
    wide = measure_words(absence, small)
    yield Line(((left, base + 0.6), (right - wide - 1.5, base + 0.6)), Pen(0.25, QUIET))
    yield Words(absence, (right, base), small, grey=QUIET, anchor="end")


def _pair_up(told: Sequence[Told], room: _Room) -> Iterator[_Row]:
    """Values in two columns; one too long for its column has the whole width."""
    half = room.width / 2 - 2.0
    columns = (_Room(room.left, room.left + half, room.scale), room.inset(half + 4.0))
    waiting: list[Told] = []
    for one in told:
        if _count_lines(one, columns[0]) > 1:
            if waiting:
                yield _beside([_line(waiting.pop(), columns[0])])
            yield _line(one, room)
            continue
        waiting.append(one)
        if len(waiting) == len(columns):
            yield _beside([_line(w, c) for w, c in zip(waiting, columns, strict=True)])
            waiting = []
    if waiting:
        yield _beside([_line(waiting[0], columns[0])])


def _stack(rows: Sequence[_Row]) -> _Row:
    """Rows that stay together on one page."""

    def draw(y: float) -> Iterator[Shape]:
        for row in rows:
            yield from row.draw(y)
            y += row.height

    return _Row(sum(row.height for row in rows), draw)


def _beside(rows: Sequence[_Row]) -> _Row:
    return _Row(
        max(row.height for row in rows),
        lambda y: (shape for row in rows for shape in row.draw(y)),
    )


def _count_lines(told: Told, room: _Room) -> int:
    size = _BODY_MM * room.scale
    return len(wrap(told.words, room.width - _LABEL_MM * room.scale, size, told.strong))


def _line(told: Told, room: _Room, tick: bool = False) -> _Row:
    """A label and its value; with a box to ``tick`` where it is something to do."""
    size, indent = _BODY_MM * room.scale, _INDENT_MM * room.scale * tick
    label = wrap(told.label, _LABEL_MM * room.scale - 1.0, room.small)
    inner = room.inset(indent + _LABEL_MM * room.scale)
    lines = wrap(told.words, inner.width, size, told.strong)

    def draw(y: float) -> Iterator[Shape]:
        if tick:
            yield _tick(room, y, size)
        yield from _write(
            label, (room.left + indent, y + size - room.small), room.small, grey=QUIET
        )
        if told.absence:
            yield from _leave_open(told.absence, (inner.left, inner.right), y, size)
        else:
            yield from _write(lines, (inner.left, y), size, told.strong)

    high = max(len(lines) * leading(size), size + (len(label) - 1) * leading(room.small))
    return _Row(high + 0.4 * size, draw)


def _warn(cautions: Sequence[str], room: _Room) -> Iterator[_Row]:
    """Cautions in one frame with a heavy edge, before anything is done."""
    size = room.caution
    inner = room.inset(5.0 * room.scale, 3.0 * room.scale)
    texts = [(caution[:1].upper() + caution[1:], n < len(cautions) - 1)
             for n, caution in enumerate(cautions)]  # fmt: skip
    wrapped = [(wrap(text, inner.width, size, bold), bold) for text, bold in texts]
    high = sum(len(lines) * leading(size) + 0.35 * size for lines, _ in wrapped)
    pad = 2.0 * room.scale

    def draw(y: float) -> Iterator[Shape]:
        bottom = y + high + 2 * pad
        yield Frame((room.left, y, room.right, bottom), Pen(0.3, TEXT))
        edge = room.left + 0.9
        yield Line(((edge, y), (edge, bottom)), Pen(1.8, BLACK))
        top = y + pad
        for lines, bold in wrapped:
            yield from _write(lines, (inner.left, top), size, bold, BLACK)
            top += len(lines) * leading(size) + 0.35 * size

    yield _Row(high + 2 * pad + _GAP_MM * room.scale * 0.5, draw)


def _tell_figures(card: BenchCard, room: _Room) -> Iterator[_Row]:
    said = [f"{line.label}: {line.words}" for line in card.figures]
    if card.rests:
        said.append(f"Reckoned with: {'; '.join(card.rests)}.")
    if card.shared:
        said.append(card.shared)
    if said:
        yield _gap(room)
    for words in said:
        yield from _small(words, room)


def _sentence(words: str, room: _Room) -> Iterator[_Row]:
    size = _BODY_MM * room.scale
    yield _Row(1.5 * size, lambda y: _write((words,), (room.left, y), size, grey=QUIET))


def _small(words: str, room: _Room) -> Iterator[_Row]:
    size = room.small
    lines = wrap(words[:1].upper() + words[1:], room.width, size)
    yield _Row(
        (len(lines) + 0.25) * leading(size),
        lambda y: _write(lines, (room.left, y), size, grey=QUIET),
    )


def _blanks(labels: Sequence[str], room: _Room) -> _Row:
    """Labelled lines to write on, side by side."""
    size = room.caution
    step = _LINE_MM * room.scale
    wide = room.width / len(labels)

    def draw(y: float) -> Iterator[Shape]:
        for column, label in enumerate(labels):
            left = room.left + column * wide
            base = y + step * 0.85
            yield Words(label, (left, base), size, grey=QUIET)
            start = left + _LABEL_MM * room.scale
            yield Line(((start, base + 0.6), (left + wide - 4.0, base + 0.6)), Pen(0.25, QUIET))

    return _Row(step, draw)


def _gap(room: _Room) -> _Row:
    return _Row(_GAP_MM * room.scale, lambda y: ())


def _write(
    lines: Sequence[str],
    corner: tuple[float, float],
    size: float,
    bold: bool = False,
    grey: float = TEXT,
) -> Iterator[Shape]:
    """Lines whose first one hangs from ``corner``."""
    left, top = corner
    for row, line in enumerate(lines):
        yield Words(line, (left, top + size + row * leading(size)), size, bold, grey)
