"""What a maker keeps from the published library: the ``share`` of a sidecar.

The site is the class library. A part shared with anyone but the class or the public stays out of
every published byte, in the pieces that inherited it too.
"""

from __future__ import annotations

from collections.abc import Iterable

from builder.records.piece import Entry

PUBLISHED_TO = frozenset({"public", "everyone", "students", "class"})
RECIPE_FIELDS = frozenset(
    {
        "ingredients", "batch", "container", "position", "temperature_c", "humidity_pct",
        "exposure", "cycles", "stop",
    }
)  # fmt: skip
#: Differences between pieces that would tell the recipe.
RECIPE_FACTORS = frozenset({"recipe", "time", "temp", "container", "position", "humidity", "stop"})


def list_withheld(entry: Entry, entries: Iterable[Entry]) -> frozenset[str]:
    """Names of fields of ``entry`` that are not published: its own, and inherited ones that the
    piece they come from withholds."""
    shares = {other.piece.piece: _withheld_by(other) for other in entries}
    own = _withheld_by(entry)
    inherited = {name for name, source in entry.inherited if name in shares.get(source, ())}
    return own | inherited


def _withheld_by(entry: Entry) -> frozenset[str]:
    parts = {part for part, audience in entry.piece.share.items() if audience not in PUBLISHED_TO}
    return frozenset(parts | (RECIPE_FIELDS if "recipe" in parts else frozenset()))
