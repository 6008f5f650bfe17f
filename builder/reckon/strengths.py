"""The strength on a bottle: what the words may mean."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from builder.reckon.densities import find_density
from builder.reckon.molar import find_molar_mass
from builder.reckon.solutions import find_peroxide_g_per_l
from builder.reckon.substances import AMMONIA, PEROXIDE, Substance
from builder.records.numbers import split_measure
from builder.records.plain_names import name_plainly
from builder.records.quantities import read_strength

#: A bottle said as NH4OH names 2.058 times the per cent of NH3 that is in it.
NH4OH_PER_NH3 = find_molar_mass("NH4OH") / find_molar_mass("NH3")
_STRONGEST_NH3 = 36.0  # %, nothing stronger is sold in a bottle; common practice, no source
_BY_WEIGHT = re.compile(r"(?:%|per ?cent|pct) ?(?:w/w|by weight|by mass)")
_BY_WEIGHT_IN_VOLUME = re.compile(r"(?:%|per ?cent|pct) ?w/v")
_PER_CENT = re.compile(r"%|per ?cent|pct")
_AS = re.compile(r"(?P<per_cent>%|per ?cent|pct) ?(?:as )?(?P<what>nh3|nh4oh)")
_VOLUMES = re.compile(r"vols?|volumes?")
_STEPS = 40  # each brings the per cent nearer by the share that density changes: far below a tenth


@dataclass(frozen=True)
class Strength:
    """One reading. ``g_per_l``: grams of what acts in a litre; ``percent``: by weight, None where
    the solution's density is not known; ``assumed``: the rule it rests on."""

    g_per_l: float
    percent: float | None = None
    assumed: str = ""


def read_ways(written: str, substance: Substance, name: str = "") -> tuple[Strength, ...]:
    """Every way of reading ``written``; ``name`` is the ingredient's as written. Empty where it
    cannot be read for this substance, as per cent by volume."""
    return tuple(_read(written, substance, name))


def _read(written: str, substance: Substance, name: str) -> Iterator[Strength]:
    measure = split_measure(written)
    if measure is None or measure.number < 0:
        return
    number, unit = measure.number, measure.rest
    said = _AS.fullmatch(unit)
    if said and substance is AMMONIA:
        part = NH4OH_PER_NH3 if said["what"] == "nh4oh" else 1.0
        yield from _by_weight(number / part, substance, "")
    elif _BY_WEIGHT.fullmatch(unit):
        yield from _by_weight(number, substance, "")
    elif _BY_WEIGHT_IN_VOLUME.fullmatch(unit):
        yield from _in_volume(10 * number, substance, "")
    elif _PER_CENT.fullmatch(unit):
        yield from _read_plain(number, substance, name)
    elif _VOLUMES.fullmatch(unit) and substance is PEROXIDE:
        g_per_l = find_peroxide_g_per_l(number, PEROXIDE.forms[0].molar_mass)
        yield from _in_volume(g_per_l, substance, "volumes of oxygen at 0 °C and 1 atm")
    else:
        value = read_strength(written)
        if value is not None and value.unit == "g/l":
            yield from _in_volume(value.number, substance, "")


def _read_plain(number: float, substance: Substance, name: str) -> Iterator[Strength]:
    """A bare per cent."""
    if substance is AMMONIA:
        hydroxide = name_plainly(name) == "ammonium hydroxide"
        if number <= _STRONGEST_NH3:
            yield from _by_weight(number, substance, "% taken as NH3 by weight")
        if hydroxide or number > _STRONGEST_NH3:
            words = f"% taken as NH4OH, {NH4OH_PER_NH3:.3f} times the NH3"
            yield from _by_weight(number / NH4OH_PER_NH3, substance, words)
    elif substance.sold_dissolved:
        yield from _by_weight(number, substance, "% taken by weight")
    else:
        yield from _in_volume(10 * number, substance, "% taken as grams in 100 ml")


def _by_weight(percent: float, substance: Substance, assumed: str) -> Iterator[Strength]:
    density = find_density(substance.name, percent)
    if density is not None:
        yield Strength(10 * percent * density, percent, assumed)


def _in_volume(g_per_l: float, substance: Substance, assumed: str) -> Iterator[Strength]:
    yield Strength(g_per_l, _find_percent(g_per_l, substance), assumed)


def _find_percent(g_per_l: float, substance: Substance) -> float | None:
    """Per cent by weight of so many g/l: c = 10 · w · ρ(w), nearer with each step."""
    percent = g_per_l / 10
    for _ in range(_STEPS):
        density = find_density(substance.name, percent)
        if density is None:
            return None
        percent = g_per_l / (10 * density)
    return percent
