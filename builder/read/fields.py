"""The vocabulary as the record models hold it: which fields there are, and what each expects."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, TypeVar, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from builder.read.lines import Location
from builder.records.facts import Fact
from builder.records.kinds import Expected
from builder.records.record import Record
from builder.records.shapes import PlainAs

M = TypeVar("M")


def list_fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Fields by the name a sidecar writes them with, in the order of the vocabulary."""
    return {info.alias or name: info for name, info in model.model_fields.items()}


def find_marker(info: FieldInfo, kind: type[M]) -> M | None:
    """The field's own marker of ``kind`` (``Expected``, ``Vocabulary``…), or that of the values in
    its list; None where it has none."""
    found = (marker for marker in (*info.metadata, *_inner(info.annotation)) if _is(marker, kind))
    return next(found, None)


def find_record(info: FieldInfo) -> type[Record] | None:
    """The record a field holds, alone or in a list; None for facts and text."""
    for part in _walk_types(info.annotation):
        if isinstance(part, type) and issubclass(part, Record):
            return part
    return None


def is_list(info: FieldInfo) -> bool:
    """Whether the field holds several values."""
    return get_origin(info.annotation) is tuple


def describe_field(info: FieldInfo) -> str:
    """What belongs into a field, in a few words."""
    expected = find_marker(info, Expected)
    several = is_list(info)
    record = find_record(info)
    if expected:
        return f"a list, each {expected.phrase}" if several else expected.phrase
    if record:
        keys = ", ".join(list(list_fields(record))[:4])
        short = f", or one line for its {find_key(info)}" if find_key(info) else ""
        kind = f"keys such as {keys}{short}"
        return f"a list, each of {kind}" if several else kind
    if several:
        corners = info.annotation == tuple[Any, ...]
        return "fractions of the picture, such as [0.2, 0.2, 0.6, 0.8]" if corners else "a list"
    if info.annotation is int:
        return "a whole number from 1"
    return "keys and values" if get_origin(info.annotation) is dict else "words on one line"


def find_key(info: FieldInfo) -> str:
    """The key a plain value is short for, "" where the field takes none."""
    short = find_marker(info, PlainAs)
    return short.key if short else ""


def walk_facts(record: Record, at: Location = ()) -> Iterator[tuple[Location, Any, FieldInfo]]:
    """Every fact in ``record`` and the records in it, with its place and its field."""
    for name, info in type(record).model_fields.items():
        value = getattr(record, name)
        place = (*at, info.alias or name)
        if isinstance(value, tuple):
            for index, item in enumerate(value):
                yield from _walk_value(item, (*place, index), info)
        else:
            yield from _walk_value(value, place, info)


def _walk_value(
    value: Any, at: Location, info: FieldInfo
) -> Iterator[tuple[Location, Any, FieldInfo]]:
    if isinstance(value, Record):
        yield from walk_facts(value, at)
    elif isinstance(value, Fact):
        yield at, value, info


def _inner(annotation: Any) -> Iterator[Any]:
    """Markers of the values in a list."""
    for part in get_args(annotation):
        yield from getattr(part, "__metadata__", ())


def _walk_types(annotation: Any) -> Iterator[Any]:
    yield annotation
    for part in get_args(annotation):
        yield from _walk_types(part)


def _is(marker: Any, kind: type[Any]) -> bool:
    return isinstance(marker, kind)
