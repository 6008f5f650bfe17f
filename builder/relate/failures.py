"""Pieces that did not work, by cause: teaching stock."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

import numpy as np
import numpy.typing as npt

from builder.records.facts import Known
from builder.records.piece import Entry
from builder.records.plain_names import name_plainly
from builder.relate.factors import Factors, Number, Parts, differing, says_enough
from builder.relate.findings import Failure, Strand
from builder.relate.levels import Part, sign_chains

#: Outcomes that put a piece on the shelf. Terms: common practice, no source.
#: A piece that worked and is further off than this is another thing, and no answer.
MOST_APART = 3
FAILED = ("failure", "part success", "stripped", "lost")

CAUSE_NOT_RECORDED = "cause not recorded"
CAUSE_UNKNOWN = "cause unknown"


def list_failures(entries: Sequence[Entry]) -> tuple[Failure, ...]:
    """Every piece that failed, wholly or in part, by cause and then in the library's order; pieces
    whose cause nobody knows or wrote come last."""
    failures = [
        Failure(entry, name_cause(entry), say_failure(entry), cause_words=say_cause(entry))
        for entry in entries
        if name_outcome(entry) in FAILED
    ]
    last = (CAUSE_UNKNOWN, CAUSE_NOT_RECORDED)
    return tuple(
        sorted(failures, key=lambda f: (last.index(f.cause) + 1 if f.cause in last else 0, f.cause))
    )


def find_instead(
    failures: Sequence[Failure], strands: Sequence[Strand], factors: Sequence[Factors]
) -> tuple[Failure, ...]:
    """Each failure with the strand that worked and differs from it in the fewest recorded factors,
    MOST_APART at most; of several the one that records most of what it records, then the one whose
    values are nearest, then the first of the library. One that differs by nothing recorded cannot
    say what to do otherwise."""
    enough = [place for place, record in enumerate(factors) if says_enough(record)]
    worked = [p for p in enough if name_outcome(strands[p].entry) == "success"]
    of: dict[int, list[int]] = {}
    for place in enough:
        of.setdefault(id(strands[place].entry), []).append(place)
    table = _Table(factors, worked)
    found = []
    for failure in failures:
        best: tuple[int, int, int] | None = None
        for mine in of.get(id(failure.entry), ()):
            near = table.find_nearest(mine)
            if near is not None and (best is None or near[0] < best[0]):
                best = (*near, mine)
        if best is not None and best[0] <= MOST_APART:
            _, other, mine = best
            failure = replace(
                failure,
                strand=strands[mine],
                instead=strands[other],
                differing=tuple(differing(factors[mine], factors[other])),
            )
        found.append(failure)
    return tuple(found)


class _Table:
    """Those that worked as columns of numbers, so that a record is held against all at once."""

    def __init__(self, factors: Sequence[Factors], others: Sequence[int]) -> None:
        self._factors, self._others = factors, others
        self._signs = sign_chains(factors)
        self._names: dict[Part, dict[str | float, int]] = {}
        self._codes: dict[Part, Codes] = {}
        for at, other in enumerate(others):
            for part, sign in self._signs[other].items():
                if part not in self._codes:
                    self._names[part] = {}
                    self._codes[part] = np.full(len(others), _SILENT, dtype=np.int32)
                names = self._names[part]
                self._codes[part][at] = names.setdefault(sign, len(names))

    def find_nearest(self, mine: int) -> tuple[int, int] | None:
        """(recorded differences, place) of the nearest one that differs; None where none does."""
        least, common = self._count(mine)
        best: tuple[int, int, float, int] | None = None  # differences, −common, steps, place
        for at in map(int, np.lexsort((-common, least))):
            # Signs that differ are values that differ; the same sign may still hide a difference.
            if best is not None and (least[at], -common[at]) > best[:2]:
                break
            other = self._others[at]
            apart = tuple(differing(self._factors[mine], self._factors[other]))
            if not apart:
                continue
            steps = sum(self._step(mine, other, factor) for factor in apart)
            here = len(apart), -int(common[at]), steps, other
            if best is None or here < best:
                best = here
        return None if best is None else (best[0], best[3])

    def _step(self, mine: int, other: int, factor: str) -> float:
        one, two = (self._factors[place].given[factor] for place in (mine, other))
        return step_between(one, two)

    def _count(self, mine: int) -> tuple[Codes, Codes]:
        """Of each other: factors that surely differ, and factors that both record."""
        counts = np.zeros((2, len(self._others)), dtype=np.int32)
        own = [part for part in self._signs[mine] if part in self._codes]
        for _, parts in groupby(own, key=lambda part: part[0]):
            differ = np.zeros(len(self._others), dtype=bool)
            common = differ.copy()
            for part in parts:
                codes = self._codes[part]
                told = codes != _SILENT
                common |= told
                differ |= told & (codes != self._names[part].get(self._signs[mine][part], _OTHER))
            counts[0] += differ
            counts[1] += common
        return counts[0], counts[1]


def step_between(one: Parts, other: Parts) -> float:
    """How far two values of a factor lie apart in their numbers, in tolerances: of those that are
    relative by their ratio, of the others by their difference."""
    steps = 0.0
    for part, a in one.items():
        b = other.get(part)
        if not (isinstance(a, Number) and isinstance(b, Number)) or a.same_as(b):
            continue
        if a.relative and min(a.value, b.value) > 0:
            steps += abs(math.log(a.value / b.value)) / math.log1p(a.within or 1.0)
        else:
            steps += abs(a.value - b.value) / (a.within or 1.0)
    return steps


Codes = npt.NDArray[np.int32]
_SILENT, _OTHER = -1, -2


def name_outcome(entry: Entry) -> str:
    """The outcome in one spelling; "" where it is not recorded."""
    outcome = entry.piece.outcome
    return name_plainly(outcome.value or outcome.written) if outcome.given else ""


def name_cause(entry: Entry) -> str:
    """The cause in one spelling, or which kind of absence it is."""
    cause = entry.piece.cause
    if cause.known is Known.WITHHELD:
        return str(cause.known)
    if cause.known is Known.UNKNOWN:
        return CAUSE_UNKNOWN
    words = name_plainly(cause.value or cause.written) if cause.written else ""
    if cause.known in (Known.MISSING, Known.NOT_MEASURED) or words in ("", "none"):
        return CAUSE_NOT_RECORDED
    return words


def say_cause(entry: Entry) -> str:
    """The cause in the maker's words, or which kind of absence it is."""
    cause = name_cause(entry)
    absent = cause in (CAUSE_UNKNOWN, CAUSE_NOT_RECORDED)
    return cause if absent else entry.piece.cause.written


def say_failure(entry: Entry) -> str:
    """The outcome, and what the maker noted or saw."""
    piece = entry.piece
    seen = dict.fromkeys(
        condition.what.written
        for check in piece.checks
        for condition in check.seen
        if condition.what.given
    )
    noted = piece.notes.written if piece.notes.given else ""
    told = noted or ", ".join(seen)
    return f"{name_outcome(entry)}: {told}" if told else name_outcome(entry)
