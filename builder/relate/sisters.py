"""A sealed strand beside its bare sister, at the same age."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence

from builder.errors import Problem
from builder.measure.noise import u_of_difference
from builder.relate.differences import compare_looks
from builder.relate.factors import Factors, differing, unrecorded
from builder.relate.findings import Difference, Sisters, Strand
from builder.relate.nearness import call_nearer, say_nearer
from builder.relate.protection import say_held
from builder.relate.strands import name_strand
from builder.relate.synonyms import FINISH_SEALS
from builder.relate.timeline import draw_timeline

#: Two ages that differ by no more than this part of the greater are the same age. Common practice,
#: no source.
SAME_AGE_WITHIN = 0.20

_NAMED = "named in the sidecar"
_SAME_PLATE = "same plate"
_SAME_FACTORS = "same in every recorded factor but sealant"


def find_sisters(
    strands: Sequence[Strand], factors: Sequence[Factors], near: Mapping[tuple[int, int], str]
) -> tuple[tuple[Sisters, ...], tuple[Problem, ...]]:
    """One pair of sisters for each sealed strand that has a bare one, and what to put right.

    ``factors`` as strands; ``near``: places of two strands → the one factor they differ by.
    """
    of = {id(strand): record for strand, record in zip(strands, factors, strict=True)}
    bare = [strand for strand in strands if _is_bare(strand)]
    alike = _list_alike(strands, near)
    found, problems = [], []
    for strand in strands:
        if not strand.sealed:
            continue
        if strand.entry.piece.sister:
            sister = _find_named(strand, bare)
            if sister is None:
                problems.append(_unfit_sister(strand, strands))
                continue
            found.append(compare_sisters(strand, sister, _NAMED, of))
        elif (sister := _find_on_plate(strand, bare)) is not None:
            found.append(compare_sisters(strand, sister, _SAME_PLATE, of))
        elif (sister := _find_alike(strand, alike.get(id(strand), ()))) is not None:
            found.append(compare_sisters(strand, sister, _SAME_FACTORS, of))
    return tuple(found), tuple(sorted(set(problems)))


def compare_sisters(
    sealed: Strand, bare: Strand, why: str, factors: Mapping[int, Factors]
) -> Sisters:
    """What may be said of two sisters at the same age; ``factors`` by the strands' identity."""
    one, two = factors[id(sealed)], factors[id(bare)]
    sealed_drift, bare_drift = find_same_age(sealed.drifts, bare.drifts)
    held = say_held(sealed_drift, bare_drift)
    to_sealed, to_bare = _from_chosen(sealed, sealed_drift), _from_chosen(bare, bare_drift)
    u = u_of_difference(to_sealed.u, to_bare.u) if to_sealed and to_bare else None
    nearer = (
        call_nearer(to_sealed.de00, to_bare.de00, u)
        if to_sealed is not None and to_bare is not None and u is not None
        else None
    )
    return Sisters(
        sealed=sealed,
        bare=bare,
        why=why,
        days=sealed_drift.days if sealed_drift else None,
        seal_cost=sealed.seal_cost,
        sealed_drift=sealed_drift,
        bare_drift=bare_drift,
        held_pct=held.pct,
        held_words=held.words,
        nearer=nearer,
        nearer_words=say_nearer(nearer, to_sealed, to_bare),
        to_sealed=to_sealed.de00 if to_sealed else None,
        to_bare=to_bare.de00 if to_bare else None,
        u=u,
        unrecorded=unrecorded(one, two),
        also_differs=tuple(factor for factor in differing(one, two) if factor != "sealant"),
    )


def find_same_age(
    sealed: Sequence[Difference], bare: Sequence[Difference]
) -> tuple[Difference | None, Difference | None]:
    """The latest two drifts of the same age, days since each one's watch began, or (None, None)."""
    matches = [
        (s, b)
        for s in sealed
        for b in bare
        if abs(s.days - b.days) <= SAME_AGE_WITHIN * max(s.days, b.days)
    ]
    if not matches:
        return None, None
    return max(matches, key=lambda m: (min(m[0].days, m[1].days), -abs(m[0].days - m[1].days)))


def _from_chosen(strand: Strand, drift: Difference | None) -> Difference | None:
    """From the strand's own fresh look to where its drift has come."""
    if strand.fresh is None or drift is None:
        return None
    return compare_looks(strand.fresh, drift.second)


def _find_named(strand: Strand, bare: Sequence[Strand]) -> Strand | None:
    """The bare strand the sidecar names, by piece number or by number and zone."""
    name = " ".join(strand.entry.piece.sister.replace("/", " ").split())
    fit = [b for b in bare if name in (b.entry.piece.piece, name_strand(b)) and b is not strand]
    return max(fit, key=lambda b: b.entry.piece.attempt, default=None)


def _find_on_plate(strand: Strand, bare: Sequence[Strand]) -> Strand | None:
    if not strand.zone:
        return None
    return next((b for b in bare if b.entry is strand.entry), None)


def _list_alike(
    strands: Sequence[Strand], near: Mapping[tuple[int, int], str]
) -> Mapping[int, Sequence[Strand]]:
    """The bare strands that differ by the sealant alone, by the sealed one's identity."""
    alike: dict[int, list[Strand]] = defaultdict(list)
    for (i, j), factor in near.items():
        for one, two in ((strands[i], strands[j]), (strands[j], strands[i])):
            if factor == "sealant" and _is_bare(two):
                alike[id(one)].append(two)
    return alike


def _find_alike(strand: Strand, alike: Sequence[Strand]) -> Strand | None:
    """Of those alike the one nearest in time; one that was photographed goes before others."""
    return min(
        alike,
        key=lambda b: (b.baseline is None, _days_apart(strand, b), name_strand(b)),
        default=None,
    )


def _days_apart(a: Strand, b: Strand) -> int:
    one = draw_timeline(a.entry.piece).coloured_on
    two = draw_timeline(b.entry.piece).coloured_on
    return dt.timedelta.max.days if one is None or two is None else abs((one - two).days)


def _is_bare(strand: Strand) -> bool:
    return strand.sealed is False and strand.sealant != FINISH_SEALS


def _unfit_sister(strand: Strand, strands: Sequence[Strand]) -> Problem:
    piece = strand.entry.piece
    number = piece.sister.replace("/", " ").split()[0] if piece.sister.split() else piece.sister
    there = any(other.entry.piece.piece == number for other in strands)
    return Problem(
        strand.entry.file,
        strand.entry.line,
        f"the sister {piece.sister} is not {'a bare piece' if there else 'in the library'}",
        "the number of a piece that was left bare",
        "correct `sister`, or leave it out: a bare piece alike in all else is then looked for",
    )
