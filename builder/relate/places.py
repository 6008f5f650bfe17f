"""Where on a piece something lies, in the words one would use holding it. Common practice, no
source, for every figure here."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Mask = NDArray[np.bool_]

#: This much of the piece is the whole face; less than this is nowhere in particular.
WHOLE_FROM = 0.85
#: From here on it is told what is left out: "all but the lower edge", "most of the face".
MOST_FROM = 0.6
#: A place is named where marked area and place agree so well: twice the common part over the sum
#: of both (the coefficient of L. R. Dice, Ecology 26(3):297-302, 1945).
NAMED_FROM = 0.7
#: An edge is this part of the shorter side wide.
EDGE_PART = 0.12
#: A spot is smaller than this part of the face; spots are told where they are most of what is
#: marked.
SPOT_BELOW = 0.02
SPOTS_FROM = 0.6

WHOLE, MOST, ALL_BUT = "the whole face", "most of the face", "all but "
_DOWN = ("upper", "middle", "lower")
_ACROSS = ("left", "centre", "right")


def name_place(marked: Mask, there: Mask) -> str:
    """Where the ``marked`` squares (r, c) of those that are ``there`` lie: "the lower edge", "the
    left half", "spots, most of them in the upper half", "the whole face"; "" for none marked."""
    if not marked.any():
        return ""
    share = marked.sum() / max(int(there.sum()), 1)
    if share >= WHOLE_FROM:
        return WHOLE
    places = _list_places(there)
    if share >= MOST_FROM:
        name, agreement = _best(there & ~marked, places)
        return f"{ALL_BUT}{name}" if agreement >= NAMED_FROM else MOST
    pieces = _sizes(marked)
    small = pieces[pieces < max(2.0, SPOT_BELOW * there.sum())]
    if small.sum() >= SPOTS_FROM * marked.sum():
        return _name_spots(marked, len(pieces), places)
    name, agreement = _best(marked, places)
    if agreement >= NAMED_FROM:
        return name
    mostly = _name_half(marked, places)
    return f"patches, most of them in {mostly}" if mostly else "patches all over"


def name_point(row: int, column: int, there: Mask) -> str:
    """The ninth of the piece a square lies in: "upper left", "centre"."""
    rows, columns = (np.flatnonzero(there.any(axis=axis)) for axis in (1, 0))
    down = _third(row, rows)
    across = _third(column, columns)
    if down == 1:
        return "centre" if across == 1 else f"middle of the {_ACROSS[across]} side"
    return f"{_DOWN[down]} {_ACROSS[across]}"


def _third(at: int, span: NDArray[np.integer]) -> int:
    return min(2, 3 * (at - int(span[0])) // max(1, int(span[-1] - span[0]) + 1))


def _name_spots(marked: Mask, count: int, places: tuple[tuple[str, Mask], ...]) -> str:
    if count == 1:
        return "one spot"
    mostly = _name_half(marked, places)
    return f"spots, most of them in {mostly}" if mostly else "spots all over"


def _name_half(marked: Mask, places: tuple[tuple[str, Mask], ...]) -> str:
    """The half that holds four in five of the marked squares, the fullest first."""
    halves = [(name, place) for name, place in places if name.endswith("half")]
    name, held = max(
        ((name, (marked & place).sum() / marked.sum()) for name, place in halves),
        key=lambda found: found[1],
    )
    return name if held >= 0.8 else ""


def _best(marked: Mask, places: tuple[tuple[str, Mask], ...]) -> tuple[str, float]:
    found = ((name, _agree(marked, place)) for name, place in places)
    return max(found, key=lambda one: one[1])


def _agree(marked: Mask, place: Mask) -> float:
    return float(2 * (marked & place).sum() / max(1, marked.sum() + place.sum()))


def _list_places(there: Mask) -> tuple[tuple[str, Mask], ...]:
    """The places a piece has, most exact last so that at even agreement the plainer name goes."""
    rows, columns = (np.flatnonzero(there.any(axis=axis)) for axis in (1, 0))
    height, width = int(rows[-1] - rows[0]) + 1, int(columns[-1] - columns[0]) + 1
    y, x = np.mgrid[: there.shape[0], : there.shape[1]]
    down = (y - rows[0] + 0.5) / height
    across = (x - columns[0] + 0.5) / width
    shorter = min(height, width)
    from_top, from_left = down * height / shorter, across * width / shorter
    from_bottom, from_right = (1 - down) * height / shorter, (1 - across) * width / shorter
    third = 1 / 3
    found = [
        ("the upper half", down < 0.5),
        ("the lower half", down > 0.5),
        ("the left half", across < 0.5),
        ("the right half", across > 0.5),
        ("the upper third", down < third),
        ("the lower third", down > 2 * third),
        ("the left third", across < third),
        ("the right third", across > 2 * third),
        ("the band across the middle", (down > third) & (down < 2 * third)),
        ("the band down the middle", (across > third) & (across < 2 * third)),
        (
            "the middle",
            (np.abs(down - 0.5) < 0.3) & (np.abs(across - 0.5) < 0.3),
        ),
        ("the upper edge", from_top < EDGE_PART),
        ("the lower edge", from_bottom < EDGE_PART),
        ("the left edge", from_left < EDGE_PART),
        ("the right edge", from_right < EDGE_PART),
        (
            "the rim all round",
            np.minimum.reduce([from_top, from_bottom, from_left, from_right]) < EDGE_PART,
        ),
        *(
            (
                f"the {_DOWN[i]} {_ACROSS[j]} corner",
                (np.abs(down - i / 2) < third) & (np.abs(across - j / 2) < third),
            )
            for i in (0, 2)
            for j in (0, 2)
        ),
    ]
    return tuple((name, np.asarray(place & there)) for name, place in found)


def _sizes(marked: Mask) -> NDArray[np.int64]:
    """How many squares each connected part has; squares that touch by a corner are connected."""
    label = np.where(marked, np.arange(1, marked.size + 1).reshape(marked.shape), 0)
    while True:
        padded = np.pad(label, 1)
        rows, columns = label.shape
        most = np.max(
            [padded[i : i + rows, j : j + columns] for i in range(3) for j in range(3)], axis=0
        )
        grown = np.where(marked, most, 0)
        if np.array_equal(grown, label):
            break
        label = grown
    return np.asarray(np.unique(label[label > 0], return_counts=True)[1])
