"""Photographs whose colour is another piece's, not that of the piece they are filed under.

A colour may truly move far: a heat colour goes 19 ΔE00 in a year. So it is a doubt, and the
photograph is compared as before: leaving out a true change would be as false as keeping a wrong
picture, and the maker can tell at a glance. Two things settle it. Where the pattern in squares is
the piece's own, nothing is said however far the colour went; where it is not, and is that of
another piece whose colour fits, the photograph counts for nothing, as if its label said so.

Measured on the demo: the greatest way from everything a piece has shown is 5.7 ΔE00, in a heat
colour between two looks; the photograph in the wrong folder lies 12.5 off its folder's piece and
0.5 off its own. Of 89 photographs put into other folders by lot, 46 are found by colour alone, 73
with the pattern, and 13 of the rest are dated before that piece began.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from builder.errors import Problem
from builder.records.photo import DateFrom, Evidence, Lab, Light, Observation, State
from builder.relate.differences import de00, joint_u
from builder.relate.findings import Look, Strand
from builder.relate.looks import COLOUR_LOST
from builder.relate.memory import Memory
from builder.relate.ways import compare_lie

#: So many visible thresholds beyond the noise is far: between two looks that agree, and where no
#: look follows (or goes before) that could bear out a true change.
FAR_BETWEEN = 3.0
FAR_AT_END = 5.0
#: The other piece fits within the noise, and that noise is at most this part of the own distance.
FITS_WITHIN = 1 / 3
#: A colour of less than this part of the area is not what a piece has shown.
LEAST_SHARE = 0.1
NAMED = 2
_METAL = (State.BARE, State.CLEANED)


class _Kind(StrEnum):
    METAL = "bare metal"
    COLOURED = "coloured"
    SEALED = "sealed"


@dataclass(frozen=True)
class Rival:
    """Another piece that the photograph fits, ΔE00 ``de00`` from it."""

    piece: str
    de00: float


class Sign(StrEnum):
    """What speaks for the other piece, as the beginning of a sentence."""

    COLOUR = "its colour is"
    PATTERN = "its pattern is"
    BOTH = "its colour and pattern are"


@dataclass(frozen=True)
class Stranger:
    """A photograph that lies ``own`` ΔE00 from all that its piece has shown, and the ``rivals`` it
    fits better by this ``sign``, best first."""

    observation: Observation
    own: float
    rivals: tuple[Rival, ...]
    sign: Sign

    @property
    def sure(self) -> bool:
        """Whether the other piece's very pattern is in it."""
        return self.sign is not Sign.COLOUR

    @property
    def words(self) -> str:
        """Whose it is, as a sentence."""
        return f"{self.sign} {_possessive(self.rivals[0].piece)}"

    def as_problem(self) -> Problem:
        """What to put right; it names the piece and those it fits better."""
        file = self.observation.file
        first, *others = (
            f"{_possessive(rival.piece)} (ΔE00 {rival.de00:.1f})" for rival in self.rivals[:NAMED]
        )
        fits = " or ".join([first, *others])
        more = len(self.rivals) - NAMED
        if more > 0:
            fits += f" or that of {more} more"
        left = (
            "until then it is shown and counts for nothing"
            if self.sure
            else "if the piece truly changed so far, leave it: it is compared as it is"
        )
        return Problem(
            file.path,
            0,
            f"{self.sign} {fits}, not {_possessive(file.piece)} (ΔE00 {self.own:.1f})",
            f"a photograph of {file.piece}",
            f"see which piece it shows, and move it to the folder of {self.rivals[0].piece} if it "
            f"is that; {left}",
        )


@dataclass(frozen=True)
class Odd:
    """A photograph, as each zone of its piece shows it, that lies ``away`` ΔE00 from all the piece
    has shown, and whether that is ``far``; if not, its pattern is another."""

    seen: tuple[tuple[Strand, Look], ...]
    away: float
    far: bool


def find_odd(asked: Sequence[Strand], threshold: float, memory: Memory) -> tuple[Odd, ...]:
    """The photographs of the ``asked`` strands that do not look like their own piece, whatever
    other pieces there are; ``threshold`` the visible ΔE00."""
    by_photo: dict[str, list[tuple[Strand, Look]]] = defaultdict(list)
    for strand in asked:
        for look in strand.looks:
            if _kind_of(look, strand):
                by_photo[look.observation.file.path].append((strand, look))
    found = (_hold_to_own(tuple(seen), threshold, memory) for seen in by_photo.values())
    return tuple(odd for odd in found if odd is not None)


def name_strangers(
    found: Sequence[Odd], among: Sequence[Strand], memory: Memory
) -> tuple[Stranger, ...]:
    """Those of the photographs ``found`` odd that another piece ``among`` the strands fits."""
    named = (_judge(odd, among, memory) for odd in found)
    return tuple(stranger for stranger in named if stranger is not None)


def _hold_to_own(
    seen: tuple[tuple[Strand, Look], ...], threshold: float, memory: Memory
) -> Odd | None:
    """Zone by zone: every zone must lie far from its own."""
    look = seen[0][1]
    own = [_measure_own(strand, look, threshold) for strand, look in seen]
    measured = [one for one in own if one is not None]
    if len(measured) < len(own):
        return None
    far = all(one.far for one in measured)
    strange = _is_strange(look, [other for one in measured for other in one.beside], memory)
    if strange is False or not (far or strange):
        return None
    return Odd(seen, min(one.away for one in measured), far)


def _judge(odd: Odd, among: Sequence[Strand], memory: Memory) -> Stranger | None:
    """Zone by zone: the other piece must fit all of them."""
    away, far = odd.away, odd.far
    look, piece = odd.seen[0][1], odd.seen[0][0].entry.piece.piece
    fits = [
        _find_fitting(strand, look, among, away * FITS_WITHIN if far else None)
        for strand, look in odd.seen
    ]
    common = set.intersection(*(set(one) for one in fits)) - {piece}
    rivals = sorted(
        (Rival(name, max(one[name].away for one in fits)) for name in common),
        key=lambda rival: (rival.de00, rival.piece),
    )
    faced = [r for r in rivals if _is_strange(look, fits[0][r.piece].beside, memory) is False]
    if faced:
        sign = Sign.BOTH if far else Sign.PATTERN
        return Stranger(look.observation, away, tuple(faced), sign)
    if far and rivals:
        return Stranger(look.observation, away, tuple(rivals), Sign.COLOUR)
    return None


@dataclass(frozen=True)
class _Measured:
    """How far a look lies ``away`` from a piece, whether that is ``far``, and the looks of it that
    are nearest in time."""

    away: float
    far: bool
    beside: tuple[Look, ...]


def _measure_own(strand: Strand, look: Look, threshold: float) -> _Measured | None:
    """Against everything the strand has shown of the look's kind; None where that is nothing."""
    kind = _kind_of(look, strand)
    others = [
        other
        for other in strand.looks
        if other is not look and _is_like(other, look) and _kind_of(other, strand) is kind
    ]
    if not others:
        return None
    away, nearest = min(
        ((_away(look, other), other) for other in others), key=lambda found: found[0]
    )
    beside = _beside(look, others)
    between = len(beside) == 2 and _away(*beside) < away
    steps = FAR_BETWEEN if between else FAR_AT_END
    return _Measured(away, away > joint_u(look, nearest) + steps * threshold, beside)


def _find_fitting(
    strand: Strand, look: Look, among: Sequence[Strand], most: float | None
) -> Mapping[str, _Measured]:
    """By piece, the strand that the look fits best within the noise, and within ``most`` ΔE00 of
    noise where that is given."""
    metal = _kind_of(look, strand) is _Kind.METAL
    fits: dict[str, _Measured] = {}
    for other in among:
        if other.zone not in ("", look.zone):
            continue
        theirs = [
            seen
            for seen in other.looks
            if (kind := _kind_of(seen, other))
            and (kind is _Kind.METAL) is metal
            and _is_like(seen, look)
        ]
        beside = _beside(look, theirs)
        piece = other.entry.piece.piece
        for seen in beside:
            away, u = _fit(look, seen), joint_u(look, seen)
            best = fits.get(piece)
            if away <= u and (most is None or u <= most) and (not best or away < best.away):
                fits[piece] = _Measured(away, False, beside)
    return fits


def _kind_of(look: Look, strand: Strand) -> _Kind | None:
    """What the look shows the piece as; None where its colour tells nothing of which piece it is:
    no card, withheld, another side, no day to go by, or a state that shows something else."""
    reading = look.reading
    if reading is None or reading.withheld or not reading.colours or look.taken is None:
        return None
    if reading.evidence not in (Evidence.TARGET, Evidence.GREY):
        return None
    file = look.observation.file
    if file.side != "front" or file.light is Light.RAKING or look.taken_from is DateFrom.FILE:
        return None
    if look.state in _METAL:
        return _Kind.METAL
    if look.excluded not in ("", COLOUR_LOST):
        return None
    sealed = look.state is State.AFTER_SEAL or (look.state is State.RECHECK and strand.sealed)
    return _Kind.SEALED if sealed else _Kind.COLOURED


def _is_like(one: Look, other: Look) -> bool:
    return one.observation.file.light is other.observation.file.light


def _beside(look: Look, others: Sequence[Look]) -> tuple[Look, ...]:
    """Of ``others``, by day, the last up to the look's day and the first after it, where there."""
    dated = [(other.taken, other) for other in others if other.taken is not None]
    before = [other for day, other in dated if look.taken is not None and day <= look.taken]
    after = [other for day, other in dated if look.taken is not None and day > look.taken]
    return (*before[-1:], *after[:1])


def _away(look: Look, other: Look) -> float:
    """ΔE00 from the look's largest colour to the nearest that the other shows."""
    return min(de00(_largest(look), lab) for lab in _shown(other))


def _fit(look: Look, other: Look) -> float:
    """ΔE00 of the largest colours and of the whole areas, the greater: a piece that only shares a
    colour does not fit."""
    whole = (one.reading.mean for one in (look, other) if one.reading is not None)
    return max(de00(_largest(look), _largest(other)), de00(*whole))


def _largest(look: Look) -> Lab:
    return next(_shown(look))


def _shown(look: Look) -> Iterator[Lab]:
    colours = look.reading.colours if look.reading is not None else ()
    return (
        colour.lab for at, colour in enumerate(colours) if not at or colour.share >= LEAST_SHARE
    )


def _is_strange(look: Look, others: Sequence[Look], memory: Memory) -> bool | None:
    """Whether its pattern is in none of the others, however it lies; None where that cannot be
    told: no squares, or bare metal, whose grain says nothing of the blank."""
    one = look.observation.picture.grid
    grids = [
        grid
        for other in others
        if other.observation is not look.observation
        and (grid := other.observation.picture.grid) is not None
    ]
    if one is None or not grids or look.state in _METAL:
        return None
    return all(compare_lie(grid, one, memory) is None for grid in grids)


def _possessive(piece: str) -> str:
    return f"{piece}’s"
