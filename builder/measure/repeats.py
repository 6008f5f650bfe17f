"""Two photographs with one card in both: how far the same colour strays between them.

What a card's list, its print and the camera have wrong alike in both does not part them, so it is
not counted in the noise floor of a difference. How much is left the card shows by itself: each of
its patches, left out of the fit, comes out at one place in the one picture and at another in the
other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from builder.measure.difference import delta_e_2000
from builder.measure.noise import u_of_difference, u_of_neighbours
from builder.records.photo import CardReport, Lab, Reading

LEAST_PATCHES = 4  # in common; fewer tell too little
# Between two pictures of one card under one kind of lamp its patches stray by less than a just
# visible step; lamps or cameras that are unlike move them further.
UNLIKE = 2.3


def pair_up(first: CardReport, second: CardReport) -> tuple[np.ndarray, np.ndarray] | None:
    """L*a*b* (n, 3) of the patches that both cards have, as each came to when left out; None where
    those are fewer than LEAST_PATCHES or a card was refused."""
    one, two = _usable(first), _usable(second)
    names = sorted(one.keys() & two.keys())
    if len(names) < LEAST_PATCHES:
        return None
    return np.array([one[name] for name in names]), np.array([two[name] for name in names])


def stray_of_card(first: CardReport, second: CardReport) -> float | None:
    """Root mean square ΔE00 of the card's patches between two photographs, None where they have too
    few in common."""
    pairs = pair_up(first, second)
    if pairs is None:
        return None
    return float(np.sqrt(np.mean(delta_e_2000(*pairs) ** 2)))


def u_of_change(
    first: tuple[Reading, CardReport | None],
    second: tuple[Reading, CardReport | None],
    lab: Lab,
) -> tuple[float, bool]:
    """u in ΔE00 of the difference of two readings near the colour ``lab``, and whether the part
    that both share was let go, which needs the same card in both.

    Source: JCGM 100:2008, 5.2: parts that are common to both do not count in a difference.
    """
    (one, card_1), (two, card_2) = first, second
    pairs = pair_up(card_1, card_2) if card_1 and card_2 else None
    if pairs is None or one.u_own is None or two.u_own is None:
        return u_of_difference(one.u, two.u), False
    middle = (pairs[0] + pairs[1]) / 2
    card = u_of_neighbours(lab, middle, delta_e_2000(*pairs))
    shared_out = math.hypot(card, one.u_own, two.u_own)
    # Never more than if nothing were shared.
    return min(shared_out, math.hypot(one.u, two.u)), True


def say_unlike(first: CardReport | None, second: CardReport | None) -> str:
    """A sentence where the two were taken in unlike light or by unlike cameras, else ""."""
    stray = stray_of_card(first, second) if first and second else None
    if stray is None or stray <= UNLIKE:
        return ""
    return (
        f"unlike light: the same card differs by ΔE00 {stray:.1f} between the two pictures; lamps "
        "or cameras are not alike"
    )


def _usable(card: CardReport) -> Mapping[str, Lab]:
    return {} if card.rejected else dict(card.guessed)
