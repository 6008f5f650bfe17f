"""What one change does, over all sets of pieces that share everything else.

A set is one series: pieces that are equal in all but the factor. Within it the mean fresh colour of
those at one value is taken from the mean of those at another, so that a set with many repeats
weighs no more than one with few, and pieces are never counted over again as pairs. Of sealants it
is the colour after the cure; of the light a piece is kept in nothing is told, since what that does
is no matter of fresh colours.

What is claimed has to pass two gates. The first is the sign test over sets: were the change without
effect, a set would go either way like a tossed coin. It is exact, and asks nothing of how colours
spread. Since a library asks this of many changes at once, and of four aspects each, the 5 % are
shared out among all questions that could be answered with yes at all, so that a library in which
nothing does anything claims something in no more than one of twenty. The second gate is that the
median lies beyond what the readings alone would make of it: a lamp may be a little off for a whole
evening, and no number of sets mends that.

Sources: W. J. Dixon, A. M. Mood, The statistical sign test, Journal of the American Statistical
Association 41 (1946) 557-566; R. E. Tarone, A modified Bonferroni method for discrete data,
Biometrics 46 (1990) 515-522.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

import numpy as np

from builder.measure.arrays import Floats
from builder.records.photo import Lab
from builder.relate.differences import joint_u
from builder.relate.directions import HUE_FROM_CHROMA, ONE_OF_THREE, measure_ways, name_hue_step
from builder.relate.factors import FACTORS
from builder.relate.findings import Aspect, Effect, Look, Shift, Strand
from builder.relate.levels import Level, sort_levels
from builder.relate.series import Row, find_look
from builder.relate.wording import say_factor

#: Fewer sets than this are shown and not summed up. Common practice, no source.
LEAST_SETS = 3
#: The chance that is taken of claiming anything in a library where nothing does anything.
CHANCE = 0.05
#: A shift of coverage has to be beyond this, percentage points of the area. Common practice, no
#: source: the borders of a patchy colour are drawn no closer than that.
COVERAGE_NOISE = 5.0

Places = tuple[int, int]
Change = tuple[str, Level, Level]  # factor, from, to


@dataclass(frozen=True)
class Bucket:
    """One set at two values: mean L*a*b* of the looks at each, mean share of the metal
    covered (0 to 1; None where it is not known of all), the noise ``u`` of their difference in
    ΔE00, and the places of the strands."""

    before: Lab
    after: Lab
    covered: tuple[float, float] | None
    u: float
    places: tuple[int, ...] = ()


def find_effects(
    strands: Sequence[Strand],
    rows: Sequence[Row],
    near: Mapping[Places, str],
) -> tuple[Effect, ...]:
    """Every two values of a factor that some set has both of, by factor and value.

    ``rows`` are the series, ``near`` as ``find_near`` gives it.
    """
    found: dict[Change, list[Bucket]] = defaultdict(list)
    sides: dict[Change, tuple[list[int], list[int]]] = {}
    for row in (row for row in rows if row.factor != "light"):
        for (one, ones), (two, twos) in combinations(row.levels, 2):
            if any(near[min(pair), max(pair)] != row.factor for pair in product(ones, twos)):
                continue
            change = (row.factor, one, two)
            for side, places in zip(sides.setdefault(change, ([], [])), (ones, twos), strict=True):
                side.extend(places)
            bucket = _draw_bucket(strands, row.factor, ones, twos)
            if bucket is not None:
                found[change].append(bucket)
    changes = [change for factor in FACTORS for change in _sort_changes(factor, sides)]
    shifts = weigh({change: found[change] for change in changes})
    least = sets_to_claim(shift for some in shifts.values() for shift in some)
    return tuple(
        Effect(
            factor=change[0],
            first=say_factor(strands[sides[change][0][0]], change[0]),
            second=say_factor(strands[sides[change][1][0]], change[0]),
            sets=len(found[change]),
            pieces=_count_pieces(found[change]),
            strands=tuple(strands[place] for side in sides[change] for place in side),
            shifts=shifts[change],
            words=_say_effect(found[change], shifts[change], least),
        )
        for change in changes
    )


def weigh(buckets: Mapping[Change, Sequence[Bucket]]) -> dict[Change, tuple[Shift, ...]]:
    """The shifts of each change, with those claimed that pass both gates; () for too few sets."""
    enough = {change: some for change, some in buckets.items() if len(some) >= LEAST_SETS}
    flat = [bucket for some in enough.values() for bucket in some]
    ways = iter(measure_ways([b.before for b in flat], [b.after for b in flat]) if flat else ())
    shifts: dict[Change, tuple[Shift, ...]] = dict.fromkeys(buckets, ())
    for change, some in enough.items():
        shifts[change] = tuple(_measure_shifts(some, np.array([next(ways) for _ in some])))
    limit = share_out([shift for some in shifts.values() for shift in some])
    return {
        change: tuple(
            replace(shift, claimed=shift.p <= limit and abs(shift.size) > shift.noise)
            for shift in some
        )
        for change, some in shifts.items()
    }


def share_out(shifts: Sequence[Shift]) -> float:
    """The chance each single question is allowed, so that all together keep to ``CHANCE``.

    A question that could not be answered with yes whatever came out takes no share: Tarone's K is
    the least number for which no more than K questions can reach CHANCE / K.
    """
    return _share_out([shift.rose + shift.fell for shift in shifts])


def sets_to_claim(shifts: Iterable[Shift]) -> int:
    """The fewest sets, all going one way, of which anything could be claimed beside these
    ``shifts``. Of each change two questions are always asked: lightness and chroma."""
    asked = [shift.rose + shift.fell for shift in shifts]
    own = itertools.count(LEAST_SETS)
    return next(sets for sets in own if least_p(sets) <= _share_out([*asked, sets, sets]))


def _share_out(sets: Sequence[int]) -> float:
    reach = sorted(map(least_p, sets))
    for share in range(1, len(reach) + 1):
        if bisect_right(reach, CHANCE / share) <= share:
            return CHANCE / share
    return CHANCE


def least_p(sets: int) -> float:
    """The least the two-sided sign test can come to with so many sets that went either way."""
    return min(1.0, math.ldexp(2.0, -sets))


def sign_test(rose: int, fell: int) -> float:
    """Two-sided p of a fair coin showing so uneven a count."""
    n, most = rose + fell, max(rose, fell)
    ways: int = sum(math.comb(n, k) for k in range(most, n + 1))
    return min(1.0, 2 * ways / (1 << n))


def _sort_changes(factor: str, changes: Iterable[Change]) -> list[Change]:
    own = [change for change in changes if change[0] == factor]
    levels = sort_levels(factor, list({level for change in own for level in change[1:]}))
    at = {level: place for place, level in enumerate(levels)}
    # Two values come in the same order in every set.
    return sorted(own, key=lambda change: (at[change[1]], at[change[2]]))


def _draw_bucket(
    strands: Sequence[Strand], factor: str, ones: Sequence[int], twos: Sequence[int]
) -> Bucket | None:
    """None where no look on the one side may be compared with one on the other."""
    looks = {
        place: look
        for place in (*ones, *twos)
        if (look := find_look(strands[place], factor)) and look.colour is not None
    }
    lights = Counter(look.observation.file.light for look in looks.values())
    light = lights.most_common(1)[0][0] if lights else None
    before, after = (
        [looks[p] for p in side if p in looks and looks[p].observation.file.light is light]
        for side in (ones, twos)
    )
    if not before or not after:
        return None
    covered = _mean_cover(before), _mean_cover(after)
    noise = [joint_u(one, two) ** 2 for one, two in product(before, after)]
    used = {id(look) for look in (*before, *after)}
    return Bucket(
        before=_mean_colour(before),
        after=_mean_colour(after),
        covered=None if covered[0] is None or covered[1] is None else (covered[0], covered[1]),
        u=math.sqrt(sum(noise) / len(noise)),
        places=tuple(place for place, look in looks.items() if id(look) in used),
    )


def _mean_colour(looks: Sequence[Look]) -> Lab:
    L, a, b = zip(*(look.colour for look in looks if look.colour), strict=True)
    return sum(L) / len(L), sum(a) / len(a), sum(b) / len(b)


def _mean_cover(looks: Sequence[Look]) -> float | None:
    shares = [look.coverage.share if look.coverage else None for look in looks]
    told = [share for share in shares if share is not None]
    return sum(told) / len(told) if len(told) == len(shares) else None


def _measure_shifts(buckets: Sequence[Bucket], ways: Floats) -> Iterator[Shift]:
    """One shift an aspect; ``ways`` (n, 4) as ``measure_ways`` gives them."""
    before, after = (
        np.array([getattr(bucket, side) for bucket in buckets]) for side in ("before", "after")
    )
    chroma = np.hypot(before[:, 1], before[:, 2]), np.hypot(after[:, 1], after[:, 2])
    u = ONE_OF_THREE * np.array([bucket.u for bucket in buckets])
    lightness = after[:, 0] - before[:, 0]
    yield _weigh(Aspect.LIGHTNESS, lightness, ways[:, 1], u)
    yield _weigh(Aspect.CHROMA, chroma[1] - chroma[0], ways[:, 2], u)
    # Below that chroma a hue is noise, and its turn says nothing.
    hued = np.minimum(*chroma) >= HUE_FROM_CHROMA
    if hued.sum() >= LEAST_SETS:
        turns = [np.degrees(np.arctan2(lab[hued, 2], lab[hued, 1])) for lab in (before, after)]
        turn = 180 - (180 - (turns[1] - turns[0])) % 360
        shift = _weigh(Aspect.HUE, turn, ways[hued, 3], u[hued])
        some = [bucket for bucket, told in zip(buckets, hued, strict=True) if told]
        yield replace(shift, words=_name_turn(some, turn, shift.median))
    covered = [bucket.covered for bucket in buckets if bucket.covered is not None]
    if len(covered) >= LEAST_SETS:
        points = np.array([100 * (two - one) for one, two in covered])
        noise = np.full(len(points), COVERAGE_NOISE)
        yield _weigh(Aspect.COVERAGE, points, np.abs(points), noise)


def _weigh(aspect: Aspect, shifts: Floats, sizes: Floats, noise: Floats) -> Shift:
    low, median, high = (float(value) for value in np.percentile(shifts, [25, 50, 75]))
    rose, fell = int((shifts > 0).sum()), int((shifts < 0).sum())
    return Shift(
        aspect=aspect,
        sets=len(shifts),
        median=median,
        low=low,
        high=high,
        rose=rose,
        fell=fell,
        size=float(np.median(np.sign(shifts) * sizes)),
        noise=float(np.median(noise)),
        p=sign_test(rose, fell),
        words=_WAYS[aspect][median > 0] if median else NEITHER_WAY,
    )


NEITHER_WAY = "neither way"
_WAYS = {
    Aspect.LIGHTNESS: ("darker", "lighter"),
    Aspect.CHROMA: ("greyer", "stronger in colour"),
    Aspect.HUE: ("to another hue", "to another hue"),
    Aspect.COVERAGE: ("less covered", "more covered"),
}
_FIGURES = {
    Aspect.LIGHTNESS: "ΔL* {}",
    Aspect.CHROMA: "ΔC* {}",
    Aspect.HUE: "hue {}°",
    Aspect.COVERAGE: "coverage {} points",
}


def _name_turn(buckets: Sequence[Bucket], turns: Floats, median: float) -> str:
    """What most of the sets that turned with the median did: "brown to green", "redder"."""
    named = Counter(
        name_hue_step(bucket.before, bucket.after)
        for bucket, turn in zip(buckets, turns, strict=True)
        if turn * median > 0
    )
    return named.most_common(1)[0][0] if named else _WAYS[Aspect.HUE][0]


def _count_pieces(buckets: Sequence[Bucket]) -> int:
    return len({place for bucket in buckets for place in bucket.places})


def _say_effect(buckets: Sequence[Bucket], shifts: Sequence[Shift], least: int) -> str:
    """One sentence. It names no value of the factor: those may be private."""
    if not buckets:
        return "No set of them can be compared yet."
    of = f"{len(buckets)} {'set' if len(buckets) == 1 else 'sets'}"
    of += f", {_count_pieces(buckets)} pieces"
    if not shifts:
        return f"Too few to generalise: {of}."
    claimed = [shift.words for shift in shifts if shift.claimed]
    if not claimed and len(buckets) < least:
        return f"Too few to claim anything: {of}."
    if not claimed:
        return f"Nothing beyond chance and the noise of readings: {of}."
    told = "; ".join(claimed)
    return f"{told[:1].upper()}{told[1:]}: {of}."


def say_shift(shift: Shift) -> str:
    """ "8 of 8 sets went darker: ΔL* −4.2, half of them −5.0 to −3.1"."""
    agree = shift.rose if shift.median > 0 else shift.fell
    median, low, high = (_say_signed(value) for value in (shift.median, shift.low, shift.high))
    told = f"{_FIGURES[shift.aspect].format(median)}, half of them {low} to {high}"
    if median == "0.0":
        return f"{shift.sets} sets on the whole went {NEITHER_WAY}: {told}"
    return f"{agree} of {shift.sets} sets went {shift.words}: {told}"


def _say_signed(value: float) -> str:
    return f"{value:+.1f}".replace("-", "−").replace("+0.0", "0.0").replace("−0.0", "0.0")
