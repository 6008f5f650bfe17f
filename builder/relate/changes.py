"""Where a piece changed, from the start of its watch to its latest look."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from builder.measure.cells import sum_around
from builder.measure.changes import find_changes
from builder.measure.grids import read_grid
from builder.records.photo import Box, Grid
from builder.relate.findings import ChangedSquares, ChangeMap, Difference
from builder.relate.memory import Memory
from builder.relate.places import ALL_BUT, MOST, WHOLE, name_place, name_point

#: Beyond the threshold, a change is told in these two further steps of it: at 2.3, from 4.6 and
#: from 9.2 ΔE00. Common practice, no source.
STEPS = (2.0, 4.0)
#: Less than this part of the face may be chance: of the squares of an unchanged piece up to one in
#: a hundred passes, here and there. It is drawn, and spoken of only where squares lie together:
#: five of nine.
CHANCE = 0.02
PATCH = 5
#: A leftover shift of more than this is said: the two views then lie visibly off each other.
SHIFT_SAID_MM = 1.0

_Mask = NDArray[np.bool_]
_SQUARES: TypeAdapter[ChangedSquares | None] = TypeAdapter(ChangedSquares | None)


def map_change(
    difference: Difference, threshold: float, memory: Memory, box: Box | None = None
) -> ChangeMap | None:
    """The change map of two looks; None where one of them was not taken in squares.

    ``box`` is the looks' zone, fractions of the piece; None for the whole.
    """
    first = difference.first.observation.picture.grid
    second = difference.second.observation.picture.grid
    if first is None or second is None or first.mm != second.mm:
        return None
    u = difference.u
    squares = memory.recall(
        ("changed squares", first, second, u, threshold, box),
        _SQUARES,
        lambda: _find_squares(
            memory.fetch_grid(first), memory.fetch_grid(second), u, threshold, box
        ),
    )
    return ChangeMap(**vars(squares), difference=difference) if squares else None


def _find_squares(
    first: Grid, second: Grid, u: float, threshold: float, box: Box | None
) -> ChangedSquares | None:
    """None where nothing of the box can be compared."""
    found = find_changes(read_grid(first), read_grid(second), u, threshold)
    rows, columns = _part(found.compared.shape, box)
    own = _inside(found.compared.shape, box)[rows, columns]
    compared, moved, hidden = (
        mask[rows, columns] & own for mask in (found.compared, found.moved, found.unsure)
    )
    if not compared.any():
        return None
    de00 = np.where(compared, found.de00[rows, columns], 0)
    steps = (STEPS[0] * threshold, STEPS[1] * threshold)
    share, hidden_share = (float(mask.sum() / compared.sum()) for mask in (moved, hidden))
    largest, at = _find_largest(de00, compared, moved)
    spoken = share >= CHANCE or bool(_find_patches(moved).any())
    where = name_place(moved, compared) if spoken else ""
    largest_where = name_point(*at, compared)
    shift = first.mm * math.hypot(found.motion.down, found.motion.across)
    turn = math.degrees(found.motion.turn)
    return ChangedSquares(
        mm=first.mm,
        levels=_write_levels(de00, compared, moved, hidden, steps),
        steps=steps,
        share=share,
        hidden=hidden_share,
        where=where,
        largest=largest,
        largest_where=largest_where,
        shift_mm=shift,
        turn=turn,
        words=_say(share, hidden_share, where, largest, largest_where, shift),
    )


def _inside(shape: tuple[int, ...], box: Box | None) -> _Mask:
    """Squares (r, c) that are the box's alone: half a square from where the next zone begins."""
    left, top, right, bottom = box or (0.0, 0.0, 1.0, 1.0)
    inside = []
    for count, start, end in zip(shape, (top, left), (bottom, right), strict=True):
        first, last = np.arange(count), np.arange(1, count + 1)
        inside.append(
            ((start <= 0) | (first >= start * count + 0.5))
            & ((end >= 1) | (last <= end * count - 0.5))
        )
    return np.asarray(inside[0][:, None] & inside[1][None, :])


def _part(shape: tuple[int, ...], box: Box | None) -> tuple[slice, slice]:
    """Rows and columns whose middles lie in the box."""
    left, top, right, bottom = box or (0.0, 0.0, 1.0, 1.0)
    rows, columns = shape
    return (
        slice(round(top * rows), max(round(bottom * rows), round(top * rows) + 1)),
        slice(round(left * columns), max(round(right * columns), round(left * columns) + 1)),
    )


def _find_patches(moved: _Mask) -> _Mask:
    """Squares (r, c) that moved with most of their neighbours."""
    return np.asarray(moved & (sum_around(moved.astype(np.float64)) >= PATCH))


def _find_largest(
    de00: NDArray[np.float64], compared: _Mask, moved: _Mask
) -> tuple[float, tuple[int, int]]:
    """The greatest mean over a square and its eight neighbours, and where: among patches that
    moved, where there are any, else among all."""
    count = sum_around(compared.astype(np.float64))
    mean = np.where(compared, sum_around(de00) / np.maximum(count, 1), -1)
    patches = _find_patches(moved)
    mean = np.where(patches, mean, -1) if patches.any() else mean
    row, column = np.unravel_index(int(np.argmax(mean)), mean.shape)
    return max(float(mean[row, column]), 0.0), (int(row), int(column))


def _write_levels(
    de00: NDArray[np.float64],
    compared: _Mask,
    moved: _Mask,
    hidden: _Mask,
    steps: tuple[float, float],
) -> str:
    signs = np.full(de00.shape, "-")
    signs[compared] = "0"
    signs[hidden] = "?"
    for level, least in (("1", 0.0), ("2", steps[0]), ("3", steps[1])):
        signs[moved & (de00 >= least)] = level
    return "\n".join("".join(row) for row in signs)


def _say(
    share: float,
    hidden: float,
    where: str,
    largest: float,
    largest_where: str,
    shift: float,
) -> str:
    if not where:
        words = "No place changed by more than noise and enough to be seen."
    else:
        part = "less than 1" if share < 0.01 else f"{100 * share:.0f}"
        over = where in (WHOLE, MOST) or where.startswith(ALL_BUT)
        said = f"over {where} ({part} %)" if over else f"on {part} % of the face: {where}"
        words = f"Changed {said}; most in the {largest_where}, ΔE00 {largest:.1f}."
    if hidden >= 0.05:
        words += (
            f" On {100 * hidden:.0f} % of it colours meet so closely that only a greater change "
            "would show."
        )
    if shift > SHIFT_SAID_MM:
        words += (
            f" The piece lay {shift:.1f} mm off from one photograph to the other: the map allows "
            "for it, the two views do not."
        )
    return words
