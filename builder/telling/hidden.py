"""What of a piece an audience is not shown: by the audience's own rules, by the sidecar's ``share``
and by that of the piece a field was taken from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from builder.records.audiences import ALIASES, FIELDS, PUBLIC, THINGS, Audience, expand
from builder.records.facts import Fact, Known
from builder.records.piece import Entry
from builder.records.record import Record

#: Of a piece: its number stands for all of it.
WHOLE = "piece"
_RECORDS = frozenset(path.rpartition(".")[0] for path in FIELDS if "." in path) - {"photos"}


def list_hidden(entries: Iterable[Entry], audience: Audience) -> Mapping[int, frozenset[str]]:
    """Fields and things of each entry (by its identity) that ``audience`` is not shown.

    A field named twice in ``share`` (``recipe`` and ``ingredients``) is shown where both allow it;
    what comes from a piece that keeps it back stays back.
    """
    entries = tuple(entries)
    kept: dict[str, set[str]] = {}
    for entry in entries:  # of every attempt: which of them a field came from is not told
        kept.setdefault(entry.piece.piece, set()).update(_kept_back(entry, audience))
    return {id(entry): _list_hidden(entry, audience, kept) for entry in entries}


def list_betraying(
    entry: Entry, hidden: Mapping[str, frozenset[str]], audience: Audience
) -> frozenset[str]:
    """The pieces that ``entry`` is taken from, where naming them would tell what one of them keeps
    back: it keeps back a part it took over, or a piece it came through tells another part of it
    than the entry does. ``hidden`` maps numbers of pieces to what is not shown of them."""
    if not entry.inherited:
        return frozenset()
    number, _, _ = entry.piece.same_as.replace(",", " ").partition(" ")
    sources = frozenset({number, *(source for _, source in entry.inherited)}) - {""}
    own = hidden[entry.piece.piece]
    taken = frozenset().union(*(expand(field) for field, _ in entry.inherited))
    spoken = frozenset(path for path in taken if speaks_of(entry, path))
    if spoken & own - list_by_rule(audience):
        return sources
    unlike = any(spoken & (own ^ hidden.get(source, own)) for source in sources)
    return sources if unlike else frozenset()


def is_shared_whole(entries: Iterable[Entry], audience: Audience) -> bool:
    """Whether a piece is shared with ``audience`` in so many words."""
    return any(_allows(entry.piece.share.get(WHOLE, ()), audience) for entry in entries)


def find_values(record: Record, path: str) -> Iterator[Any]:
    """What stands at a path such as ``zones.sealant.kind``, once a place, missing facts left
    out."""
    name, _, rest = path.partition(".")
    value = getattr(record, _list_names(type(record))[name])
    for one in value if isinstance(value, tuple) else (value,):
        if isinstance(one, Record):
            yield from find_values(one, rest)
        elif isinstance(one, Fact):
            if one.known is not Known.MISSING:
                yield one
        elif one or one == 0:
            yield one


@cache
def _list_names(record: type[Record]) -> Mapping[str, str]:
    """Attributes by the names a sidecar writes."""
    return {info.alias or name: name for name, info in record.model_fields.items()}


def speaks_of(entry: Entry, path: str) -> bool:
    """Whether the record says anything there."""
    return path in FIELDS and any(True for _ in find_values(entry.piece, path))


@cache
def name_hidden(hidden: frozenset[str]) -> frozenset[str]:
    """Hidden fields, and the records all of whose fields are hidden, as pages name them:
    ``storage.place``, ``ingredients``; ``photos`` where the photographs themselves are, ``cost``
    where that is."""
    fields = {name for name in hidden if name in FIELDS and not name.startswith("photos.")}
    whole = {record for record in _RECORDS if expand(record) <= hidden}
    photos = {"photos"} if "photographs" in hidden else set()
    return frozenset(fields | whole | photos | (hidden & {"cost"}))


@cache
def list_by_rule(audience: Audience) -> frozenset[str]:
    """What the audience is not shown of any piece that does not say otherwise."""
    return frozenset(name for name in (*FIELDS, *THINGS) if not audience.sees(name))


def list_guarded(entry: Entry, hidden: frozenset[str], audience: Audience) -> frozenset[str]:
    """Fields that are told in another shape than they are written in: those with such a rule that
    the sidecar does not open in so many words."""
    return audience.guarded - hidden - _opened(entry, audience)


def _list_hidden(entry: Entry, audience: Audience, kept: Mapping[str, set[str]]) -> frozenset[str]:
    hidden = (list_by_rule(audience) - _opened(entry, audience)) | _kept_back(entry, audience)
    for field, source in entry.inherited:
        there = kept.get(source, set())
        hidden |= expand(field) if WHOLE in there else expand(field) & there
    return frozenset(hidden)


def _opened(entry: Entry, audience: Audience) -> frozenset[str]:
    """What the sidecar's own ``share`` shows the audience."""
    parts = (part for part, named in entry.piece.share.items() if _allows(named, audience))
    return frozenset().union(*map(expand, parts))


def _kept_back(entry: Entry, audience: Audience) -> frozenset[str]:
    """What the sidecar's own ``share`` keeps from the audience."""
    parts = (p for p, named in entry.piece.share.items() if not _allows(named, audience))
    return frozenset().union(*map(expand, parts))


def _allows(named: Iterable[str], audience: Audience) -> bool:
    names = {ALIASES.get(name, name) for name in named}
    return audience.everything or not names.isdisjoint((PUBLIC, audience.name))
