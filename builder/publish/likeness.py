"""Whether a page is shown what it was shown last time, told by a digest of all of it."""

from __future__ import annotations

import io
import pickle
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from typing import Any

from pydantic import BaseModel

from builder.digests import digest_bytes
from builder.publish.series_page import SeriesRow
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.records.photo import Observation
from builder.records.piece import Entry
from builder.relate.findings import Look, Strand

#: What many pages are shown; each is gone through once.
_SHARED: tuple[type, ...] = (Subject, SisterSet, SeriesRow, Strand, Look, Entry, Observation)


@dataclass(frozen=True)
class Likeness:
    """Digests of what pages are shown; those of what many share are ``known``, by identity."""

    known: dict[int, tuple[object, str]] = field(default_factory=dict)

    def of(self, shown: object) -> str:
        """The same for equal values, in any run of the same program; "" where it cannot be told."""
        stream = io.BytesIO()
        try:
            _Pickler(stream, self, shown).dump(shown)
        except (pickle.PicklingError, TypeError, AttributeError, RecursionError):
            return ""
        return digest_bytes(stream.getvalue())

    def of_shared(self, one: object) -> str:
        last = self.known.get(id(one))
        if last is None:
            last = self.known[id(one)] = (one, self.of(one))
        return last[1]


class _Pickler(pickle.Pickler):
    """Writes equal values alike: nothing by reference to an earlier place, sets in order."""

    def __init__(self, stream: io.BytesIO, likeness: Likeness, whole: object) -> None:
        super().__init__(stream, 5)
        self.fast = True
        self._likeness, self._whole = likeness, whole

    def reducer_override(self, one: Any) -> Any:
        kind: type = type(one)
        if kind in _SHARED and one is not self._whole:
            digest = self._likeness.of_shared(one)
            if not digest:
                raise pickle.PicklingError(kind.__name__)
            return str, (digest,)
        if isinstance(one, BaseModel):
            return tuple, ((kind.__name__, *map(_in_order, vars(one).values())),)
        if _holds_sets(kind):
            held = (_in_order(getattr(one, each.name)) for each in fields(one))
            return tuple, ((kind.__name__, *held),)
        return NotImplemented


def _in_order(value: object) -> object:
    return ("set", *sorted(value)) if isinstance(value, (set, frozenset)) else value


@cache
def _holds_sets(kind: type) -> bool:
    return is_dataclass(kind) and any("set[" in str(each.type) for each in fields(kind))
