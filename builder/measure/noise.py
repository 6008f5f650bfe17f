"""u, the noise floor of a reading.

It is the ΔE00 that ninety of a hundred repeat readings of an unchanged piece would stay within.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from builder.measure.difference import delta_e_2000
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# Of an error that is normal and alike in three axes, |e|² is σ²χ² with three degrees of freedom.
# Its root mean square is σ√3; ninety in a hundred stay within σ√6.2514, the 0.90 quantile of that
# χ². The factor is their ratio, 1.4435.
# Source of the quantile: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4.
CHI_SQUARE_90_OF_3 = 6.2514
RMS_TO_90 = math.sqrt(CHI_SQUARE_90_OF_3 / 3)
NEIGHBOUR = 30.0  # ΔE*ab

# Where nothing in the picture can be measured. A study of phone colour found plain conversion more
# than 10 ΔE00 off on average, and about half of that with a chart in the frame: Taiwan journal
# abstract, lawdata 475787. One grey patch sets exposure and the light's colour, but cannot tell
# on itself: 4 under any light, 2 on a stand whose light is known not to change, both common
# practice, no source.
U_NO_CARD = 10.0
U_ONE_GREY = 4.0
U_ONE_GREY_SAME_LIGHT = 2.0

# A card used under another light than the one it is compared with: common practice, no source.
U_OTHER_LIGHT = 4.0
U_PAPER = 8.0
# Greys say nothing of how lamp and camera stretch and turn colours: nine in ten lie within what a
# chroma this much larger or smaller would make of them. Measured: see docs/how-exact.md.
GREY_STRETCH = 0.85
NINE_IN_TEN = 1.645  # standard deviations: the 0.95 quantile of the normal distribution

# How far the light on the piece may differ from the light on the card, in per cent, nine times in
# ten, where nobody has measured it. Common practice, no source: two broad lamps at 45°.
UNEVEN_PCT = 3.0

# A reading with this much of its area lost to glare or clipping is doubtful: what is left of the
# halo round it may then shift the colour by a just visible step. Common practice, no source.
LOST_DOUBTFUL_PCT = 3.0
LOST_DOUBTFUL_U = 2.3


def u_of_left_out(errors: npt.ArrayLike) -> float:
    """u in ΔE00 from the errors (n,), n ≥ 1, in ΔE00, of patches left out of the fit.

    A patch left out is a colour the correction has not seen, as the piece is.
    """
    e = np.asarray(errors, dtype=np.float64)
    return RMS_TO_90 * float(np.sqrt(np.mean(e**2)))


def u_of_neighbours(lab: npt.ArrayLike, true: npt.ArrayLike, errors: npt.ArrayLike) -> float:
    """u in ΔE00 of the colour ``lab`` (3,) from the ``errors`` (n,), n ≥ 1, of patches left out
    whose colours are ``true`` (n, 3): those near it say more than those far off.

    Weights fall by half at NEIGHBOUR of ΔE*ab; and as few patches know their own spread badly, the
    factor is that of as many degrees of freedom as the weights are worth.
    """
    e = np.asarray(errors, dtype=np.float64)
    apart = np.linalg.norm(np.asarray(true) - np.asarray(lab), axis=-1)
    weight = 1 / (1 + (apart / NEIGHBOUR) ** 2)
    worth = float(weight.sum() ** 2 / np.sum(weight**2))
    return quantile_factor(worth) * float(np.sqrt(np.sum(weight * e**2) / weight.sum()))


def quantile_factor(worth: float) -> float:
    """The ratio of what ninety in a hundred stay within to a root mean square told from ``worth``
    values, from 1: RMS_TO_90 for many, more for few.

    Each value is a ΔE of three axes: the quantile is √(3 F / 3) of Fisher's distribution with 3 and
    3 ``worth`` degrees of freedom, here by its expansion in 1 / worth, within 1 %.
    """
    return RMS_TO_90 * (1 + 0.43 / worth + 0.175 / worth**2)


def u_of_stretch(lab: npt.ArrayLike, stretch: float) -> float:
    """u in ΔE00 of the colour ``lab`` (3,) whose chroma may be off by ``stretch`` of itself."""
    colour = np.asarray(lab, dtype=np.float64)
    return float(delta_e_2000(colour, colour * (1, 1 + stretch, 1 + stretch)))


def u_of_lost_area(lost_pct: float) -> float:
    """u in ΔE00 from the share of the area, 0 to 100, left out as glaring or clipped."""
    return LOST_DOUBTFUL_U * lost_pct / LOST_DOUBTFUL_PCT


def u_of_uneven_light(lab: npt.ArrayLike, uneven_pct: float = UNEVEN_PCT) -> float:
    """u in ΔE00 of the colour ``lab`` (3,) where light may differ by ``uneven_pct``, from 0,
    between card and piece: the step it makes in that colour."""
    lit = xyz_to_lab(lab_to_xyz(lab) * (1 + uneven_pct / 100))
    return float(delta_e_2000(lab, lit))


def u_of_standard_error(errors: npt.ArrayLike) -> float:
    """u in ΔE00 of a mean over n parts of a region, from each part's ΔE00 (n,), n ≥ 2, to it.

    Source: standard error of the mean, JCGM 100:2008, 4.2.3.
    """
    e = np.asarray(errors, dtype=np.float64)
    return RMS_TO_90 * float(np.sqrt(np.sum(e**2) / (len(e) - 1) / len(e)))


def combine_u(*parts: float) -> float:
    """Independent parts of u, ΔE00, added in quadrature.

    Source: JCGM 100:2008 (Guide to the expression of uncertainty in measurement), 5.1.2.
    """
    return math.hypot(*parts)


def u_of_difference(u1: float, u2: float) -> float:
    """u in ΔE00 of the difference between two readings with ``u1`` and ``u2``.

    Each u already says how far repeats lie from one another, that is, it is a figure for a
    difference; so two equal ones give the same again, not √2 of it, and unlike ones their root
    mean square.
    """
    return math.hypot(u1, u2) / math.sqrt(2)
