"""Every skin by its name."""

from __future__ import annotations

from collections.abc import Callable

from tests.studio import grown, heated, worked
from tests.studio.grain import Random
from tests.studio.pieces import DemoPiece
from tests.studio.shapes import Outline
from tests.studio.skin import Skin

_DRAW: dict[str, Callable[[Outline, float, Random], Skin]] = {
    "brushed": worked.brushed, "matt": worked.matt, "patchy": worked.patchy,
    "hammered": worked.hammered, "forged": worked.forged,
    "mottled": grown.mottled, "crusted": grown.crusted, "granular": grown.granular,
    "stippled": heated.stippled, "banded": heated.banded, "spangle": heated.spangle,
}  # fmt: skip


def draw_skin(piece: DemoPiece, outline: Outline, px: float, rng: Random) -> Skin:
    """The skin of a piece, by the texture its table names."""
    if piece.method == "oven heat colour":  # brushed too, but the colour lies in clouds
        return heated.tempered(outline, px, rng)
    if piece.texture == "mottled" and "salt" not in piece.ingredients:
        return grown.stained(outline, px, rng)
    return _DRAW[piece.texture](outline, px, rng)
