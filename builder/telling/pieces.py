"""A piece's record as an audience is told it: what they are not shown is replaced, not hidden."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from functools import cache
from typing import Any, TypeVar, cast

from pydantic.fields import FieldInfo

from builder.read.fields import find_marker
from builder.records.audiences import FIELDS, Audience, Rule
from builder.records.facts import Fact, Known, Moment, Quantity
from builder.records.kinds import Vocabulary
from builder.records.piece import Check, Entry, Piece
from builder.records.record import Record
from builder.relate.timeline import draw_timeline
from builder.telling.hidden import list_guarded, name_hidden

R = TypeVar("R", bound=Record)

#: Words for a place on a piece. A zone of any other name gets a number.
_PLACES = frozenset(
    {
        "left", "right", "top", "bottom", "upper", "lower", "centre", "center", "middle", "front",
        "back", "edge", "rim", "inside", "outside", "half", "third", "quarter", "side", "corner",
    }
)  # fmt: skip
#: What tells which piece another one repeats.
_ORIGIN = frozenset({"same_as", "change", "why"})
KEPT: Fact[Any] = Fact("", None, Known.WITHHELD)


def tell_entry(
    entry: Entry,
    hidden: frozenset[str],
    audience: Audience,
    there: Container[str],
    betraying: frozenset[str] = frozenset(),
) -> Entry:
    """The entry without what is ``hidden``; ``there`` are the numbers of pieces that are told of,
    so that nothing refers to another. ``betraying`` are those it must not be said to be taken
    from, since they would tell what it keeps back or it what they do: where there are any, it is
    told as if it were written in itself."""
    if betraying:
        hidden |= _ORIGIN
    guarded = list_guarded(entry, hidden, audience)
    told = _tell_record(entry.piece, "", hidden, guarded)
    changes: dict[str, Any] = {"change": _tell_change(told.change, hidden)}
    if "checks.date" in guarded:
        changes["checks"] = tuple(
            _age_check(told_one, check, entry.piece)
            for told_one, check in zip(told.checks, entry.piece.checks, strict=False)
        )
    if told.zones:
        names = name_zones(entry, hidden, audience)
        changes["zones"] = tuple(
            _rebuild(told_one, name=names[zone.name])
            for told_one, zone in zip(told.zones, entry.piece.zones, strict=True)
        )
    if "earlier attempts" not in hidden:  # or two of them would go by one name
        changes["attempt"] = entry.piece.attempt
    for field in ("same_as", "sister"):
        number = getattr(told, field).replace("/", " ").split()[:1]
        if number and (number[0] not in there or number[0] in betraying):
            changes[field] = ""
    return Entry(
        piece=_rebuild(told, **changes),
        file="" if "file names" in hidden else entry.file,
        line=entry.line,
        mixture_line=entry.mixture_line,
        inherited=()
        if "same_as" in hidden
        else tuple((field, source) for field, source in entry.inherited if source in there),
        withheld=name_hidden(hidden),
    )


def name_zones(entry: Entry, hidden: frozenset[str], audience: Audience) -> Mapping[str, str]:
    """What each zone is called, by its name in the sidecar: the maker's word, or where that is not
    for them a place or a number."""
    names = [zone.name for zone in entry.piece.zones]
    if "zones.name" in list_guarded(entry, hidden, audience):
        plain = [all(word in _PLACES for word in name.casefold().split()) for name in names]
    else:
        plain = ["zones.name" not in hidden] * len(names)
    return {
        name: name if kept else f"part {number}"
        for number, (name, kept) in enumerate(zip(names, plain, strict=True), start=1)
    }


def _tell_record(record: R, at: str, hidden: frozenset[str], guarded: frozenset[str]) -> R:
    values, gone = {}, set()
    touched = _list_touched(hidden | guarded)
    for name, info in type(record).model_fields.items():
        path = f"{at}{info.alias or name}"
        value = getattr(record, name)
        if path in FIELDS:
            values[name] = _tell_value(value, path, info, hidden, guarded)
            gone |= {name} if path in hidden else set()
        elif path not in touched:
            values[name] = value
        elif isinstance(value, tuple):
            whole = all(inner in hidden for inner in FIELDS if inner.startswith(f"{path}."))
            values[name] = (
                () if whole else tuple(_tell_record(v, f"{path}.", hidden, guarded) for v in value)
            )
            gone |= {name} if whole else set()
        else:
            values[name] = _tell_record(value, f"{path}.", hidden, guarded)
    return _construct(record, record.model_fields_set - gone, values)


@cache
def _list_touched(fields: frozenset[str]) -> frozenset[str]:
    """The records that any of the fields lies in."""
    return frozenset(
        path[:place] for path in fields for place, sign in enumerate(path) if sign == "."
    )


def _tell_value(
    value: Any, path: str, info: FieldInfo, hidden: frozenset[str], guarded: frozenset[str]
) -> Any:
    if path in hidden:
        if isinstance(value, Fact):
            return Fact() if value.known is Known.MISSING else KEPT
        return {str: "", tuple: (), int: 1}.get(type(value)) if not isinstance(value, dict) else {}
    if path in guarded and FIELDS[path] is Rule.READ and isinstance(value, Fact):
        return _tell_read(value, info)
    return value


def _tell_read(fact: Fact[Any], info: FieldInfo) -> Fact[Any]:
    """A fact in the trade's word or as a number; anything else the maker wrote is kept back."""
    if fact.known not in (Known.GIVEN, Known.UNREAD):
        return fact
    vocabulary = find_marker(info, Vocabulary)
    if vocabulary and fact.value in vocabulary.words:
        return replace(fact, written=str(fact.value))
    if isinstance(fact.value, Quantity):
        value = replace(fact.value, assumed="")
        return Fact(f"{value.number:g}", value, Known.GIVEN)
    return KEPT


def _tell_change(change: Mapping[str, Any], hidden: frozenset[str]) -> dict[str, Any]:
    """Only what is told whole: a part of it may be private."""
    return {
        name: value
        for name, value in change.items()
        if not any(path == name or path.startswith(f"{name}.") for path in hidden)
    }


def _age_check(told: Check, check: Check, piece: Piece) -> Check:
    """The check with its day as an age."""
    coloured = draw_timeline(piece).coloured_on
    moment = check.date.value
    if not isinstance(moment, Moment) or coloured is None or moment.day < coloured:
        return _rebuild(told, date=KEPT if check.date.known is not Known.MISSING else Fact())
    days = (moment.day - coloured).days
    return _rebuild(told, date=Fact(f"{days} days after colouring", None, Known.GIVEN))


def _rebuild(record: R, **changes: Any) -> R:
    """The record with other values, its unset fields still unset."""
    values = {name: getattr(record, name) for name in type(record).model_fields}
    return _construct(record, record.model_fields_set, {**values, **changes})


def _construct(like: R, spoken: set[str], values: Mapping[str, Any]) -> R:
    made: Any = type(like).model_construct(_fields_set=spoken, **values)
    return cast(R, made)
