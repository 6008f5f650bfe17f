"""What the library's records and readings come to: the findings every page and data file shows.

Differences are CIEDE2000. ``u`` beside a difference is the noise floor of the two readings
together. Days are whole days that really passed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import TypeVar

from builder.errors import Problem
from builder.records.audiences import KEPT_PRIVATE, PRIVATE, Audience
from builder.records.library import Library
from builder.records.photo import DateFrom, Lab, Observation, Reading, State, StateFrom
from builder.records.piece import Entry

T = TypeVar("T")


class Verdict(StrEnum):
    """What may be said of a drift."""

    MOVED = "moved"
    HELD = "held"
    CANNOT_TELL = "cannot tell yet"


class Nearer(StrEnum):
    """Which of two sisters is nearer the chosen look."""

    SEALED = "sealed"
    BARE = "bare"
    TOO_CLOSE = "too close to call"


@dataclass(frozen=True, slots=True)
class Coverage:
    """How much of the metal is covered, against the same blank photographed bare.

    ``share`` of the area, 0 to 1, is of colours other than bare metal; None where it cannot be
    told, ``words`` saying why. ``bare`` are those of the look's own colours taken for bare metal.
    ``against`` is the photograph of the bare blank, its path; "" for none.
    """

    share: float | None
    words: str
    bare: tuple[Lab, ...] = ()
    against: str = ""


@dataclass(frozen=True, slots=True)
class Rim:
    """The rim of a piece against its middle, within one photograph. ``direction`` is from the
    middle to the rim, () where ``de00`` is within its noise ``u``."""

    de00: float
    u: float
    direction: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Look:
    """One zone of one photograph, dated. ``colour`` is the colour followed through the piece's
    life (one of the reading's own), None where no figure may be drawn; ``share`` the part of the
    area it covers. ``excluded`` is a sentence where the look serves no comparison ("wet"), else
    "". ``day_told`` is False where it has a day that is not for those it is told to."""

    observation: Observation
    zone: str
    taken: dt.date | None
    taken_from: DateFrom
    state: State | None
    state_from: StateFrom | None
    days_since_coloured: int | None
    days_since_sealed: int | None
    reading: Reading | None
    colour: Lab | None
    share: float | None
    excluded: str = ""
    coverage: Coverage | None = None
    rim: Rim | None = None
    day_told: bool = True


@dataclass(frozen=True, slots=True)
class Difference:
    """Between two looks, earlier first. ``shared_out``: ``u`` is that of the difference itself,
    without what the same card has wrong alike in both photographs."""

    first: Look
    second: Look
    days: int
    de00: float
    u: float
    grade: float  # ISO 105-A05, 1 to 5
    direction: tuple[str, ...]  # "darker", "browner"
    notes: tuple[str, ...] = ()  # "taken on two set-ups: bench plates, none"
    shared_out: bool = False


@dataclass(frozen=True)
class ChangedSquares:
    """Where a piece changed between two looks, in squares of ``mm``.

    ``levels``: a line a row, from the top, one sign a square: "-" not compared, "0" no change
    that can be told, "1" moved, "2" moved by ``steps[0]`` or more, "3" by ``steps[1]`` or more;
    "?" where borders of colours would hide a change. ``share`` of the compared squares that moved,
    ``hidden`` of those that borders hide, 0 to 1. ``largest`` is the ΔE00 of the place that moved
    most (over nine squares), at ``largest_where``. ``shift_mm`` and ``turn`` (degrees) are how the
    piece lay in the later photograph as against the earlier.
    """

    mm: float
    levels: str
    steps: tuple[float, float]
    share: float
    hidden: float
    where: str
    largest: float
    largest_where: str
    shift_mm: float
    turn: float
    words: str


@dataclass(frozen=True)
class ChangeMap(ChangedSquares):
    """The squares that changed between the two looks of ``difference``."""

    difference: Difference


@dataclass(frozen=True, slots=True)
class VisibleChange:
    """When the drift passed the visible threshold: between the checks at ``after`` and ``by``
    days, by a straight line at ``about``; all None where it did not, ``words`` saying so ("Not by
    12 months.")."""

    after: int | None
    by: int | None
    about: float | None
    words: str


@dataclass(frozen=True)
class Strand:
    """The story of one zone of one attempt ("" where the piece is one zone)."""

    entry: Entry
    zone: str
    sealant: str  # canonical kind, "none" for bare, "" where not recorded
    sealed: bool | None  # None where not recorded
    looks: tuple[Look, ...]  # by date
    fresh: Look | None  # last look before sealing, or first dry look: the look that was chosen
    baseline: Look | None  # start of watch
    latest: Look | None
    seal_cost: Difference | None
    drifts: tuple[Difference, ...]  # baseline against every later comparable look
    verdict: Verdict
    verdict_words: str  # one sentence
    visible: VisibleChange
    missing: tuple[str, ...]  # "no photograph before sealing"
    change: ChangeMap | None = None  # start of watch against latest, where both are in squares
    change_withheld: str = ""  # why there is no change map though both are in squares

    @property
    def drift(self) -> Difference | None:
        """The drift the verdict is on: the latest one that is not doubtful, if there is one."""
        return next((drift for drift in self.drifts if drift.second == self.latest), None)


@dataclass(frozen=True)
class Sisters:
    """A sealed strand against its bare sister at the same age."""

    sealed: Strand
    bare: Strand
    why: str  # "named in the sidecar", "same plate", "same in every recorded factor but sealant"
    days: int | None
    seal_cost: Difference | None
    sealed_drift: Difference | None
    bare_drift: Difference | None
    held_pct: float | None
    held_words: str
    nearer: Nearer | None
    nearer_words: str
    to_sealed: float | None  # ΔE00 chosen look → sealed now
    to_bare: float | None
    u: float | None
    unrecorded: tuple[str, ...]
    also_differs: tuple[str, ...] = ()  # recorded factors besides the sealant, of a named sister


@dataclass(frozen=True, slots=True)
class Pair:
    """Two strands with one recorded difference (``factor`` "" for a repeat)."""

    a: Strand
    b: Strand
    factor: str
    value_a: str
    value_b: str
    unrecorded: tuple[str, ...]
    de00_fresh: float | None
    u: float | None
    direction: tuple[str, ...] = ()  # from a to b, fresh looks: "brown to green"


@dataclass(frozen=True)
class Value:
    """One value of a factor, in the words of the first piece that has it, with all that do."""

    words: str
    strands: tuple[Strand, ...]


@dataclass(frozen=True)
class Series:
    """Strands equal in every recorded factor but one, by its value, rising. ``unrecorded`` are
    sentences: "humidity not recorded on either"."""

    factor: str
    values: tuple[Value, ...]
    unrecorded: tuple[str, ...]

    @property
    def strands(self) -> tuple[Strand, ...]:
        return tuple(strand for value in self.values for strand in value.strands)

    @property
    def ordered(self) -> bool:
        """Whether it stands in the order of its values: not where one of them is kept private,
        since the order would give it away."""
        return all(value.words != KEPT_PRIVATE for value in self.values)


class Aspect(StrEnum):
    """What of a colour an effect is told of."""

    LIGHTNESS = "lightness"  # ΔL*
    CHROMA = "chroma"  # ΔC*
    HUE = "hue"  # degrees of turn
    COVERAGE = "coverage"  # percentage points of the area


@dataclass(frozen=True)
class Shift:
    """What one change did to one aspect, over ``sets`` of pieces that share everything else.

    ``median`` of the sets' shifts, with half of them from ``low`` to ``high``, in the aspect's own
    unit. ``rose`` and ``fell`` count sets. ``size`` is the median in ΔE00 of that aspect alone and
    ``noise`` what it must be beyond (percentage points of the area for coverage). ``p`` of the
    two-sided sign test; ``claimed`` where the effect is beyond chance and beyond noise. ``words``:
    "darker", "brown to green".
    """

    aspect: Aspect
    sets: int
    median: float
    low: float
    high: float
    rose: int
    fell: int
    size: float
    noise: float
    p: float
    words: str
    claimed: bool = False


@dataclass(frozen=True)
class Effect:
    """What going from one value of a factor to another does, over all sets that have both.
    ``shifts`` is empty and ``words`` says so where the sets are too few to generalise."""

    factor: str
    first: str
    second: str
    sets: int  # that carry a figure
    pieces: int  # in them
    strands: tuple[Strand, ...]  # of all sets that have both values, also those without a figure
    shifts: tuple[Shift, ...]
    words: str

    @property
    def private(self) -> bool:
        """Whether one of its values is kept private."""
        return KEPT_PRIVATE in (self.first, self.second)

    @property
    def claimed(self) -> bool:
        return any(shift.claimed for shift in self.shifts)


@dataclass(frozen=True)
class Repeats:
    """Strands with no recorded difference, and how far apart they came out, ΔE00 of fresh looks.

    ``apart``: mean of every two, and ``farthest`` the largest of them; ``from_mean``: mean distance
    from the colour in their middle; ``noise``: what of ``apart`` the camera alone would make;
    ``spread``: ``apart`` without it. All None where fewer than two of them carry a figure, ``read``
    being how many do.
    """

    strands: tuple[Strand, ...]
    read: int
    apart: float | None
    from_mean: float | None
    noise: float | None
    spread: float | None
    words: str
    unrecorded: tuple[str, ...]
    farthest: float | None = None

    @property
    def private(self) -> bool:
        """Whether its figures rest on photographs that are kept private."""
        return self.words == KEPT_PRIVATE


@dataclass(frozen=True)
class Single:
    """A look worth having that was made once; ``words`` say what is not known of it."""

    strand: Strand
    words: str


@dataclass(frozen=True)
class Variation:
    """How far a finish may come out from the piece shown. ``made``: how many pieces of it there
    are. ``apart``: ΔE00 of the two farthest of them where it is its ``own``, else of the farthest
    repeats there are; None where nothing was made again. ``words``: "repeats closely"."""

    strand: Strand
    made: int
    apart: float | None
    own: bool
    words: str


@dataclass(frozen=True)
class Failure:
    """A piece that did not work, wholly or in part, under its ``cause`` in one spelling and in its
    maker's words. ``instead`` is the strand that worked with the fewest recorded differences from
    ``strand`` of this piece, in the factors ``differing``; None where no record tells enough."""

    entry: Entry
    cause: str
    words: str
    strand: Strand | None = None
    instead: Strand | None = None
    differing: tuple[str, ...] = ()
    cause_words: str = ""


@dataclass(frozen=True)
class Findings:
    """``audience``: those it is told to; as it is found it is the maker's own. What is asked for by
    piece is laid out once, when it is first asked for."""

    library: Library
    today: dt.date
    observations: tuple[Observation, ...]
    strands: tuple[Strand, ...]
    sisters: tuple[Sisters, ...]
    pairs: tuple[Pair, ...]
    failures: tuple[Failure, ...]
    problems: tuple[Problem, ...]
    series: tuple[Series, ...] = ()
    effects: tuple[Effect, ...] = ()
    repeats: tuple[Repeats, ...] = ()
    singles: tuple[Single, ...] = ()
    planned: tuple[Strand, ...] = ()  # written down, and neither begun nor come out
    strays: Mapping[str, str] = field(
        default_factory=dict
    )  # photographs that serve no comparison: why
    audience: Audience = PRIVATE
    variations: tuple[Variation, ...] = ()  # for those who are shown finishes, not records

    def strands_of(self, piece: str) -> tuple[Strand, ...]:
        return self._strands_of.get(piece, ())

    def planned_of(self, piece: str) -> tuple[Strand, ...]:
        return self._planned_of.get(piece, ())

    def singles_of(self, piece: str) -> tuple[Single, ...]:
        return self._singles_of.get(piece, ())

    def pairs_of(self, piece: str) -> tuple[Pair, ...]:
        """Those that it is either of; one of both is there once."""
        return self._pairs_of.get(piece, ())

    def sisters_of(self, piece: str) -> tuple[Sisters, ...]:
        """Those of which it is the sealed one."""
        return self._sisters_of.get(piece, ())

    def problems_in(self, folder: str) -> tuple[Problem, ...]:
        """Those of files in the folder, whose path is without its last ``/``, and below it."""
        return self._problems_in.get(folder, ())

    @cached_property
    def _strands_of(self) -> Mapping[str, tuple[Strand, ...]]:
        return _group((strand.entry.piece.piece, strand) for strand in self.strands)

    @cached_property
    def _planned_of(self) -> Mapping[str, tuple[Strand, ...]]:
        return _group((strand.entry.piece.piece, strand) for strand in self.planned)

    @cached_property
    def _singles_of(self) -> Mapping[str, tuple[Single, ...]]:
        return _group((single.strand.entry.piece.piece, single) for single in self.singles)

    @cached_property
    def _pairs_of(self) -> Mapping[str, tuple[Pair, ...]]:
        return _group(
            (piece, pair)
            for pair in self.pairs
            for piece in dict.fromkeys((pair.a.entry.piece.piece, pair.b.entry.piece.piece))
        )

    @cached_property
    def _sisters_of(self) -> Mapping[str, tuple[Sisters, ...]]:
        return _group((one.sealed.entry.piece.piece, one) for one in self.sisters)

    @cached_property
    def _problems_in(self) -> Mapping[str, tuple[Problem, ...]]:
        return _group(
            (folder, problem) for problem in self.problems for folder in _list_above(problem.file)
        )


def _group(found: Iterable[tuple[str, T]]) -> Mapping[str, tuple[T, ...]]:
    groups: dict[str, list[T]] = {}
    for name, one in found:
        groups.setdefault(name, []).append(one)
    return {name: tuple(some) for name, some in groups.items()}


def _list_above(file: str) -> Iterator[str]:
    """The folders a file lies in, from its own outwards."""
    while "/" in file:
        file = file.rpartition("/")[0]
        yield file
