"""The textile trade's grey scale for change in colour, graded from L*a*b*: 5 unchanged, 1 gone."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_76
from builder.measure.spaces import chroma, hue_degrees


def assessed_difference(reference: npt.ArrayLike, test: npt.ArrayLike) -> Floats:
    """ΔE_F of L*a*b* (…, 3) and (…, 3) → (…), from 0.

    Source: EN ISO 105-A05:1997, clause 7. Of it, the mean hue (equations 10 to 12), the sign of the
    hue step and x (7.2) come from published code that cites the clause; C_M, D, ΔC_F, ΔH_F and
    ΔE_F are from memory.
    """
    R, T = np.asarray(reference, dtype=np.float64), np.asarray(test, dtype=np.float64)
    C_R, C_T, h_R, h_T = chroma(R), chroma(T), hue_degrees(R), hue_degrees(T)
    dL, dC = T[..., 0] - R[..., 0], C_T - C_R
    across = np.abs(h_T - h_R) > 180
    sign = np.sign(h_T - h_R) * np.where(across, -1.0, 1.0)
    # Rounding can bring the square a hair below nought where the hues agree.
    dH = sign * np.sqrt(np.maximum(delta_e_76(R, T) ** 2 - dL**2 - dC**2, 0.0))

    both = h_T + h_R
    h_M = both / 2 + np.where(across, np.where(both < 360, 180.0, -180.0), 0.0)  # (10) to (12)
    C_M = (C_T + C_R) / 2
    away = np.abs(h_M - 280)
    x = (np.where(away <= 180, away, 360 - away) / 30) ** 2
    D = dC * C_M * np.exp(-x) / 100
    dC_F = (dC - D) / (1 + (20 * C_M / 1000) ** 2)
    dH_F = (dH - D) / (1 + (10 * C_M / 1000) ** 2)
    return np.asarray(np.sqrt(dL**2 + dC_F**2 + dH_F**2))


def grade_a05(reference: npt.ArrayLike, test: npt.ArrayLike) -> Floats:
    """Grey scale grade of L*a*b* (…, 3) and (…, 3) → (…), 1 (great change) to 5 (none).

    Source: EN ISO 105-A05:1997, clause 8; see :func:`assessed_difference` for clause 7.
    """
    dE_F = assessed_difference(reference, test)
    small = 5 - dE_F / 1.7
    large = 5 - np.log2(np.maximum(dE_F, 0.85) / 0.85)
    return np.asarray(np.maximum(np.where(dE_F <= 3.4, small, large), 1.0))


def grade_in_words(grade: float) -> str:
    """The nearest step of the printed scale, as it is written on it: "4", "3-4".

    Source: the nine steps of ISO 105-A02:1993, table 1.
    """
    halves = round(grade * 2)
    return f"{halves // 2}" if halves % 2 == 0 else f"{halves // 2}-{halves // 2 + 1}"
