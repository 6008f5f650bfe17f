"""What to try next: untried combinations one step from tried ones, and looks worth repeating.

Score = 2 × squares completed + series of two given a third point + 1 where a bare or sealed sister
is missing + 1 where a starred look was never repeated − 1 where it takes more than a fortnight.
That a test differs from many pieces by one thing decides nothing: nearly all do. What has to be
bought costs nothing, since a test takes all it needs from pieces that were made. The third test
like one piece takes its turn as if it scored one less, the fourth two; of those that score alike
one comes first whose pieces the tests before it do not join yet. Common practice, no source.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.records.hazards import Loudness
from builder.records.piece import Piece
from builder.relate.cautions import cautions_in
from builder.relate.cures import is_cure
from builder.relate.factors import Factors, differing, list_factors, says_enough
from builder.relate.failures import FAILED, name_cause, name_outcome
from builder.relate.findings import Findings, Strand
from builder.relate.hazards import forbidden
from builder.relate.new_points import SERIES, Point, find_point, first_number, is_series
from builder.relate.planned import Planned, piece_of, record_of, wait_of
from builder.relate.squares import Corners, Lines, put
from builder.relate.synonyms import BARE, FINISH_SEALS
from builder.relate.tried_levels import ORDER, PLACE, UNTOLD, Row, draw_levels
from builder.relate.undisturbed import undisturbed

#: Tests asked for where nobody says how many.
USUAL = 10
#: What came out so is not made again, unless its cause is what is changed.
_FAULTY = ("failure", "part success")
#: A success made once that this many others can be held against is worth making again.
OFT_USED = 3
_FORTNIGHT = 14  # days
#: So many tests like one piece take their turn by their score alone.
_LIKE_ONE = 2
#: So many that score as well as any other can are looked at before one of them is taken.
_ENOUGH = 200
_SEALANT = PLACE["sealant"]


@dataclass(frozen=True)
class Square:
    """A square that a test completes. ``beside`` has the test's own value of the factor ``row``,
    ``below`` that of ``column``, ``across`` neither."""

    row: str
    column: str
    beside: Strand
    across: Strand
    below: Strand

    @property
    def corners(self) -> tuple[Strand, Strand, Strand]:
        return self.beside, self.across, self.below


@dataclass(frozen=True)
class NextTest:
    """A test to do, as ``plan`` says, and why.

    ``squares`` are those it completes, the clearest first; ``series`` those of two that it adds a
    point to, as factor and the two that are there; ``sister`` the piece whose bare or sealed sister
    it would be. ``rests`` counts the pieces held against the one it repeats, 0 where it repeats
    none. ``days`` until it can be looked at; ``score`` as the module says.
    """

    plan: Planned
    squares: tuple[Square, ...]
    series: tuple[tuple[str, Strand, Strand], ...]
    sister: Strand | None
    starred: bool
    rests: int
    days: float
    score: int

    @property
    def joined(self) -> tuple[Strand, ...]:
        """The pieces it joins: three corners of its first square, or else those that its series,
        its sister or itself are like."""
        if self.squares:
            return self.squares[0].corners
        strands = [*(two for _, *both in self.series for two in both), self.sister, self.plan.base]
        return tuple({id(strand): strand for strand in strands if strand}.values())


def find_tests(findings: Findings, count: int = USUAL) -> tuple[NextTest, ...]:
    """The tests to do next, best first, at most ``count``; the same for the same records."""
    within = findings.library.settings.tolerances
    factors = [list_factors(strand, within) for strand in findings.strands]
    planned = [list_factors(strand, within) for strand in findings.planned]
    return rank_tests(findings.strands, factors, planned, count)


def say_no_test(findings: Findings) -> str:
    """Why no test is proposed, in a sentence."""
    factors = [list_factors(strand) for strand in findings.strands]
    if not any(map(says_enough, factors)):
        return "No test to propose yet: one needs pieces whose metal, method and recipe are noted."
    if rank_tests(findings.strands, factors, count=1):
        return "No other test to propose: all that could be asked for is planned already."
    return (
        "No test to propose: what was made lacks no square, third point or sister that could be "
        "asked for. Change one thing of a piece you like, and there will be."
    )


@undisturbed()
def rank_tests(
    strands: Sequence[Strand],
    factors: Sequence[Factors],
    planned: Sequence[Factors] = (),
    count: int = USUAL,
) -> tuple[NextTest, ...]:
    """As :func:`find_tests`. ``factors`` as strands; ``planned``: those of pieces to be made."""
    return _Search(strands, factors, planned).find(count)


Rank = tuple[int, bool, bool, int, int, Row]


class _Taken:
    """The tests taken so far, and what they leave for the others."""

    def __init__(self) -> None:
        self.tests: list[NextTest] = []
        self._like: Counter[int] = Counter()
        self._joined: Counter[int] = Counter()

    def take(self, test: NextTest) -> None:
        self.tests.append(test)
        self._like[id(test.plan.base.entry)] += 1
        self._joined.update(_pieces_of(test))

    def turn_of(self, test: NextTest) -> int:
        """Its score, less one for every test like the same piece that is one too many."""
        return test.score - max(0, 1 + self._like[id(test.plan.base.entry)] - _LIKE_ONE)

    def shares(self, test: NextTest) -> int:
        """How often the tests before it have joined its pieces."""
        return sum(self._joined[piece] for piece in _pieces_of(test))


def _is_barred(piece: Piece) -> bool:
    """Whether its mixture is forbidden, or things that must never meet stand in its steps or
    notes."""
    never = (caution.loudness is Loudness.NEVER for caution in cautions_in(piece))
    return any(forbidden(piece)) or any(never)


def _pieces_of(test: NextTest) -> set[int]:
    return {id(strand.entry) for strand in (test.plan.base, *test.joined)}


def _count_from(counts: Counter[int], least: int) -> int:
    return sum(count for number, count in counts.items() if number >= least)


class _Search:
    """The tried pieces, laid out so that each question is a look into a bucket."""

    def __init__(
        self, strands: Sequence[Strand], factors: Sequence[Factors], planned: Sequence[Factors]
    ) -> None:
        told = [pair for pair in zip(strands, factors, strict=True) if says_enough(pair[1])]
        ahead = [record for record in planned if says_enough(record)]
        self._place = {id(strand): place for place, (strand, _) in enumerate(told)}
        self._record = {id(strand): record for strand, record in told}
        self._levels = draw_levels([*(record for _, record in told), *ahead])
        rows = self._levels.rows
        self._planned = frozenset(rows[len(told) :])
        self._of: dict[Row, list[Strand]] = defaultdict(list)
        self._first: dict[tuple[int, int], Strand] = {}
        for (strand, _), row in zip(told, rows[: len(told)], strict=True):
            self._of[row].append(strand)
            for place, level in enumerate(row):
                self._first.setdefault((place, level), strand)
        self._lines = Lines(self._of)
        kinds = [parts["kind"] for parts in self._levels.parts["sealant"]]
        self._bare = {level for level, kind in enumerate(kinds) if kind == BARE}
        self._sealed = {
            level for level, kind in enumerate(kinds) if kind not in (BARE, FINISH_SEALS)
        }
        self._points: dict[tuple[int, int], Point] = {}

    def find(self, count: int) -> tuple[NextTest, ...]:
        """Best first. A hope is a score before its cost: once enough tests are as good as the best
        hope that is left, no other needs a closer look before one of them is taken."""
        hopes = deque(sorted(self._hopes(), key=lambda item: (-item[0], item[1])))
        pool: list[tuple[Rank, NextTest]] = []
        taken = _Taken()
        while len(taken.tests) < count:
            turns = Counter(taken.turn_of(test) for _, test in pool)
            while hopes and _count_from(turns, hopes[0][0]) < _ENOUGH:
                hope, row = hopes.popleft()
                test = self._repeat(row) if row in self._lines else self._build(row, hope)
                if test is not None:
                    pool.append((self._rank(test, row), test))
                    turns[taken.turn_of(test)] += 1
            if not pool:
                break
            best = min(pool, key=lambda one: (-taken.turn_of(one[1]), taken.shares(one[1]), one[0]))
            pool.remove(best)
            taken.take(best[1])
        return tuple(taken.tests)

    def _rank(self, test: NextTest, row: Row) -> Rank:
        base = test.plan.base
        unclear = name_outcome(base.entry) != "success"
        place = self._place[id(base)]
        return -len(test.squares), test.sister is None, unclear, -test.rests, place, row

    def _hopes(self) -> Iterator[tuple[int, Row]]:
        squares = self._lines.count_squares()
        new = {*squares, *self._missing_sisters(), *self._new_points()}
        for row in new - self._planned:
            sister = self._sister_of(row) is not None
            yield 2 * squares.get(row, 0) + len(list(self._series_of(row))) + sister, row
        for row in self._lines.rows:
            if self._worth_repeating(row):
                yield int(self._is_starred(row)), row

    # Squares, sisters, series

    def _missing_sisters(self) -> Iterator[Row]:
        usual = self._usual_sealants()
        for line in self._lines.every(_SEALANT):
            levels = {row[_SEALANT] for row in line}
            if levels & self._sealed and not levels & self._bare:
                level = min(self._bare, default=None)
                if level is None:
                    level = self._levels.number("sealant", {"kind": BARE})
                    self._bare.add(level)
                yield put(line[0], _SEALANT, level)
            if levels & self._bare and not levels & self._sealed:
                kinds = [(PLACE[f], line[0][PLACE[f]]) for f in ("method", "metal")]
                found = next((usual[kind] for kind in kinds if kind in usual), usual.get((-1, 0)))
                if found is not None:
                    yield put(line[0], _SEALANT, found)

    def _usual_sealants(self) -> Mapping[tuple[int, int], int]:
        """The sealant most used, by method, by metal and (at (−1, 0)) on all, where it did not
        fail."""
        counts: dict[tuple[int, int], Counter[int]] = defaultdict(Counter)
        for row in self._lines.rows:
            if row[_SEALANT] in self._sealed and not self._failed(row):
                for place in (PLACE["method"], PLACE["metal"]):
                    counts[place, row[place]][row[_SEALANT]] += len(self._of[row])
                counts[-1, 0][row[_SEALANT]] += len(self._of[row])
        return {
            kind: min(count, key=lambda level: (-count[level], level))
            for kind, count in counts.items()
        }

    def _sister_of(self, row: Row) -> Strand | None:
        """The piece whose only bare, or only sealed, sister the row would be."""
        own, other = self._bare, self._sealed
        if row[_SEALANT] in self._sealed:
            own, other = other, own
        elif row[_SEALANT] not in self._bare:
            return None
        line = self._lines.along(row, _SEALANT)
        if any(like[_SEALANT] in own for like in line):
            return None
        return next((self._lead(like) for like in line if like[_SEALANT] in other), None)

    def _series_of(self, row: Row) -> Iterator[tuple[str, Strand, Strand]]:
        for factor in SERIES:
            place = PLACE[factor]
            line = self._lines.along(row, place) if row[place] != UNTOLD else ()
            if len(line) != 2 or row in line:
                continue
            parts = self._levels.parts[factor]
            if is_series([parts[like[place]] for like in (*line, row)]):
                one, other = map(self._lead, line)
                yield factor, one, other

    def _new_points(self) -> Iterator[Row]:
        for factor in SERIES:
            place, parts = PLACE[factor], self._levels.parts[factor]
            for line in self._lines.every(place):
                if len(line) != 2 or not is_series([parts[row[place]] for row in line]):
                    continue
                point = find_point(factor, *(parts[row[place]] for row in line))
                last = max(line, key=lambda row: first_number(parts[row[place]]))
                # Further than what did not come out is no way to go.
                if point is not None and not (point.beyond and self._came_out_short(last)):
                    level = self._levels.number(factor, point.parts)
                    self._points.setdefault((place, level), point)
                    yield put(line[0], place, level)

    # Looks worth making again

    def _worth_repeating(self, row: Row) -> bool:
        strands = self._of[row]
        if len({id(strand.entry) for strand in strands}) != 1 or self._lead(row).zone:
            return False
        if row in self._planned:
            return False
        if name_outcome(strands[0].entry) != "success":
            return False
        return self._is_starred(row) or self._rests_on(row) >= OFT_USED

    def _is_starred(self, row: Row) -> bool:
        starred = self._lead(row).entry.piece.starred
        return starred.given and starred.written.strip().casefold() not in ("no", "false", "")

    def _rests_on(self, row: Row) -> int:
        places = (place for place, level in enumerate(row) if level != UNTOLD)
        return sum(len(self._lines.along(row, place)) - 1 for place in places)

    def _repeat(self, row: Row) -> NextTest | None:
        plan = Planned(self._lead(row))
        piece = piece_of(plan)
        if _is_barred(piece):
            return None
        days, starred = wait_of(piece), self._is_starred(row)
        score = starred - (days > _FORTNIGHT)
        return NextTest(plan, (), (), None, starred, self._rests_on(row), days, score)

    # One candidate in full

    def _build(self, row: Row, hope: int) -> NextTest | None:
        """None where it has a failure's fault, is forbidden, or is tried but for a tolerance."""
        near = [
            (place, like)
            for place, level in enumerate(row)
            if level != UNTOLD
            for like in self._lines.along(row, place)
        ]
        if any(self._repeats_fault(like, row, place) for place, like in near):
            return None
        corners = sorted(self._lines.list_squares(row), key=self._unclear)
        plan = self._plan(row, near, corners)
        piece, record = piece_of(plan), record_of(plan, lambda strand: self._record[id(strand)])
        tried = (self._record[id(self._lead(like))] for _, like in near)
        if not all(any(differing(record, one)) for one in tried) or _is_barred(piece):
            return None
        days = wait_of(piece)
        return NextTest(
            plan,
            tuple(map(self._square, corners)),
            tuple(self._series_of(row)),
            self._sister_of(row),
            starred=False,
            rests=0,
            days=days,
            score=hope - (days > _FORTNIGHT),
        )

    def _plan(
        self, row: Row, near: Sequence[tuple[int, Row]], corners: Sequence[Corners]
    ) -> Planned:
        """As which tried piece: one of which the last thing done is changed, which is the least
        work."""
        place, like = min(near, key=lambda at: (-at[0], self._failed(at[1]), self._at(at[1])))
        level, factor = row[place], ORDER[place]
        point = self._points.get((place, level))
        if point is not None:
            return Planned(self._lead(like), factor, point=point)
        of_square = (
            corner.beside if corner.one == place else corner.below
            for corner in corners
            if place in (corner.one, corner.two)
        )
        donor = next(map(self._lead, of_square), self._first.get((place, level)))
        return Planned(self._lead(like), factor, donor)

    def _unclear(self, corners: Corners) -> int:
        """How many corners of a square did not come out."""
        three = (corners.beside, corners.across, corners.below)
        return sum(name_outcome(self._lead(row).entry) != "success" for row in three)

    def _square(self, corners: Corners) -> Square:
        return Square(
            ORDER[corners.one],
            ORDER[corners.two],
            self._lead(corners.beside),
            self._lead(corners.across),
            self._lead(corners.below),
        )

    def _repeats_fault(self, failed: Row, row: Row, place: int) -> bool:
        """Whether a tried row failed and what is changed of it is not its cure."""
        if not self._failed(failed):
            return False
        parts = self._levels.parts[ORDER[place]]
        before, after = parts[failed[place]], parts[row[place]]
        causes = [name_cause(strand.entry) for strand in self._of[failed]]
        return not all(is_cure(cause, ORDER[place], before, after) for cause in causes)

    def _failed(self, row: Row) -> bool:
        outcomes = {name_outcome(strand.entry) for strand in self._of[row]}
        return not outcomes.isdisjoint(_FAULTY) and "success" not in outcomes

    def _came_out_short(self, row: Row) -> bool:
        return all(name_outcome(strand.entry) in FAILED for strand in self._of[row])

    def _lead(self, row: Row) -> Strand:
        """The piece that stands for those alike: a whole one before a zone, then the first."""
        return min(self._of[row], key=lambda s: (bool(s.zone), self._place[id(s)]))

    def _at(self, row: Row) -> int:
        return self._place[id(self._lead(row))]
