"""How far apart two colours are."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Floats
from builder.records.photo import Lab


def delta_e_76(lab1: npt.ArrayLike, lab2: npt.ArrayLike) -> Floats:
    """ΔE*ab of L*a*b* (…, 3) and (…, 3), broadcast → (…), from 0.

    Source: CIE 15:2004, section 8.2.1.
    """
    step = np.asarray(lab1, dtype=np.float64) - np.asarray(lab2, dtype=np.float64)
    dL, da, db = step[..., 0], step[..., 1], step[..., 2]
    return np.asarray(np.sqrt(dL**2 + da**2 + db**2))


def delta_e_2000(lab1: npt.ArrayLike, lab2: npt.ArrayLike) -> Floats:
    """ΔE00 of L*a*b* (…, 3) and (…, 3), broadcast → (…), from 0; kL = kC = kH = 1.

    Symmetric; zero on equal colours; steps where the mean hue turns over, as the formula does.
    Source: CIE 142-2001 in the form of Sharma, Wu and Dalal, Color Research and Application
    30(1):21-30 (2005), whose equation numbers stand beside the lines.
    """
    first, second = np.broadcast_arrays(
        np.asarray(lab1, dtype=np.float64), np.asarray(lab2, dtype=np.float64)
    )
    L1, a1, b1 = first[..., 0], first[..., 1], first[..., 2]
    L2, a2, b2 = second[..., 0], second[..., 1], second[..., 2]

    C_mean7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7  # (2), (3)
    G = 0.5 * (1 - np.sqrt(C_mean7 / (C_mean7 + 25.0**7)))  # (4)
    a1, a2 = (1 + G) * a1, (1 + G) * a2  # (5)
    C1, C2 = np.hypot(a1, b1), np.hypot(a2, b2)  # (6)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360  # (7)

    grey = C1 * C2 == 0  # a neutral has no hue: the step in hue is nought, the sum stands for both
    dL, dC = L2 - L1, C2 - C1  # (8), (9)
    step = h2 - h1
    dh = np.where(step > 180, step - 360, np.where(step < -180, step + 360, step))
    dh = np.where(grey, 0.0, dh)  # (10)
    dH = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(dh) / 2)  # (11)

    L_mean, C_mean = (L1 + L2) / 2, (C1 + C2) / 2  # (12), (13)
    both = h1 + h2
    h_mean = np.where(
        np.abs(step) <= 180, both / 2, np.where(both < 360, (both + 360) / 2, (both - 360) / 2)
    )
    h_mean = np.where(grey, both, h_mean)  # (14)
    T = (
        1
        - 0.17 * np.cos(np.radians(h_mean - 30))
        + 0.24 * np.cos(np.radians(2 * h_mean))
        + 0.32 * np.cos(np.radians(3 * h_mean + 6))
        - 0.20 * np.cos(np.radians(4 * h_mean - 63))
    )  # (15)
    turn = 30 * np.exp(-(((h_mean - 275) / 25) ** 2))  # (16)
    R_C = 2 * np.sqrt(C_mean**7 / (C_mean**7 + 25.0**7))  # (17)
    S_L = 1 + 0.015 * (L_mean - 50) ** 2 / np.sqrt(20 + (L_mean - 50) ** 2)  # (18)
    S_C = 1 + 0.045 * C_mean  # (19)
    S_H = 1 + 0.015 * C_mean * T  # (20)
    R_T = -np.sin(np.radians(2 * turn)) * R_C  # (21)
    tL, tC, tH = dL / S_L, dC / S_C, dH / S_H
    # The cross term can bring the sum a rounding error below nought.
    return np.asarray(np.sqrt(np.maximum(tL**2 + tC**2 + tH**2 + R_T * tC * tH, 0.0)))  # (22)


def delta_e_2000_of(lab1: Lab, lab2: Lab) -> float:
    """ΔE00 of two colours alone: :func:`delta_e_2000` without arrays, which for one pair take
    thirty times as long as the sums. Lines and equation numbers are the same."""
    (L1, a1, b1), (L2, a2, b2) = lab1, lab2
    C_mean7 = ((math.hypot(a1, b1) + math.hypot(a2, b2)) / 2) ** 7  # (2), (3)
    G = 0.5 * (1 - math.sqrt(C_mean7 / (C_mean7 + 25.0**7)))  # (4)
    a1, a2 = (1 + G) * a1, (1 + G) * a2  # (5)
    C1, C2 = math.hypot(a1, b1), math.hypot(a2, b2)  # (6)
    h1, h2 = math.degrees(math.atan2(b1, a1)) % 360, math.degrees(math.atan2(b2, a2)) % 360  # (7)

    dL, dC = L2 - L1, C2 - C1  # (8), (9)
    step, both = h2 - h1, h1 + h2
    if C1 * C2 == 0:
        dh, h_mean = 0.0, both
    elif abs(step) <= 180:
        dh, h_mean = step, both / 2
    else:
        dh = step - math.copysign(360, step)  # (10)
        h_mean = (both + 360) / 2 if both < 360 else (both - 360) / 2  # (14)
    dH = 2 * math.sqrt(C1 * C2) * math.sin(math.radians(dh) / 2)  # (11)

    L_mean, C_mean = (L1 + L2) / 2, (C1 + C2) / 2  # (12), (13)
    T = (
        1
        - 0.17 * math.cos(math.radians(h_mean - 30))
        + 0.24 * math.cos(math.radians(2 * h_mean))
        + 0.32 * math.cos(math.radians(3 * h_mean + 6))
        - 0.20 * math.cos(math.radians(4 * h_mean - 63))
    )  # (15)
    turn = 30 * math.exp(-(((h_mean - 275) / 25) ** 2))  # (16)
    R_C = 2 * math.sqrt(C_mean**7 / (C_mean**7 + 25.0**7))  # (17)
    S_L = 1 + 0.015 * (L_mean - 50) ** 2 / math.sqrt(20 + (L_mean - 50) ** 2)  # (18)
    S_C = 1 + 0.045 * C_mean  # (19)
    S_H = 1 + 0.015 * C_mean * T  # (20)
    R_T = -math.sin(math.radians(2 * turn)) * R_C  # (21)
    tL, tC, tH = dL / S_L, dC / S_C, dH / S_H
    return math.sqrt(max(tL**2 + tC**2 + tH**2 + R_T * tC * tH, 0.0))  # (22)
