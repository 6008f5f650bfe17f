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

# Where nothing in the picture can be measured. A study of phone colour found plain conversion more
# than 10 ΔE00 off on average, and about half of that with a chart in the frame: Taiwan journal
# abstract, lawdata 475787. One grey patch sets exposure and the light's colour, but cannot tell
# on itself: 4 under any light, 2 on a stand whose light is known not to change, both common
# practice, no source.
U_NO_CARD = 10.0
U_ONE_GREY = 4.0
U_ONE_GREY_SAME_LIGHT = 2.0

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
