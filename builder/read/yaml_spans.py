"""Where in a YAML text each value stands, sign by sign, so that one can be changed and the rest
left as it was written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import Any

import yaml


class Kind(Enum):
    """What stands there."""

    PLAIN = auto()
    LIST = auto()
    MAPPING = auto()
    REPEAT = auto()  # *name


@dataclass(frozen=True)
class Span:
    """One value: ``text[start:end]``, ``end`` being after its last sign and before what follows
    it; ``column`` of its first sign counts from 0. ``flow``: written with [ ] or { }.

    ``value`` is the text of a plain one; ``keys`` and ``values`` are the parts of a list (which
    has no keys) or a mapping, in order.
    """

    kind: Kind
    start: int
    end: int
    column: int
    flow: bool = False
    value: str = ""
    keys: tuple[Span, ...] = ()
    values: tuple[Span, ...] = ()

    @property
    def is_blank(self) -> bool:
        return self.kind is Kind.PLAIN and not self.value.strip()

    def find(self, key: str) -> tuple[Span, Span] | None:
        """Key and value of a mapping; the last of double keys."""
        pairs = zip(reversed(self.keys), reversed(self.values), strict=True)
        return next(((name, value) for name, value in pairs if name.value == key), None)


def find_spans(text: str) -> Span | None:
    """The first document of ``text`` that is a mapping; None where there is none."""
    return next(walk_spans(text), None)


def walk_spans(text: str) -> Iterator[Span]:
    """Each document of ``text`` that is a mapping, in order.

    Trust in its depth comes from elsewhere: read the text within caps first. Raises
    ``yaml.YAMLError``.
    """
    # The other parser of the library counts bytes in places; this one counts characters.
    events: Iterator[Any] = iter(yaml.parse(text, Loader=yaml.SafeLoader))
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            span = _build(next(events), events)
            if span.kind is Kind.MAPPING:
                yield span


def _build(event: Any, events: Iterator[Any]) -> Span:
    start, end = event.start_mark.index, event.end_mark.index
    column = event.start_mark.column
    if isinstance(event, yaml.AliasEvent):
        return Span(Kind.REPEAT, start, end, column)
    if isinstance(event, yaml.ScalarEvent):
        return Span(Kind.PLAIN, start, end, column, value=event.value)
    flow = bool(event.flow_style)
    keys: list[Span] = []
    values: list[Span] = []
    is_list = isinstance(event, yaml.SequenceStartEvent)
    for part in events:
        if isinstance(part, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            # Without a bracket of its own it ends where the next sign is, comments included: too
            # far. Such are blocks, and a pair in a list: [a: b].
            closing: Any = part
            first, last = closing.start_mark.index, closing.end_mark.index
            end = last if flow and first < last else values[-1].end
            break
        if not is_list:
            keys.append(_build(part, events))
        values.append(_build(part if is_list else next(events), events))
    if keys and not flow:
        column = keys[0].column
    kind = Kind.LIST if is_list else Kind.MAPPING
    return Span(kind, start, end, column, flow, "", tuple(keys), tuple(values))
