"""Two photographs with one card in both: how far the same colour strays between them.

What a card's list, its print and the camera have wrong alike in both does not part them, so it is
not counted in the noise floor of a difference. How much is left the card shows by itself: each of
its patches, left out of the fit, comes out at one place in the one picture and at another in the
other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_2000, delta_e_2000_of
from builder.measure.left_out import read_left_out
from builder.measure.noise import U_OTHER_LIGHT, u_of_difference, u_of_neighbours
from builder.measure.spaces import lab_to_xyz, xyz_to_lab
from builder.records.photo import CardReport, Lab, Reading

LEAST_PATCHES = 4  # in common; fewer tell too little
# Between two pictures of one card under one kind of lamp its patches stray by less than this (root
# mean square ΔE00); lamps or cameras that are unlike move them further. See docs/how-exact.md.
UNLIKE = 2.0
# So far apart in a*, b*, before they were put right, the greys of one card are under another lamp,
# or another camera's idea of white: the card puts most of it right, and what it cannot (metamerism)
# goes up with it. Common practice, no source.
UNLIKE_GREYS = 6.0
_COLOURED = 10.0  # chroma of a patch that is no grey


def pair_up(first: CardReport, second: CardReport) -> tuple[Floats, Floats] | None:
    """L*a*b* (n, 3) of the patches that both cards have, as each came to when left out; None where
    those are fewer than LEAST_PATCHES or a card was refused."""
    one, two = _usable(first), _usable(second)
    names = sorted(one.keys() & two.keys())
    if len(names) < LEAST_PATCHES:
        return None
    return np.array([one[name] for name in names]), np.array([two[name] for name in names])


@lru_cache(maxsize=2**12)
def stray_of_card(first: CardReport, second: CardReport) -> float | None:
    """Root mean square ΔE00 of the card's patches between two photographs, None where they have too
    few in common."""
    pairs = pair_up(first, second)
    if pairs is None:
        return None
    return float(np.sqrt(np.mean(delta_e_2000(*pairs) ** 2)))


@lru_cache(maxsize=2**12)  # the same two looks are held against each other again and again
def u_of_change(
    first: tuple[Reading, CardReport | None],
    second: tuple[Reading, CardReport | None],
    lab: Lab,
) -> tuple[float, bool]:
    """u in ΔE00 of the difference of two readings near the colour ``lab``, and whether the part
    that both share was let go, which needs the same card with colours in both: greys do not show
    how far lamp and camera turn colours, nor whether they turned them alike.

    Where the card shows that the two were taken in unlike light, nothing is shared, and what a card
    cannot put right of another light (U_OTHER_LIGHT) comes on top. Source of the sums: JCGM
    100:2008, 5.1.2 and 5.2: independent parts add in quadrature, common ones fall out of a
    difference.
    """
    (one, card_1), (two, card_2) = first, second
    both = math.hypot(one.u, two.u)
    by_paper = stray_of_paper(card_1, card_2, lab)
    if card_1 and card_2 and is_unlike(card_1, card_2):
        return max(math.hypot(both, U_OTHER_LIGHT), by_paper), False
    pairs = pair_up(card_1, card_2) if card_1 and card_2 else None
    shown = pairs is not None and _has_colours(pairs[0])
    if pairs is None or not shown or one.u_own is None or two.u_own is None:
        return max(u_of_difference(one.u, two.u), by_paper), False
    middle = (pairs[0] + pairs[1]) / 2
    card = u_of_neighbours(lab, middle, delta_e_2000(*pairs))
    shared_out = min(math.hypot(card, one.u_own, two.u_own), both)
    return max(shared_out, math.hypot(by_paper, one.u_own, two.u_own)), True


def stray_of_paper(first: CardReport | None, second: CardReport | None, lab: Lab) -> float:
    """How far the colour ``lab`` would stray, ΔE00, by what the two cards make of the white paper
    round them; 0 where that is not known. A card that lies in shadow in one of the two, or has got
    soiled since, still agrees with itself; the paper then does not."""
    if first is None or second is None or first.paper is None or second.paper is None:
        return 0.0
    turned = lab_to_xyz(second.paper) / lab_to_xyz(first.paper)
    L, a, b = xyz_to_lab(lab_to_xyz(lab) * turned).tolist()
    return delta_e_2000_of(lab, (L, a, b))


def is_unlike(first: CardReport, second: CardReport) -> bool:
    """Whether the card shows that lamp or camera were not alike: by how its patches stray, or by
    what the two cameras made of its greys."""
    stray = stray_of_card(first, second)
    if stray is not None and stray > UNLIKE:
        return True
    if first.light is None or second.light is None:
        return False
    return math.dist(first.light[1:], second.light[1:]) > UNLIKE_GREYS


def say_unlike(first: CardReport | None, second: CardReport | None) -> str:
    """A sentence where the two were taken in unlike light or by unlike cameras, else ""."""
    stray = stray_of_card(first, second) if first and second else None
    if stray is None or stray <= UNLIKE:
        return ""
    return (
        f"unlike light: the same card differs by ΔE00 {stray:.1f} between the two pictures; lamps "
        "or cameras are not alike"
    )


def _has_colours(labs: Floats) -> bool:
    return int((np.hypot(labs[:, 1], labs[:, 2]) > _COLOURED).sum()) >= LEAST_PATCHES - 1


def _usable(card: CardReport) -> Mapping[str, Lab]:
    return {} if card.rejected else read_left_out(card.guessed)
