"""Repeats: the same recipe made again, and how far apart it came out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from statistics import median

import numpy as np

from builder.measure.difference import delta_e_2000
from builder.records.plain_names import name_plainly
from builder.relate.factors import Factors, says_enough
from builder.relate.findings import Pair, Repeats, Single, Strand
from builder.relate.series import Places, group_alike, say_unrecorded

#: Spread of repeats, ΔE00 without the camera's part, up to which they are called so. Common
#: practice, no source.
CLOSELY_UNDER = 3.0
RECOGNISABLY_UP_TO = 6.0

#: How far apart noise alone puts two readings on the mean, as a part of their u. Noise alike in
#: three directions with σ each has the mean length √(8/π) σ (Maxwell's distribution) and stays
#: within 2.5003 σ ninety times in a hundred, which is u (the 0.90 quantile of χ² with three degrees
#: of freedom is 6.2514). Sources: J. C. Maxwell, Illustrations of the dynamical theory of gases,
#: Philosophical Magazine 19 (1860) 19-32; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.
MEAN_OF_NOISE = math.sqrt(8 / math.pi) / math.sqrt(6.2514)

SINGLE = "a single piece: nobody knows yet whether it repeats"
SILENT = "its record tells too little to know it again: nobody knows yet whether it repeats"
_WORTH_HAVING = frozenset({"yes", "y", "true"})


def find_repeats(
    strands: Sequence[Strand],
    factors: Sequence[Factors],
    near: Mapping[Places, str],
    pairs: Sequence[Pair],
) -> tuple[Repeats, ...]:
    """Groups with no recorded difference between any two, in the library's order; of ``pairs`` the
    figures of each two are taken."""
    figures = {(id(pair.a), id(pair.b)): pair for pair in pairs if not pair.factor}
    alike = [places for places, factor in near.items() if not factor]
    found = []
    for group in sorted(group_alike(alike, factors)):
        some = [strands[place] for place in group]
        two = [figures[id(a), id(b)] for a, b in combinations(some, 2)]
        found.append(_draw(some, two, say_unrecorded(group, strands, factors)))
    return tuple(found)


def find_singles(
    strands: Sequence[Strand], factors: Sequence[Factors], repeats: Sequence[Repeats]
) -> tuple[Single, ...]:
    """Successes and starred looks that were made once, in the library's order."""
    repeated = {id(strand) for one in repeats for strand in one.strands}
    return tuple(
        Single(strand, SINGLE if says_enough(record) else SILENT)
        for strand, record in zip(strands, factors, strict=True)
        if id(strand) not in repeated and _is_worth_having(strand)
    )


def take_noise_out(apart: float, u: float) -> tuple[float, float]:
    """What of a mean distance ``apart`` of readings whose differences have the noise ``u`` (ΔE00)
    the camera alone would make, and what is left for the pieces themselves.

    Mean lengths add in quadrature where both parts are alike in all directions: each is the same
    multiple of its σ, and variances add. Colours of pieces are seldom so even, so what is left is
    an approximation. Nothing is left where the noise alone would explain it.
    """
    noise = MEAN_OF_NOISE * u
    return noise, math.sqrt(max(0.0, apart**2 - noise**2))


def say_spread(spread: float, noise: float) -> str:
    """How repeats came out, in words; both in ΔE00."""
    if spread > RECOGNISABLY_UP_TO:
        return "repeats only in kind"
    if spread >= CLOSELY_UNDER:
        return "repeats recognisably"
    # What noise as great as this hides could be as great as itself.
    return "repeats closely" if noise < CLOSELY_UNDER else "cannot tell yet: readings too noisy"


def _draw(strands: Sequence[Strand], pairs: Sequence[Pair], unrecorded: tuple[str, ...]) -> Repeats:
    told = [(pair, pair.de00_fresh, pair.u) for pair in pairs]
    read = [(pair, de00, u) for pair, de00, u in told if de00 is not None and u is not None]
    if not read:
        words = "nothing can be said yet: fewer than two fresh looks that can be compared"
        return Repeats(tuple(strands), 0, None, None, None, None, words, unrecorded)
    among = {id(strand) for pair, _, _ in read for strand in (pair.a, pair.b)}
    labs = np.array([s.fresh.colour for s in strands if id(s) in among and s.fresh])
    apart = float(np.mean([de00 for _, de00, _ in read]))
    noise, spread = take_noise_out(apart, median(u for _, _, u in read))
    return Repeats(
        strands=tuple(strands),
        read=len(labs),
        apart=apart,
        from_mean=float(np.mean(delta_e_2000(labs, labs.mean(axis=0)))),
        noise=noise,
        spread=spread,
        words=say_spread(spread, noise),
        unrecorded=unrecorded,
        farthest=max(de00 for _, de00, _ in read),
    )


def _is_worth_having(strand: Strand) -> bool:
    piece = strand.entry.piece
    starred = piece.starred.given and name_plainly(piece.starred.written) in _WORTH_HAVING
    outcome = piece.outcome
    return starred or (
        outcome.given and name_plainly(outcome.value or outcome.written) == "success"
    )
