"""What a maker keeps from the published library: the ``share`` of a sidecar.

The site is the class library. A part shared with anyone but the class or the public stays out of
every published byte, in the pieces that inherited it too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from builder.records.piece import Entry

PUBLISHED_TO = frozenset({"public", "everyone", "students", "class"})
RECIPE_FIELDS = frozenset(
    {
        "ingredients", "batch", "container", "position", "temperature_c", "humidity_pct",
        "exposure", "cycles", "stop",
        # With the day it was lifted out, which ages are counted from, it would tell the time.
        "started", "finished",
    }
)  # fmt: skip
#: Differences between pieces that would tell the recipe.
RECIPE_FACTORS = frozenset({"recipe", "time", "temp", "container", "position", "humidity", "stop"})


#: Fields of a sidecar that a factor is read from, where they have other names.
FIELDS_OF = {
    "metal": ("metal", "alloy"),
    "thickness": ("thickness", "size_mm"),
    "recipe": ("ingredients",),
    "temp": ("temperature_c",),
    "humidity": ("humidity_pct",),
    "time": ("exposure", "cycles", "started", "finished"),
    "light": ("storage",),
}
KEPT_PRIVATE = "kept private"


def hides(factor: str, withheld: frozenset[str]) -> bool:
    """Whether the value of a factor stays out of what is published."""
    if factor in RECIPE_FACTORS and "ingredients" in withheld:
        return True
    return factor in withheld or any(field in withheld for field in FIELDS_OF.get(factor, ()))


def shares_cost(entry: Entry) -> bool:
    """Whether what a plate costs is published: only where its sidecar says so."""
    return entry.piece.share.get("cost", "private") in PUBLISHED_TO


def list_secrets(entries: Iterable[Entry]) -> Mapping[int, frozenset[str]]:
    """:func:`list_withheld` of every entry, by its identity."""
    entries = tuple(entries)
    shares = {entry.piece.piece: _withheld_by(entry) for entry in entries}
    return {id(entry): _with_inherited(entry, shares) for entry in entries}


def list_withheld(entry: Entry, entries: Iterable[Entry]) -> frozenset[str]:
    """Names of fields of ``entry`` that are not published: its own, and inherited ones that the
    piece they come from withholds."""
    shares = {other.piece.piece: _withheld_by(other) for other in entries}
    return _with_inherited(entry, shares)


def _with_inherited(entry: Entry, shares: Mapping[str, frozenset[str]]) -> frozenset[str]:
    own = _withheld_by(entry)
    inherited = {name for name, source in entry.inherited if name in shares.get(source, ())}
    return own | inherited


def _withheld_by(entry: Entry) -> frozenset[str]:
    parts = {part for part, audience in entry.piece.share.items() if audience not in PUBLISHED_TO}
    return frozenset(parts | (RECIPE_FIELDS if "recipe" in parts else frozenset()))
