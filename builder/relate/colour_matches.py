"""Which pieces are nearest to a colour, patch by patch and area by area.

How near a piece comes to a colour is told in one place, :func:`score_patches`, and how near to all
the colours of another piece in :func:`lay_over`; ``assets/colours.js`` does the same sums in the
browser, and both are held to ``tests/data/colour_scores.csv`` and ``colour_sets.csv``.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_2000
from builder.records.photo import ColourShare, Lab
from builder.relate.findings import Findings, Look, Strand
from builder.relate.strands import name_strand
from builder.relate.visible import DAYS_A_MONTH

#: What a piece pays, ΔE00, if none of its area counts: as much as a clear difference over all of
#: it. Common practice, no source.
AREA_COST = 10.0

#: Months after the start of watch, within which a look stands for twelve. Common practice, no
#: source.
TWELVE_MONTHS = 12.0
AROUND_TWELVE = (10.0, 15.0)

#: ΔE00 up to which a difference is said so; beyond the last it is another colour. Common practice,
#: no source.
STEPS = (
    (1.0, "no difference to be seen"),
    (2.0, "seen only side by side"),
    (5.0, "a slight difference"),
    (10.0, "a clear difference"),
)
ANOTHER = "another colour"
WITHIN_NOISE = "the same within the noise of the reading"

#: ΔE00 beyond which a piece is not called of a colour. Common practice, no source.
OUT_OF_REACH = 5.0

_NOTHING = 1e-9  # of an area or a ΔE00: what sums leave over


@dataclass(frozen=True)
class Candidate:
    """One zone of a piece as it may be found. ``twelve`` is its look twelve months after its watch
    began, None where there is none; ``repeated`` whether another piece was made alike in every
    recorded factor."""

    strand: Strand
    latest: Look
    twelve: Look | None
    repeated: bool

    def look(self, at_twelve: bool) -> Look | None:
        """The look it is judged by."""
        return self.twelve if at_twelve else self.latest


@dataclass(frozen=True)
class Match:
    """How near a candidate comes: ``share`` of its area, 0 to 1, lies within ``de00`` of the
    colour, its patch ``lab`` just so far. ``least`` is the ΔE00 of its nearest patch, however
    small, ``half`` that within which half of its area lies; ``score`` is what it is ranked by.

    ``whole`` where it was held against several colours, area against area: ``de00`` is then the
    mean over the area, and so are ``half`` and ``score``; ``lab`` is its largest patch."""

    candidate: Candidate
    look: Look
    score: float
    de00: float
    share: float
    lab: Lab
    least: float
    half: float
    u: float
    whole: bool = False


def score_patches(de00: Floats, shares: Floats) -> tuple[npt.NDArray[Any], ...]:
    """ΔE00 (n, k) of patches from a colour and their shares (n, k), each row summing to 1 at most
    → score, ΔE00, share and place of a patch, (n) each.

    ::

        score = min over patches p of  ΔE00(p) + AREA_COST × (1 − area within ΔE00(p))

    The area within ΔE00(p) is that of all patches as near as p or nearer. So a piece wholly of a
    colour scores its ΔE00, a mottled one that of its farthest tone where all are near, and a speck
    of the right colour pays for all that is not. ΔE00, share and place given back are those of
    the patch the minimum is at. A patch of no area never counts.
    """
    order = np.argsort(de00, axis=1, kind="stable")
    near = np.take_along_axis(de00, order, axis=1)
    area = np.take_along_axis(shares, order, axis=1)
    within = np.minimum(np.cumsum(area, axis=1), 1.0)
    score = np.where(area > 0, near + AREA_COST * (1.0 - within), np.inf)
    best = score.argmin(axis=1)[:, None]
    tables = (score, near, within, order)
    return tuple(np.take_along_axis(table, best, axis=1)[:, 0] for table in tables)


def list_candidates(findings: Findings) -> tuple[Candidate, ...]:
    """Every zone of the last attempt at each piece that has a reading to go by."""
    last: dict[str, int] = {}
    for strand in findings.strands:
        piece = strand.entry.piece
        last[piece.piece] = max(last.get(piece.piece, 0), piece.attempt)
    repeats = {
        id(strand)
        for pair in findings.pairs
        if not pair.factor and pair.a.entry.piece.piece != pair.b.entry.piece.piece
        for strand in (pair.a, pair.b)
    }
    return tuple(
        Candidate(strand, look, find_at_twelve(strand), id(strand) in repeats)
        for strand in findings.strands
        if strand.entry.piece.attempt == last[strand.entry.piece.piece]
        and (look := _latest(strand)) is not None
    )


def find_at_twelve(strand: Strand) -> Look | None:
    """The look nearest to twelve months after the start of watch, between ten and fifteen; None
    where there is none."""
    if strand.baseline is None or strand.baseline.taken is None:
        return None
    began = strand.baseline.taken
    found = [
        (abs(months - TWELVE_MONTHS), place)
        for place, look in enumerate(strand.looks)
        if look.taken is not None
        and _serves(look)
        and AROUND_TWELVE[0]
        <= (months := (look.taken - began).days / DAYS_A_MONTH)
        <= AROUND_TWELVE[1]
    ]
    return strand.looks[min(found)[1]] if found else None


def rank(
    colour: Lab, candidates: Sequence[Candidate], at_twelve: bool = False
) -> tuple[Match, ...]:
    """The candidates nearest first, by how near their patches are to ``colour`` (L*a*b*, D65).
    Those without a look to be judged by are left out."""
    looks = [(c, look) for c in candidates if (look := c.look(at_twelve)) is not None]
    if not looks:
        return ()
    patches = [list_patches(look) for _, look in looks]
    most = max(map(len, patches))
    labs = np.zeros((len(looks), most, 3))
    shares = np.zeros((len(looks), most))
    for row, colours in enumerate(patches):
        labs[row, : len(colours)] = [c.lab for c in colours]
        shares[row, : len(colours)] = [c.share for c in colours]
    de00 = np.where(shares > 0, delta_e_2000(labs, np.array(colour)), np.inf)
    score, near, within, place = (told.tolist() for told in score_patches(de00, shares))
    least, half = de00.min(axis=1).tolist(), _within_half(de00, shares).tolist()
    matches = [
        Match(
            candidate,
            look,
            score[row],
            near[row],
            within[row],
            patches[row][place[row]].lab,
            least[row],
            half[row],
            look.reading.u if look.reading else 0.0,
        )
        for row, (candidate, look) in enumerate(looks)
    ]
    return tuple(sorted(matches, key=lambda match: match.score))


def rank_like(
    tones: Sequence[ColourShare], candidates: Sequence[Candidate], at_twelve: bool = False
) -> tuple[Match, ...]:
    """The candidates nearest first, by how near they come to all of ``tones``, each over its own
    share of the area; to a single one as :func:`rank` has it."""
    if len(tones) == 1:
        return rank(tones[0].lab, candidates, at_twelve)
    wanted = np.array([tone.lab for tone in tones])
    matches = []
    for candidate in candidates:
        look = candidate.look(at_twelve)
        if look is None:
            continue
        patches = list_patches(look)
        de00 = delta_e_2000(np.array([c.lab for c in patches])[:, None, :], wanted)
        mean = lay_over(de00.tolist(), [c.share for c in patches], [tone.share for tone in tones])
        u = look.reading.u if look.reading else 0.0
        largest, least = patches[0].lab, float(de00.min())
        matches.append(Match(candidate, look, mean, mean, 1.0, largest, least, mean, u, whole=True))
    return tuple(sorted(matches, key=lambda match: match.score))


def lay_over(
    de00: Sequence[Sequence[float]], shares: Sequence[float], wanted: Sequence[float]
) -> float:
    """How far apart two surfaces are, part laid upon part: the mean ΔE00 over the area, with the
    parts laid so that it is the least.

    ``de00[i][j]`` is the ΔE00 of patch i of the one, of ``shares[i]`` of its area, from patch j of
    the other, of ``wanted[j]``; shares count as parts of their sum. Source: the transportation
    problem, solved by least-cost paths; e.g. Ahuja, Magnanti and Orlin, Network Flows (1993), 9.7.
    """
    left = [share / sum(shares) for share in shares]
    room = [share / sum(wanted) for share in wanted]
    laid = [[0.0] * len(room) for _ in left]
    while max(left) > _NOTHING and max(room) > _NOTHING:
        path = _find_path(de00, laid, left, room)
        part = min(left[path[0][0]], room[path[-1][1]], *(laid[i][j] for i, j in path[1::2]))
        for step, (i, j) in enumerate(path):
            laid[i][j] += -part if step % 2 else part
        left[path[0][0]] -= part
        room[path[-1][1]] -= part
    costs, parts = itertools.chain(*de00), itertools.chain(*laid)
    return sum(cost * part for cost, part in zip(costs, parts, strict=True))


def _find_path(
    de00: Sequence[Sequence[float]],
    laid: Sequence[Sequence[float]],
    left: Sequence[float],
    room: Sequence[float],
) -> list[tuple[int, int]]:
    """The cheapest way to lay a part that is left where there is room: (i, j) that gain by turns
    with (i, j) that lose what was laid."""
    here = [0.0 if share > _NOTHING else math.inf for share in left]
    there = [math.inf] * len(room)
    ways: list[list[tuple[int, int]]] = [[] for _ in left]
    came: list[list[tuple[int, int]]] = [[] for _ in room]
    moved = True
    while moved:
        moved = False
        for i, j in itertools.product(range(len(left)), range(len(room))):
            if here[i] + de00[i][j] < there[j] - _NOTHING:
                there[j], came[j] = here[i] + de00[i][j], [*ways[i], (i, j)]
                moved = True
            if laid[i][j] > _NOTHING and there[j] - de00[i][j] < here[i] - _NOTHING:
                here[i], ways[i] = there[j] - de00[i][j], [*came[j], (i, j)]
                moved = True
    return came[min((j for j, share in enumerate(room) if share > _NOTHING), key=there.__getitem__)]


def list_patches(look: Look) -> tuple[ColourShare, ...]:
    """The colours a look is judged by, with their shares, the largest first. They are rounded as
    the page is given them, so that page and command come to the same figures."""
    colours = look.reading.colours if look.reading is not None else ()
    return tuple(
        ColourShare((round(L, 2) + 0.0, round(a, 2) + 0.0, round(b, 2) + 0.0), round(share, 4))
        for (L, a, b), share in ((colour.lab, colour.share) for colour in colours)
    )


def say_nearness(de00: float, u: float = 0.0) -> str:
    """A ΔE00 in words; within its noise ``u`` it says no more than that."""
    if de00 <= u:
        return WITHIN_NOISE
    return next((words for most, words in STEPS if de00 <= most), ANOTHER)


def say_reach(matches: Sequence[Match]) -> str:
    """That no piece is of the colour over half of its area, and which comes nearest; "" where half
    of some piece is."""
    if not matches:
        return ""
    nearest = min(matches, key=lambda match: match.half)
    if nearest.half <= OUT_OF_REACH:
        return ""
    over = "as the mean over its area" if nearest.whole else "over half of its area"
    said = (
        f"No piece comes nearer than ΔE00 {nearest.half:.1f} {over}: "
        f"{name_strand(nearest.candidate.strand)}, {say_nearness(nearest.half)}."
    )
    part = min(matches, key=lambda match: match.least)
    if nearest.whole or f"{part.least:.1f}" == f"{nearest.half:.1f}":
        return said
    name = name_strand(part.candidate.strand)
    return f"{said} A smaller part of {name} comes within ΔE00 {part.least:.1f}."


def say_like(name: str, tones: Sequence[ColourShare], tone: int | None) -> str:
    """What of a piece is gone by: all of its ``tones``, or the one at place ``tone``."""
    if len(tones) == 1:
        return f"Like {name}"
    if tone is None:
        return f"Like {name}, all its colours by area"
    return f"Like the colour that covers {100 * tones[tone].share:.0f}\u202f% of {name}"


def _within_half(de00: Floats, shares: Floats) -> Floats:
    """The ΔE00 within which half of the area told lies; (n, k) and (n, k) → (n)."""
    order = np.argsort(de00, axis=1, kind="stable")
    near = np.take_along_axis(de00, order, axis=1)
    area = np.cumsum(np.take_along_axis(shares, order, axis=1), axis=1)
    first = (area >= area[:, -1:] / 2).argmax(axis=1)[:, None]
    return np.take_along_axis(near, first, axis=1)[:, 0]


def _latest(strand: Strand) -> Look | None:
    """The look a zone goes by: the latest that may be compared."""
    if strand.latest is not None and _serves(strand.latest):
        return strand.latest
    return next((look for look in reversed(strand.looks) if _serves(look)), None)


def _serves(look: Look) -> bool:
    return not look.excluded and look.colour is not None and bool(list_patches(look))
