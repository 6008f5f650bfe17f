"""Differences between pieces that would tell what one of them keeps back."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from builder.records.audiences import FIELDS
from builder.records.piece import Entry
from builder.relate.factors import FACTORS
from builder.telling.hidden import speaks_of

#: Differences that would tell the recipe.
RECIPE_FACTORS = frozenset({"recipe", "time", "temp", "container", "position", "humidity", "stop"})

#: Fields that the words of a factor are made of, where they have other names.
_FIELDS_OF: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "metal": ("metal", "alloy"),
        "thickness": ("thickness", "size_mm"),
        "recipe": ("ingredients",),
        "temp": ("temperature_c",),
        "humidity": ("humidity_pct",),
        "time": ("exposure", "cycles", "started", "finished"),
        "sealant": tuple(
            f"{place}.{name}"
            for place in ("sealant", "zones.sealant")
            for name in ("kind", "coats", "how")
        ),
        "light": ("storage.light",),
    }
)


@lru_cache(maxsize=2**12)  # a library keeps back few combinations of fields
def hides(factor: str, withheld: frozenset[str]) -> bool:
    """Whether the value of a factor stays out of what is told, ``withheld`` being names of fields
    or of whole records."""
    if factor in RECIPE_FACTORS and any(_lies_in("ingredients", name) for name in withheld):
        return True
    fields = _FIELDS_OF.get(factor, (factor,))
    return any(_lies_in(f, name) or _lies_in(name, f) for f in fields for name in withheld)


def list_hidden_factors(entry: Entry, hidden: frozenset[str]) -> frozenset[str]:
    """The factors that ``entry`` (as it is written) records and does not tell."""
    spoken = frozenset(name for name in hidden if name in FIELDS and speaks_of(entry, name))
    return _list_hidden_factors(spoken)


@cache
def _list_hidden_factors(spoken: frozenset[str]) -> frozenset[str]:
    return frozenset(factor for factor in FACTORS if hides(factor, spoken))


def _lies_in(whole: str, name: str) -> bool:
    return name == whole or name.startswith(f"{whole}.")
