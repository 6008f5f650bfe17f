"""What the marking page is told, and what it sends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from builder.errors import LibraryError, Problem, Weight
from builder.look.perspective import CornersError, map_plane
from builder.read.corners import read_quad
from builder.read.option_values import SETTINGS_FILE
from builder.records.photo import Quad
from builder.records.settings import SetUp

#: Where the corners lie before anybody has moved them; `common practice, no source`.
START: Mapping[str, Quad] = {
    "piece_at": ((0.2, 0.15), (0.56, 0.15), (0.56, 0.85), (0.2, 0.85)),
    "card_at": ((0.66, 0.2), (0.88, 0.2), (0.88, 0.5), (0.66, 0.5)),
}


@dataclass(frozen=True)
class Picture:
    """The upright picture as the page shows it: JPEG bytes, pixels."""

    name: str
    width: int
    height: int
    data: bytes = field(repr=False)


def describe_setup(setup: SetUp, picture: Picture, digest: str) -> dict[str, Any]:
    """What the page is told: the picture, the corners to begin with, the card's grid."""
    card = setup.card
    return {
        "setup": setup.name,
        "photo": picture.name,
        "width": picture.width,
        "height": picture.height,
        "seen": digest,
        "file": SETTINGS_FILE,
        "piece_at": setup.piece_at or START["piece_at"],
        "card_at": setup.card_at or START["card_at"],
        "has_card": bool(card or setup.card_at),
        "rows": card.rows if card else 0,
        "columns": card.columns if card else 0,
        "patches": [[patch.row, patch.column] for patch in card.patches] if card else [],
    }


def read_corners(sent: Any, key: str, picture: Picture) -> Quad:
    """Corners from the page for ``key``, fractions 0 to 1, rounded as they are written.

    Raises ``LibraryError`` where they make no place that can be straightened.
    """
    wrong = "four corners [x, y] are needed"
    if _is_four_points(sent):
        quad = read_quad([[f"{part:.4f}" for part in corner] for corner in sent])
        if not isinstance(quad, str):
            try:
                map_plane(quad, picture.width, picture.height)
            except CornersError:
                quad = "they make a place too small or too slanted"
        if not isinstance(quad, str):
            return quad
        wrong = quad
    raise refuse(
        f"the corners of {key}: {wrong}",
        "four inside the picture, clockwise from the left top",
        "move them and save again; nothing was written",
    )


def _is_four_points(sent: Any) -> bool:
    def is_number(part: Any) -> bool:
        # A page's whole numbers have no largest, and “not a number” is smaller than nothing.
        return isinstance(part, (int, float)) and not isinstance(part, bool) and abs(part) < 1_000

    return (
        isinstance(sent, list)
        and len(sent) == 4
        and all(isinstance(corner, list) and len(corner) == 2 for corner in sent)
        and all(is_number(part) for corner in sent for part in corner)
    )


def refuse(found: str, expected: str, remedy: str) -> LibraryError:
    """A problem of the settings that stops what is done."""
    return LibraryError(Problem(SETTINGS_FILE, 0, found, expected, remedy, Weight.STOPS))
