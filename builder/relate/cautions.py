"""What is to be said before a recipe is tried: what in it must not meet, where each of the two
stands, and how loudly that is to be told.

Told most loudly where both are in one pot; a grade softer where they stand in separate steps, and
one more where something was rinsed, or another step done, between. How much softer: common
practice, no source.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from builder.errors import Problem
from builder.records.hazards import ALONE, HAZARDS, Alone, Hazard, Loudness, Status, When
from builder.records.piece import Entry, Piece
from builder.records.plain_names import name_plainly
from builder.records.plans import list_planned
from builder.relate.hazards import Holds, Mixture, Part, is_tame, judge, parts_of
from builder.relate.substances import classify
from builder.relate.things import Place, Thing, list_things

#: Stands with every caution and where there is none.
FIRST = (
    "Local rules, the maker’s safety sheet of each product and licensed practice go first. This is "
    "no risk assessment, and what is not named here is not thereby safe."
)

_TABLE = "of the safety table:"
_MEND = (
    "put right a slip of the pen, or write the strengths down; what was done so is not done again "
    "before the Safety page is read. "
)
_LEAVE = (
    "put right a slip of the pen, or write the strengths down; it is not begun before the Safety "
    "page is read. "
)
_GRADES = tuple(Loudness)
_SEPARATE = "They stand in separate steps: rinse well between them, and keep their waste apart."
_TOLD = "The notes tell of one of them: the tub, the rag and the sink count as the pot."
_RINSED = "They stand in steps apart: keep it so, and their vessels and waste apart too."
_FUMED = re.compile(r"\bfum(?:e|ed|es|ing)\b")
_CLOSED = re.compile(r"\b(?:lid|lidded|clipped|closed|sealed|screw\w*|bag|box|tub|jar|covered)\b")
_HEATED = re.compile(r"\b(?:torch\w*|heat\w*|flame\w*|hot|oven|anneal\w*)\b")

_Groups = Mapping[object, list[Thing]]


def _steps_beside(step: object) -> Iterable[object]:
    return (step - 1, step, step + 1) if isinstance(step, int) else ()


#: By what things stand near each other, and which of these are near one.
_NEIGHBOURS: tuple[tuple[Callable[[Thing], object], Callable[[object], Iterable[object]]], ...] = (
    (lambda thing: thing.pot, lambda pot: (pot,)),
    (lambda thing: thing.step, _steps_beside),
    (lambda _: None, lambda _: (None,)),
)


@dataclass(frozen=True)
class Caution:
    """One thing to be said. ``one`` and ``other`` are as written, ``other`` "" where a thing is to
    be minded by itself; ``fields`` of the sidecar tell of them. ``words`` are whole sentences
    without the ``loudness``. ``row`` is its number in the table; ``forbids`` as there, where its
    two things are in one mixture."""

    loudness: Loudness
    row: str
    one: str
    one_at: Place
    other: str
    other_at: Place | None
    words: str
    source: str
    status: Status
    fields: frozenset[str]
    forbids: bool = False

    @property
    def said(self) -> str:
        """The whole in plain sentences: "Never together. Thick bleach …"."""
        return f"{self.loudness}. {self.words}"


@dataclass(frozen=True)
class _Work:
    """All that cautions go by: what was used, what was in the bath, and how it was worked, plainly
    named. ``stood``: days from mixing to use."""

    things: tuple[Thing, ...]
    parts: tuple[Part, ...]
    temper: str
    temperature: float | None  # °C
    stood: int | None
    method: str
    vessel: str


def cautions_of(entry: Entry, withheld: frozenset[str] = frozenset()) -> tuple[Caution, ...]:
    """What is to be said of a piece's recipe and of the cleaning round it, loudest first, each row
    once. Nothing rests on the fields ``withheld``; where the ingredients are, nothing is said, and
    :data:`FIRST` stands alone."""
    if "ingredients" in withheld:
        return ()
    return cautions_in(entry.piece, withheld)


def cautions_in(piece: Piece, withheld: frozenset[str] = frozenset()) -> tuple[Caution, ...]:
    """As :func:`cautions_of`, of a piece that may be no entry yet."""
    return _find_cautions(_draw_work(piece, withheld))


def _draw_work(piece: Piece, withheld: frozenset[str]) -> _Work:
    heat, vessel = piece.temperature_c.value, piece.container
    return _Work(
        tuple(thing for thing in list_things(piece) if thing.field not in withheld),
        parts_of(piece),
        "" if "temper" in withheld else piece.temper.written,
        None if heat is None or "temperature_c" in withheld else heat.number,
        None if withheld & {"batch", "started"} else _count_standing(piece),
        name_plainly(piece.method.written),
        name_plainly(f"{vessel.kind.written} {vessel.lid.written}"),
    )


def _count_standing(piece: Piece) -> int | None:
    mixed, started = piece.batch.mixed.value, piece.started.value
    return None if mixed is None or started is None else (started.day - mixed.day).days


@lru_cache(maxsize=2**12)  # a recipe is worked many times, and asked about by several pages
def _find_cautions(work: _Work) -> tuple[Caution, ...]:
    pairs = tuple(_list_pairs(work))
    rows = {caution.row for caution in pairs}
    alone = _list_alone(work, rows)
    return tuple(sorted((*pairs, *alone), key=lambda caution: _GRADES.index(caution.loudness)))


def warn_of(entry: Entry) -> tuple[Problem, ...]:
    """What of a sidecar's own mixture a row forbids, and whatever else is never to meet. What is
    carried over from another piece is said there, but of a piece not begun: that one can still be
    left."""
    ahead = bool(list_planned((entry,), ()))
    inherited = frozenset() if ahead else {field for field, _ in entry.inherited}
    return tuple(
        Problem(
            entry.file,
            _line_of(caution, entry),
            f"{caution.row} {_TABLE} {caution.said}".removesuffix("."),
            "expected things that may meet",
            (_LEAVE if ahead else _MEND) + FIRST.removesuffix("."),
        )
        for caution in list_gravest(entry)
        if not caution.fields <= inherited
    )


def is_warning(problem: Problem) -> bool:
    """Whether :func:`warn_of` says it, of this copy of an entry or of another."""
    return f" {_TABLE} " in problem.found


def list_gravest(entry: Entry) -> tuple[Caution, ...]:
    """What a row forbids, and whatever else is never to meet."""
    return tuple(
        caution
        for caution in cautions_of(entry)
        if caution.forbids or caution.loudness is Loudness.NEVER
    )


def _line_of(caution: Caution, entry: Entry) -> int:
    return entry.mixture_line if "ingredients" in caution.fields else entry.line


def _list_pairs(work: _Work) -> Iterator[Caution]:
    pots = _fill_pots(work)
    sour = {
        pot
        for pot, parts in pots.items()
        if any("mineral acid" in classify(part.name) for part in parts)
    }
    kinds = frozenset[str]().union(*(thing.kinds for thing in work.things))
    for hazard in HAZARDS:
        if kinds.isdisjoint(hazard.ones) or kinds.isdisjoint(hazard.others):
            continue
        found = [
            told
            for one, other in _list_meetings(hazard, work.things, sour)
            if (told := _tell(hazard, one, other, work, pots)) is not None
        ]
        if found:
            yield min(found, key=lambda caution: _GRADES.index(caution.loudness))


def _fill_pots(work: _Work) -> Mapping[str, tuple[Part, ...]]:
    """What stood in each pot."""
    pots: dict[str, list[Part]] = defaultdict(list)
    for thing in work.things:
        if thing.place is not Place.METAL:
            pots[thing.pot].append(thing.part)
    pots["bath"].extend(work.parts)  # water is a part, and no thing of the table
    return {pot: tuple(dict.fromkeys(parts)) for pot, parts in pots.items()}


def _list_meetings(
    hazard: Hazard, things: Sequence[Thing], sour: Container[str]
) -> list[tuple[Thing, Thing]]:
    """The two things of a row, in the order of the record; of all that would be told alike, the
    first: in each pot, in each two steps that follow on each other, and in the whole. ``sour`` are
    the pots with a mineral acid in them."""

    def fold(kinds: tuple[str, ...], where: Callable[[Thing], object]) -> _Groups:
        first: dict[tuple[object, ...], Thing] = {}
        for thing in things:
            if thing.kinds.intersection(kinds):
                alike = (
                    where(thing), thing.kinds, thing.place, thing.field, thing.washed_before,
                    thing.washed_after, thing.pot in sour, is_tame(thing.part, kinds),
                )  # fmt: skip
                first.setdefault(alike, thing)
        groups: dict[object, list[Thing]] = defaultdict(list)
        for (place, *_), thing in first.items():
            groups[place].append(thing)
        return groups

    pairs: list[tuple[Thing, Thing]] = []
    for where, near in _NEIGHBOURS:
        ones, others = fold(hazard.ones, where), fold(hazard.others, where)
        for place, some in ones.items():
            for beside in near(place):
                pairs.extend(product(some, others.get(beside, ())))
    order = {id(thing): number for number, thing in enumerate(things)}
    return sorted(
        {(id(one), id(other)): (one, other) for one, other in pairs}.values(),
        key=lambda pair: (order[id(pair[0])], order[id(pair[1])]),
    )


def _tell(
    hazard: Hazard,
    one: Thing,
    other: Thing,
    work: _Work,
    pots: Mapping[str, tuple[Part, ...]],
) -> Caution | None:
    """None where there is nothing to say."""
    holds = judge(hazard, one.part, other.part, _around(one, other, work, pots))
    if holds is Holds.NO and not hazard.mild:
        return None
    start = {
        Holds.YES: hazard.loud,
        Holds.UNTOLD: max(hazard.loud, Loudness.CARE, key=_GRADES.index),
        Holds.NO: Loudness.KNOW,
    }[holds]
    grade = _GRADES.index(start) + _softer(hazard, one, other)
    if grade >= len(_GRADES):
        return None
    told = [_say_meeting(hazard, one, other), hazard.mild if holds is Holds.NO else ""]
    if holds is Holds.UNTOLD:
        told.append("A strength that is not told counts as strong.")
    told += [_say_standing(hazard, work), hazard.advice, _say_apart(one, other)]
    return Caution(
        _GRADES[grade],
        hazard.number,
        one.part.name,
        one.place,
        other.part.name,
        other.place,
        " ".join(sentence for sentence in told if sentence),
        hazard.source,
        hazard.status,
        frozenset({one.field, other.field}),
        hazard.forbids and holds is not Holds.NO and _is_one_mixture(one, other),
    )


def _around(one: Thing, other: Thing, work: _Work, pots: Mapping[str, tuple[Part, ...]]) -> Mixture:
    """The pots of the two, and how they were worked."""
    return Mixture(
        tuple(dict.fromkeys((*pots.get(one.pot, ()), *pots.get(other.pot, ())))),
        temper=work.temper,
        temperature=work.temperature,
    )


def _softer(hazard: Hazard, one: Thing, other: Thing) -> int:
    """By how many grades."""
    if one.pot == other.pot:
        return 0
    return hazard.apart + _is_parted(one, other)


def _is_parted(one: Thing, other: Thing) -> bool:
    """Whether something was rinsed, or another step done, between the two. The metal is in every
    step, and what the notes tell of may have been done at any time."""
    if Place.METAL in (one.place, other.place):
        return False
    first, last = sorted((one, other), key=lambda thing: thing.step)
    if first.step == last.step:
        return first.washed_before or last.washed_before
    if last.place is Place.NOTES:
        return last.washed_before
    return last.step - first.step > 1 or first.washed_after or last.washed_before


def _is_one_mixture(one: Thing, other: Thing) -> bool:
    return one.place is Place.MIXTURE and other.place in (Place.MIXTURE, Place.METAL)


def _say_meeting(hazard: Hazard, one: Thing, other: Thing) -> str:
    name, second = _capital(one.part.name), other.part.name
    if one is other:
        return f"{name} ({one.place}) is both of what must not meet: {hazard.gives}."
    if other.place is Place.METAL:
        return f"{name} ({one.place}) on {second}, {other.place}: {hazard.gives}."
    if one.place is other.place:
        return f"{name} with {second}, both {one.place}, gives {hazard.gives}."
    return f"{name} ({one.place}) with {second} ({other.place}) gives {hazard.gives}."


def _say_standing(hazard: Hazard, work: _Work) -> str:
    """How old the mixture was, for a row whose danger grows as it stands."""
    days = work.stood
    if "standing" not in hazard.condition or days is None or days < 1:
        return ""
    return f"This one had stood {days} {'day' if days == 1 else 'days'} before it was used."


def _say_apart(one: Thing, other: Thing) -> str:
    if one.pot == other.pot or Place.METAL in (one.place, other.place):
        return ""
    if _is_parted(one, other):
        return _RINSED
    return _TOLD if Place.NOTES in (one.place, other.place) else _SEPARATE


def _list_alone(work: _Work, rows: set[str]) -> Iterator[Caution]:
    for row in ALONE:
        own = (thing for thing in work.things if thing.kinds.intersection(row.kinds))
        thing = next((thing for thing in own if _applies(row, thing, work)), None)
        if thing is None or rows.intersection(row.within):
            continue
        words = (
            f"{_capital(thing.part.name)} ({thing.place}): {row.words[0].lower()}{row.words[1:]}"
        )
        yield Caution(
            row.loud, row.number, thing.part.name, thing.place, "", None, words, row.source,
            row.status, frozenset({thing.field}),
        )  # fmt: skip


def _applies(row: Alone, thing: Thing, work: _Work) -> bool:
    match row.when:
        case When.CLOSED:
            closed = _FUMED.search(work.method) or _CLOSED.search(work.vessel)
            return thing.place is Place.MIXTURE and closed is not None
        case When.HEATED:
            return _HEATED.search(work.method) is not None
        case When.CONCENTRATED:
            return is_tame(thing.part, row.kinds) is False
        case _:
            return True


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]
