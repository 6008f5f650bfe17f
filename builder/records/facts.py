"""A fact of the notebook: the maker's words, and what could be made of them.

Missing (never asked), ``unknown`` (lost) and ``not measured`` (deliberately not done) are three
different things and stay so up to the page.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class Known(StrEnum):
    """What is known of a fact."""

    GIVEN = "given"
    MISSING = "missing"  # the sidecar does not speak of it
    UNKNOWN = "unknown"  # asked, and lost
    NOT_MEASURED = "not measured"  # deliberately not done
    WITHHELD = "kept private"  # written, and not for those this is told to
    UNREAD = "unread"  # written, but could not be converted: kept as written and flagged


@dataclass(frozen=True, slots=True)
class Fact(Generic[T]):
    """``written`` holds the words of the sidecar, ``value`` what they were converted to.

    ``value`` is there only when ``known`` is ``GIVEN``.
    """

    written: str = ""
    value: T | None = None
    known: Known = Known.MISSING

    def __reduce__(self) -> tuple[type[Fact[T]], tuple[object, ...]]:
        """Taken up from disk it is made as a whole, and may be one that is there already."""
        return type(self), (self.written, self.value, self.known)

    @property
    def given(self) -> bool:
        return self.known is Known.GIVEN

    def words(self) -> str:
        """The maker's words where there are any, else which kind of absence this is."""
        return self.written if self.known in (Known.GIVEN, Known.UNREAD) else str(self.known)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in the one unit its kind is kept in: ``g``, ``ml``, ``l``, ``mm``, ``°C``, ``s``,
    ``%``, ``g/l``, or ``count`` (passes, sprays, coats) and ``ratio``; ``SWG`` is a gauge number
    that no formula turns into mm.

    ``assumed`` says which rule was used where the words leave it open ("US cup", "1 tsp salt as
    6 g"), and is empty otherwise.
    """

    number: float
    unit: str
    assumed: str = ""


@dataclass(frozen=True, order=True, slots=True)
class Moment:
    """A day, with the time where it was written; ``time`` is local, minutes are enough."""

    day: dt.date
    time: dt.time | None = None
