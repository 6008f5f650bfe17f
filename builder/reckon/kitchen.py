"""Spoons, cups and pints whose system is not written: every size they may have.

Source of the sizes: :mod:`builder.records.units`. Older British spoons, a twenty-fourth and an
eighth of an imperial gill: from memory.
"""

from __future__ import annotations

from builder.reckon.ranges import Range, span
from builder.records.facts import Fact, Quantity
from builder.records.numbers import split_measure
from builder.records.units import FORMS, MEASURES_ML

_GILL_ML = 142.0653125  # a quarter of an imperial pint
_OLDER_ML = {"teaspoon": _GILL_ML / 24, "tablespoon": _GILL_ML / 8}
_MEASURE_OF = {name: measure for measure, names in FORMS.items() for name in names.split(",")}
#: Grams in a millilitre of fine salt poured from a spoon: 6 g to 5 ml, common practice.
SALT_G_ML = 1.2


def list_sizes(measure: str) -> dict[str, float]:
    """System to millilitres, of every system that has the measure."""
    sizes = {system: ml for (system, name), ml in MEASURES_ML.items() if name == measure}
    older = {"older British": _OLDER_ML[measure]} if measure in _OLDER_ML else {}
    return sizes | older


def find_amount(fact: Fact[Quantity]) -> Range | None:
    """Grams or millilitres of an amount; a range where a kitchen measure does not say its system.
    None for what is counted, shared out, or not read."""
    value = fact.value
    if value is None or value.unit not in ("g", "ml"):
        return None
    measure = split_measure(fact.written)
    name = _MEASURE_OF.get(measure.rest) if measure else None
    if measure is None or name is None:
        return Range(value.number, value.number, value.unit, _rule(value))
    sizes = list_sizes(name)
    told = ", ".join(f"{system} {ml:.4g}" for system, ml in sizes.items())
    ends = (measure.number * ml for ml in sizes.values())
    return span(ends, "ml", f"a {name} may be: {told} ml")


def _rule(value: Quantity) -> tuple[str, ...]:
    return (value.assumed,) if value.assumed else ()
