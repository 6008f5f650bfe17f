"""Ammonia in a closed box, for comparing boxes, not for safety.

Dilute, ideal, nothing leaks, wet salt takes nothing up: real boxes hold less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from builder.reckon.molar import find_molar_mass
from builder.reckon.solutions import find_active_mass

FOR_COMPARING = "for comparing boxes, not for safety"
#: Henry's solubility of ammonia at 25 °C, mol/(m³ Pa), and how it falls with heat, K. Source:
#: Sander, Atmos. Chem. Phys. 23:10901 (2023); sound values are 0.55 to 0.61 and 4100 to 4400.
HENRY, HENRY_K = 0.59, 4200.0
#: %, above which the law of dilute solutions is only a rough guide: it fails above a few per cent.
DILUTE_UP_TO = 10.0
_R = 8.314462618  # J/(mol K), CODATA
_ATM = 101_325.0  # Pa
_25_C, _0_C = 298.15, 273.15


@dataclass(frozen=True)
class Box:
    """``litres`` of the closed box, ``ml`` of ammonia of ``percent`` NH3 by weight and ``density``
    g/ml in it, at ``celsius``."""

    litres: float
    ml: float
    percent: float
    density: float
    celsius: float = 25.0


def find_henry(celsius: float) -> float:
    """Henry's solubility of ammonia, mol/(m³ Pa): H · exp(K (1/T − 1/298.15)). Source: as
    :data:`HENRY`."""
    return HENRY * math.exp(HENRY_K * (1 / (celsius + _0_C) - 1 / _25_C))


def find_pressure(box: Box) -> float:
    """Ammonia over the liquid, atm: n / (H · V liquid + V air / RT). Sources: Henry's law and the
    ideal gas law."""
    return _amount(box) / (_in_liquid(box) + _in_air(box)) / _ATM


def find_share_in_air(box: Box) -> float:
    """Which part of the ammonia is in the air of the box, 0 to 1."""
    return _in_air(box) / (_in_liquid(box) + _in_air(box))


def find_dose(box: Box) -> float:
    """Grams of NH3 to a litre of box."""
    return find_active_mass(box.ml, box.density, box.percent) / box.litres


def _amount(box: Box) -> float:
    """mol of NH3."""
    return find_active_mass(box.ml, box.density, box.percent) / find_molar_mass("NH3")


def _in_liquid(box: Box) -> float:
    return find_henry(box.celsius) * box.ml * 1e-6


def _in_air(box: Box) -> float:
    return (box.litres * 1e-3 - box.ml * 1e-6) / (_R * (box.celsius + _0_C))
