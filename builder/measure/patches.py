"""The patches of a card as they were photographed: their colour, and whether they serve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.difference import delta_e_76
from builder.measure.spaces import chroma, xyz_to_lab
from builder.records.jig import PointMm
from builder.records.photo import Lab

# A printed grey may have a slight cast of its own; a colour patch has several times this chroma.
NEUTRAL_CHROMA = 6.0
CLIPPED_PCT = 2.0  # more than stray pixels: the patch's mean is no longer its colour
# Nine in ten pixels of an evenly lit patch lie this near its middle, ΔE*ab, even at high ISO...
SPREAD = 6.0
# ...or within this many times the spread of the card's middling patch, should the noise be worse.
SPREAD_OVER_NOISE = 3.0
# Two greys must be seen at least this part of their true difference in lightness apart, and the
# right way round. Contrast lost to haze or exposure leaves more.
ORDER = 0.25
_NEAR = 1.0  # greys within this L* of one another have no order to keep
_ENOUGH = 4096  # pixels: beyond this a mean gains nothing that matters beside the fit


@dataclass(frozen=True, eq=False)
class SeenPatch:
    """One patch as it came from the picture.

    ``name`` by row and column ("A1"); ``lab`` its true L*a*b*, D65; ``xyz`` (n, 3) its pixels in
    linear light; ``clipped`` (n,) which of them ran out of scale; ``at`` where its middle lies,
    mm on the jig sheet, or in any flat measure where there is none; None where not known.
    """

    name: str
    lab: Lab
    xyz: Pixels | Floats
    clipped: Mask
    at: PointMm | None = None

    @property
    def neutral(self) -> bool:
        return float(chroma(self.lab)) < NEUTRAL_CHROMA


@dataclass(frozen=True)
class PatchColour:
    """A patch's mean ``xyz``, its ``spread`` (ΔE*ab within which nine in ten of its pixels lie
    about their middle) and the share of clipped pixels in per cent."""

    xyz: tuple[float, float, float]
    spread: float
    clipped_pct: float


def measure_patch(patch: SeenPatch, clipped_too: bool = False) -> PatchColour:
    """Colour and spread of the pixels that are not clipped, in linear light; of all pixels where
    ``clipped_too``.

    Specks and a sliver of a neighbour do not count: pixels beyond three times the middling distance
    from the middle are left out of the mean.
    """
    clipped_pct = 100.0 * float(np.mean(patch.clipped)) if patch.clipped.size else 100.0
    good = np.asarray(patch.xyz)[~patch.clipped | clipped_too]
    good = np.asarray(good[:: max(1, len(good) // _ENOUGH)], dtype=np.float64)
    if not len(good):
        return PatchColour((0.0, 0.0, 0.0), 0.0, 100.0)
    far = delta_e_76(xyz_to_lab(good), xyz_to_lab(np.median(good, axis=0)))
    x, y, z = good[far <= 3 * np.median(far)].mean(axis=0)
    return PatchColour((float(x), float(y), float(z)), float(np.quantile(far, 0.9)), clipped_pct)


Seen = Sequence[tuple[SeenPatch, PatchColour]]


def _listed(names: Sequence[str]) -> str:
    return ("patch " if len(names) == 1 else "patches ") + ", ".join(names)


def say_left_out(patch: SeenPatch, colour: PatchColour) -> str:
    """Why a patch is not used."""
    if not patch.clipped.size:
        return f"Patch {patch.name} is left out: it is too small in the picture."
    return f"Patch {patch.name} is left out: {colour.clipped_pct:.0f} % of it is clipped."


def find_missing(all_patches: Seen, whole: Seen) -> str:
    """A sentence if the patches that are not clipped are too few to go by, else ""."""
    greys, left = sum(p.neutral for p, _ in all_patches), sum(p.neutral for p, _ in whole)
    if whole and len(whole) * 2 >= len(all_patches) and left >= min(greys, 2):
        return ""
    lost = [p.name for p, c in all_patches if c.clipped_pct > CLIPPED_PCT]
    return (
        f"Too little of the card can be read: {_listed(lost)} left out. "
        "Expose so that neither white nor black runs out of scale, and keep the card in the frame."
    )


def find_uneven(whole: Seen) -> str:
    """A sentence if a patch is not one colour all over, else ""."""
    limit = max(SPREAD, SPREAD_OVER_NOISE * float(np.median([c.spread for _, c in whole])))
    uneven = [p.name for p, c in whole if c.spread > limit]
    if not uneven:
        return ""
    return (
        f"The card is half covered or not in its slot: {_listed(uneven)} not one colour all over. "
        "Clear the card, or mark its place anew."
    )


def find_disorder(whole: Seen) -> str:
    """A sentence if the grey steps were not seen in order of lightness, else ""."""
    steps = sorted((p.lab[0], float(xyz_to_lab(c.xyz)[0]), p.name) for p, c in whole if p.neutral)
    for (true_1, seen_1, name_1), (true_2, seen_2, name_2) in pairwise(steps):
        if true_2 - true_1 > _NEAR and seen_2 - seen_1 < ORDER * (true_2 - true_1):
            return (
                f"The grey steps are out of order: {name_2} should be lighter than {name_1}, and "
                "was not seen so. Is the card the right way round, and in its slot?"
            )
    return ""
