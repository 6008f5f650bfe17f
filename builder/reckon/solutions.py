"""Mass, molarity and dilution of a solution.

Per cent are by weight throughout, densities g/ml.
"""

from __future__ import annotations

#: One mole of gas at 0 °C and 1 atm, litres, as the trade's "volumes" of peroxide are counted.
GAS_L_PER_MOL = 22.4


def find_active_mass(ml: float, density: float, percent: float) -> float:
    """Grams of what acts: m = V · ρ · w / 100. Source: definition."""
    return ml * density * percent / 100


def find_molarity(density: float, percent: float, molar_mass: float) -> float:
    """mol/l: 10 · ρ · w / M. Source: definition."""
    return 10 * density * percent / molar_mass


def find_water_to_add(grams: float, percent: float, wanted: float) -> float:
    """Grams of water that bring ``grams`` of ``percent`` down to ``wanted``: m (w₁ / w₂ − 1).

    By mass: volumes do not add up in strong ammonia. Raises ``ValueError`` where ``wanted`` is
    nought or above ``percent``. Source: what acts stays the same, m₁w₁ = m₂w₂.
    """
    if not 0 < wanted <= percent:
        raise ValueError("water makes nothing stronger")
    return grams * (percent / wanted - 1)


def find_peroxide_g_per_l(volumes: float, molar_mass: float) -> float:
    """g/l of peroxide of so many "volumes": litres of oxygen, at 0 °C and 1 atm, that a litre sets
    free. Source: 2 H2O2 → 2 H2O + O2."""
    return volumes * 2 * molar_mass / GAS_L_PER_MOL
