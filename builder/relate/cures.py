"""What would have kept a piece from failing, by its cause. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from builder.relate.factors import Number, Parts
from builder.relate.synonyms import BARE

_LESS, _OTHER, _MORE = -1, 0, 1

#: The factor whose change cures a cause, and which way: less of it, more of it, or any other.
CURES: Mapping[str, tuple[str, int]] = MappingProxyType(
    {
        "grease": ("prep", _OTHER),
        "fingerprint": ("prep", _OTHER),
        "not degreased": ("prep", _OTHER),
        "too long": ("time", _LESS),
        "too short": ("time", _MORE),
        "too hot": ("temp", _LESS),
        "too cold": ("temp", _MORE),
        "too strong": ("recipe", _LESS),
        "too weak": ("recipe", _MORE),
        "damp at sealing": ("dry", _OTHER),
        "wrong metal": ("metal", _OTHER),
        "wrong sealant": ("sealant", _OTHER),
        "left bare": ("sealant", _OTHER),
        "no sealant": ("sealant", _OTHER),
    }
)


def is_cure(cause: str, factor: str, failed: Parts, changed: Parts) -> bool:
    """Whether what is changed of a ``factor`` takes the ``cause`` away, in one spelling. A cause
    that nobody knows has no cure that can be told."""
    wanted, way = CURES.get(cause, ("", _OTHER))
    if factor != wanted:
        return False
    if way == _OTHER:
        return not (wanted == "sealant" and "bare" in cause and changed.get("kind") == BARE)
    return _goes(failed, changed, way)


def _goes(before: Parts, after: Parts, way: int) -> bool:
    """Whether every number that differs differs that way, and one does."""
    pairs = [(one, after.get(name)) for name, one in before.items()]
    steps = [
        other.value - one.value
        for one, other in pairs
        if isinstance(one, Number) and isinstance(other, Number) and not one.same_as(other)
    ]
    return bool(steps) and all(step * way > 0 for step in steps)
