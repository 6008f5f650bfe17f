"""The Safety page: the whole table of what must not meet, what each class is known as, and the
limits in the air, each with its source."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.records.hazards import (
    ALONE,
    CLASSES,
    HAZARDS,
    METALS,
    SUBSTANCES,
    Alone,
    Hazard,
    Status,
    When,
)
from builder.records.limits import LIMITS, Limit
from builder.relate.air_limits import say_limit

#: What limits are told of, for the search.
IN_WORDS = tuple(dict.fromkeys(limit.substance for limit in LIMITS))


@dataclass(frozen=True)
class RowShown:
    """One row of the table in words; ``when`` is "" where it always holds."""

    row: Hazard
    one: str
    other: str
    when: str


@dataclass(frozen=True)
class AloneShown:
    """One row of what is to be minded of one thing by itself."""

    row: Alone
    one: str


@dataclass(frozen=True)
class LimitShown:
    """One figure in words, how its source was read, and whether a later one is known."""

    limit: Limit
    words: str
    superseded: str


@dataclass(frozen=True)
class SafetyPage:
    """All that the page shows. ``names`` are the classes in words with all names they are known
    by; ``limits`` by substance, each with its CAS number ("" for none)."""

    rows: tuple[RowShown, ...]
    alone: tuple[AloneShown, ...]
    names: tuple[tuple[str, tuple[str, ...]], ...]
    limits: tuple[tuple[str, str, tuple[LimitShown, ...]], ...]
    read: str = Status.SEEN


def lay_out_safety() -> SafetyPage:
    """The page, the same in every library."""
    return SafetyPage(
        tuple(
            RowShown(
                row,
                _say_classes(row.ones),
                _say_classes(row.others),
                "" if row.when is When.ALWAYS else str(row.when),
            )
            for row in HAZARDS
        ),
        tuple(AloneShown(row, _say_classes(row.kinds)) for row in ALONE),
        tuple((words, _names_of(kind)) for kind, words in CLASSES.items()),
        tuple(_limits_of(substance) for substance in IN_WORDS),
    )


def _say_classes(kinds: Iterable[str]) -> str:
    return "; or ".join(CLASSES[kind] for kind in kinds)


def _names_of(kind: str) -> tuple[str, ...]:
    names = {**SUBSTANCES, **METALS}
    return tuple(sorted(name for name, kinds in names.items() if kind in kinds))


def _limits_of(substance: str) -> tuple[str, str, tuple[LimitShown, ...]]:
    own = [limit for limit in LIMITS if limit.substance == substance]
    return (
        substance,
        own[0].cas,
        tuple(
            LimitShown(limit, say_limit(limit), "superseded" if limit.superseded else "")
            for limit in own
        ),
    )
