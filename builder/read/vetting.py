"""One attempt's tree against the vocabulary: what fits is kept, what does not is said."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from builder.errors import Problem, Weight
from builder.read.corners import read_box
from builder.read.fields import (
    describe_field,
    find_marker,
    find_record,
    list_fields,
    walk_facts,
)
from builder.read.lines import Lines, Location, drop_items, find_line
from builder.read.wording import describe_value, find_nearest, name_place, quote, suggest
from builder.records.audiences import FIELDS, expand
from builder.records.facts import Fact, Known
from builder.records.kinds import Expected, Vocabulary
from builder.records.piece import Piece
from builder.records.words import AUDIENCES

#: Parts of a piece that `share` may name besides its fields; ``piece`` is all of it.
SHARE_PARTS = ("recipe", "photos", "piece", "cost")
_HIDDEN = "until then nothing of this piece is shown, in case it is private"
_KEPT_IN_PLACE = ("size_mm",)  # or the height would become the width
_STAND_IN = "unnamed"  # the models need a number while only the rest is looked at
_MOST = 50  # problems of one attempt that are told; what lies beyond is counted
_ROUNDS = 20  # what one round takes out may uncover another fault; far more than ever seen


@dataclass(frozen=True)
class Vetted:
    """``tree`` holds only what the vocabulary knows, and ``piece`` is what it makes by itself;
    None where it makes nothing at all. ``lines`` are those of ``tree``."""

    tree: dict[str, Any]
    lines: Lines
    piece: Piece | None
    problems: tuple[Problem, ...]


def vet_tree(
    tree: Mapping[str, Any],
    lines: Lines,
    file: str,
    base: Location = (),
    audiences: Collection[str] | None = AUDIENCES,
) -> Vetted:
    """Check one mapping of a piece's keys (a whole attempt, or its ``change``, at ``base``).

    A key that is not known, and a value of the wrong shape, are taken out and noted; words that
    cannot be converted are kept and noted; a ``share`` that cannot be understood leaves the whole
    piece out, since it might have kept something back. ``audiences`` are those that it may name,
    None where they are not known.
    """
    kept = {key: deepcopy(value) for key, value in tree.items() if not _is_blank(key, value)}
    problems: list[Problem] = []
    for _ in range(_ROUNDS):
        faults = _validate(kept)
        if isinstance(faults, Piece):
            problems += _note_values(faults, kept, lines, file, base)
            problems += _note_shares(faults, lines, file, base, audiences)
            return Vetted(kept, lines, faults, _shorten(problems, file))
        places = [_trim(kept, fault["loc"]) for fault in faults]
        for fault, place in zip(faults[:_MOST], places, strict=False):
            problems.append(_say_fault(fault, place, kept, lines, file, base))
        for place in sorted(set(places) - {()}, key=_deepest_and_last_first, reverse=True):
            _take_out(kept, place)
        gone = [place for place in places if place[:-1] != _KEPT_IN_PLACE]
        lines = drop_items(lines, [(*base, *place) for place in gone])
    found = "this cannot be understood as a piece"
    remedy = "put right what is said of its lines"
    line = find_line(lines, base)
    problems.append(Problem(file, line, found, "expected a piece", remedy, Weight.LEFT_OUT))
    return Vetted({}, lines, None, _shorten(problems, file))


def _is_blank(key: str, value: Any) -> bool:
    """Whether this is a form's line not filled in, of a kind that has no word for missing."""
    return value == "" and key in {"attempt", "share"}


def _shorten(problems: list[Problem], file: str) -> tuple[Problem, ...]:
    """Each problem once, and only so many of one file that a person would read them; those that
    leave the piece out go first."""
    once = sorted(dict.fromkeys(problems), key=lambda problem: problem.weight is Weight.NOTED)
    if len(once) <= _MOST:
        return tuple(once)
    rest = f"{len(once) - _MOST} more problems in this file"
    return (*once[:_MOST], Problem(file, 0, rest, "", "put right the others first"))


def _validate(tree: dict[str, Any]) -> Piece | list[ErrorDetails]:
    try:
        return Piece.model_validate({"piece": _STAND_IN, **tree})
    except ValidationError as error:
        return error.errors(include_url=False, include_context=False, include_input=False)


def _trim(tree: Any, location: tuple[int | str, ...]) -> Location:
    """The part of the model's ``location`` that stands in the tree as written."""
    place: list[int | str] = []
    inner: Any = tree
    for step in location:
        listed = isinstance(inner, list) and isinstance(step, int) and step < len(inner)
        if not listed and not (isinstance(inner, dict) and step in inner):
            break
        place.append(step)
        inner = _look_up(inner, (step,))
    return tuple(place)


def _take_out(tree: dict[str, Any], place: Location) -> None:
    holder: Any = tree
    for step in place[:-1]:
        holder = holder[step]
    if place[:-1] == _KEPT_IN_PLACE:
        holder[place[-1]] = ""
    else:
        del holder[place[-1]]


def _deepest_and_last_first(place: Location) -> tuple[tuple[int, str], ...]:
    return tuple((step, "") if isinstance(step, int) else (-1, step) for step in place)


def _say_fault(
    fault: ErrorDetails, place: Location, tree: Any, lines: Lines, file: str, base: Location
) -> Problem:
    where = (*base, *place)
    weight = Weight.LEFT_OUT if place[:1] == ("share",) else Weight.NOTED
    line = find_line(lines, where)
    fields, field = _find_fields(place)
    if fault["type"] == "extra_forbidden" and place == fault["loc"]:
        key = str(place[-1])
        around = name_place(where[:-1])
        found = f"{quote(key)} is no known key{' of ' + around if around else ''}"
        remedy = suggest(key, fields, "leave it out, or put it into notes")
        if len(place) == 1 and find_nearest(key, fields) == "share":
            remedy, weight = f"{remedy} {_HIDDEN}", Weight.LEFT_OUT
        return Problem(file, line, found, "expected a key of the vocabulary", remedy, weight)
    if fault["type"] == "missing":
        key = str(fault["loc"][-1])
        found = f"{name_place(where)} has no {quote(key)}"
        return Problem(
            file,
            line,
            found,
            f"expected “{key}: …”",
            f"add {quote(key)}, or leave the whole out",
            weight,
        )
    value = _look_up(tree, place)
    expected = describe_field(field) if field else "words on one line"
    found = f"{name_place(where)} is {describe_value(value)}"
    remedy = "write it that way; it is left out for now"
    if weight is Weight.LEFT_OUT:
        if place == ("share",):
            expected += ", such as share: {piece: private} to keep all of it private"
        remedy = (
            "write it that way; until then nothing of this piece is shown, in case it is private"
        )
    return Problem(file, line, found, f"expected {expected}", remedy, weight)


def _find_fields(place: Location) -> tuple[dict[str, FieldInfo], FieldInfo | None]:
    """The fields known around ``place``, and the field at it, if it is one."""
    fields, field = list_fields(Piece), None
    for number, step in enumerate(place):
        if isinstance(step, int):
            continue
        field = fields.get(step)
        deeper = number + 1 < len(place) and any(isinstance(s, str) for s in place[number + 1 :])
        record = find_record(field) if field and deeper else None
        if record:
            fields = list_fields(record)
        elif deeper:
            return {}, None
    return fields, field


def _look_up(tree: Any, place: Location) -> Any:
    for step in place:
        tree = tree[step]
    return tree


def _note_values(
    piece: Piece, tree: dict[str, Any], lines: Lines, file: str, base: Location
) -> list[Problem]:
    """Words that could not be converted, words the pages do not know, places off the piece."""
    problems = []
    for at, fact, field in walk_facts(piece):
        if fact.known is Known.UNREAD:
            place = (*base, *_name_value(tree, at))
            problems.append(_say_unread(place, fact, field, find_line(lines, place), file))
        elif fact.given:
            vocabulary = find_marker(field, Vocabulary)
            if vocabulary and vocabulary.flagged and fact.value not in vocabulary.words:
                place = (*base, *_name_value(tree, at))
                problems.append(
                    Problem(
                        file,
                        find_line(lines, place),
                        f"{name_place(place)} is {quote(fact.written)}",
                        f"expected one of: {', '.join(vocabulary.words)}",
                        suggest(fact.written, vocabulary.words, "choose one of them"),
                    )
                )
    return problems + _note_zones(piece, lines, file, base)


def _name_value(tree: dict[str, Any], at: Location) -> Location:
    """The place of a value as its maker sees it: one mapping may stand for a list of one."""
    place = _trim(tree, at)
    return (*place, at[-1]) if isinstance(_look_up(tree, place), dict) else place


def _say_unread(
    place: Location, fact: Fact[Any], field: FieldInfo, line: int, file: str
) -> Problem:
    expected = find_marker(field, Expected) or Expected("something else")
    why = expected.explain(fact.written)
    found = f"{name_place(place)} is {quote(fact.written)}"
    return Problem(
        file,
        line,
        f"{found}: {why}" if why else found,
        f"expected {expected.phrase}",
        "put it right, or leave it: it is shown as written, and no figure rests on it",
    )


def _note_zones(piece: Piece, lines: Lines, file: str, base: Location) -> list[Problem]:
    return [
        Problem(
            file,
            find_line(lines, (*base, "zones", index, "at")),
            f"the place of zone {quote(zone.name)}: {box}",
            "expected four fractions of the piece: left, top, right, bottom, such as "
            "[0, 0, 0.333, 1]",
            "put it right; until then the zone has no place",
        )
        for index, zone in enumerate(piece.zones)
        if zone.at and isinstance(box := read_box([part.written for part in zone.at]), str)
    ]


def _note_shares(
    piece: Piece, lines: Lines, file: str, base: Location, audiences: Collection[str] | None
) -> list[Problem]:
    problems = []
    parts = (*SHARE_PARTS, *list_fields(Piece))
    for part, named in piece.share.items():
        line = find_line(lines, (*base, "share", part))
        if part not in parts and not expand(part) & FIELDS.keys():
            found = f"share speaks of {quote(part)}, which is no part of a piece"
            expected = f"expected {', '.join(SHARE_PARTS)} or a key of the piece"
            remedy = f"{suggest(part, parts, 'choose one of them;')} {_HIDDEN}"
            problems.append(Problem(file, line, found, expected, remedy, Weight.LEFT_OUT))
        for audience in named or ("",):
            if audiences is not None and audience not in audiences:
                found = f"{part} of share is {quote(audience)}"
                expected = f"expected one of: {', '.join(audiences)}"
                remedy = f"{suggest(audience, tuple(audiences), 'choose one of them;')} {_HIDDEN}"
                problems.append(Problem(file, line, found, expected, remedy, Weight.LEFT_OUT))
    return problems
