"""The reference card in its slot: where its patches lie, whichever way it was laid down.

Strict: where card and list do not agree patch by patch, there is a sentence and no place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.card_edges import Settled, goes_on, settle
from builder.look.card_search import (
    Listed,
    Points,
    Pose,
    Sums,
    improve,
    lighten,
    list_card,
    search,
)
from builder.look.regions import Floats, Mask, soften
from builder.records.jig import PointMm

Patch = tuple[int, int, Sequence[float]]

_WORKED_PX = 3.0  # cells a mm while searching: patches are some millimetres wide
_EMPTY = 0.05  # sd of lightness: less, and nothing but paper lies in the slot
_LIKE = 0.90  # share of what is seen that the list accounts for
_LIKE_WITH_MIXING = 0.955  # the same once channels may mix, as they do in cameras
_HOPELESS = 0.4  # looking closely brings some hundredths: another way round begins at half
_NEXT_BEST = 0.02  # by which a pose must be better than any other
_MIXING = 9  # from so many patches on a mixing of channels can be told from chance
_OFF = 0.13  # of lightness, some 15 L*: no lamp and no camera's curve moves one patch so far
_UNEVEN = 0.07  # sd within the inner part of a patch; a dark patch's noise stays below
_SIZE_OFF = 0.05  # a card measured by a ruler is no further off
_COLOURED = 10.0  # chroma; a card of greys alone does not tell its size
_LOST = 0.2  # of a patch's inner part out of scale: its colour is not to be gone by
_LEAST_WHOLE = 3
_TOLD = 0.25  # of the edges along each axis have to agree for a place to be trusted
_LEAST_COVER = 0.5  # of the patches have to agree for a card to be called covered, not another


class CardPlaceError(Exception):
    """No place of the card that could be trusted; ``sentence`` says what was found and what to
    do."""

    def __init__(self, sentence: str) -> None:
        self.sentence = sentence
        super().__init__(sentence)


class NoCardError(CardPlaceError):
    """Nothing lies in the slot."""


@dataclass(frozen=True)
class CardPlace:
    """Where the card's patches lie.

    ``quad_mm``: four corners on the sheet, mm, of the grid whose even division by rows and columns
    has the patches in the middle of its cells, clockwise from the corner at A1. ``turned``: 0, 90,
    180 or 270, how far the card lies turned clockwise. ``score``: 0 to 1, the share of what is seen
    that the listed colours account for. ``said``: a sentence where it does not lie upright.
    """

    quad_mm: tuple[PointMm, PointMm, PointMm, PointMm]
    turned: int
    score: float
    said: tuple[str, ...] = ()


def find_card(
    flat: NDArray[Any],
    px_per_mm: float,
    origin_mm: PointMm,
    rows: int,
    columns: int,
    patches: Sequence[Patch],
    size_mm: tuple[float, float] | None = None,
    clipped: Mask | None = None,
) -> CardPlace:
    """The card in ``flat`` (h, w, 3): the slot and some millimetres about it, straightened, linear
    light over that of the white paper, its left top corner at ``origin_mm``.

    ``patches``: row and column from 0, and L*a*b* (D65) of each patch listed, at least three.
    ``size_mm``: width and height from outer edge to outer edge of the patches, the card upright.
    ``clipped`` (h, w): what ran out of scale in the picture, and so may look unlike its list.
    Raises :class:`NoCardError` and :class:`CardPlaceError`.
    """
    if len(patches) < 3:
        raise CardPlaceError(
            "A card of one or two patches cannot be told from other things in the slot. Use one of "
            "three or more, or photograph on a stand and mark its corners by hand."
        )
    if size_mm is None and max(np.hypot(lab[1], lab[2]) for _, _, lab in patches) < _COLOURED:
        raise CardPlaceError(
            "A card of greys alone is found only where its size is known. Write the width and "
            "height of its patches, from outer edge to outer edge, into the set-up as card_mm."
        )
    seen, px = _prepare(flat, px_per_mm)
    if float(np.std(seen, axis=(0, 1)).max()) < _EMPTY:
        raise NoCardError("No card lies in the slot. Lay the card inside its outline.")
    listed = list_card(rows, columns, patches)
    sums = Sums(seen)
    found = search(sums, px, listed, size_mm)
    if not found:
        raise CardPlaceError(
            "The card is larger than its slot, by the size that is listed for it. Is that right?"
        )
    judged: list[_Judged] = []
    for pose in _few(found):
        # Where one fits well, what began far behind it is not looked at closely.
        sure = judged and judged[0].sound and judged[0].score > _LIKE
        if not (sure and pose.score < found[0].score - _HOPELESS):
            judged.append(_judge(seen, sums, px, listed, pose, size_mm))
    if not any(card.sound for card in judged):
        # A strip fits its list wherever along its width it is read: begin from further places.
        judged += [_judge(seen, sums, px, listed, pose, size_mm) for pose in _shifted(found[0])]
    judged.sort(key=lambda card: (not card.sound, -card.score))
    best = judged[0]
    if clipped is not None:
        best = _forgive(best, _share_lost(clipped, px_per_mm, listed, best.pose))
    _doubt(best, judged, listed, seen, px, size_mm)
    corners = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]) * (columns, rows)
    a, b, c, d = ((float(x), float(y)) for x, y in np.array(origin_mm) + best.pose.places(corners))
    turned = best.pose.turned
    return CardPlace((a, b, c, d), turned, best.score, _say_turned(turned))


@dataclass(frozen=True, eq=False)
class _Judged:
    """A pose looked at closely: ``off`` (n,) how far each patch is from the list, ``uneven`` (n,)
    its spread, ``told`` the share of edges seen; ``sound``: whether it could be a card of this size
    at all."""

    pose: Pose
    score: float
    off: Points
    uneven: Points
    told: float
    sound: bool = True


def _share_lost(clipped: Mask, px_per_mm: float, listed: Listed, pose: Pose) -> Points:
    """The share (n,) of each patch's inner part that ran out of scale."""
    at, _ = _find_inner(clipped.shape, px_per_mm, listed, pose)
    return np.asarray(clipped[at[..., 1], at[..., 0]].mean(axis=1))


def _forgive(card: _Judged, lost: Points) -> _Judged:
    """A patch that ran out of scale is not held against the card: what uses the card leaves it out
    by itself. All of them together tell nothing."""
    whole = lost < _LOST
    if whole.sum() < _LEAST_WHOLE:
        return card
    off = np.where(whole, card.off, 0.0)
    kept = float((card.off**2).sum()) or 1.0
    return replace(card, off=off, score=1 - (1 - card.score) * float((off**2).sum()) / kept)


def _prepare(flat: NDArray[Any], px_per_mm: float) -> tuple[Floats, float]:
    """Lightnesses, at about as many cells a millimetre as are worked on."""
    light = np.asarray(flat, dtype=np.float32)
    part = max(1, int(px_per_mm / _WORKED_PX + 0.01))
    if part > 1:
        h, w = (size // part * part for size in light.shape[:2])
        light = light[:h, :w].reshape(h // part, part, w // part, part, 3).mean(axis=(1, 3))
    seen = lighten(np.minimum(light, 2))
    return soften(seen, 0.25 * px_per_mm / part), px_per_mm / part


def _few(found: Sequence[Pose]) -> list[Pose]:
    """The best of each way round, and what comes close to the best of all."""
    kept: list[Pose] = []
    for pose in found:
        first = all(pose.turned != other.turned for other in kept)
        if first or (len(kept) < 6 and pose.score > found[0].score - 0.1):
            kept.append(pose)
    return kept


def _shifted(pose: Pose) -> list[Pose]:
    return [
        replace(pose, middle=pose.middle + part * step)
        for step in (pose.across, pose.down)
        for part in (-0.3, 0.3)
    ]


def _judge(
    seen: Floats,
    sums: Sums,
    px: float,
    listed: Listed,
    pose: Pose,
    size_mm: tuple[float, float] | None,
) -> _Judged:
    better = improve(sums, px, listed, pose, free=size_mm is None)
    settled = settle(seen, px, listed, better)
    means, spreads = _look_at_patches(seen, px, listed, settled.pose)
    told = settled.told
    if not np.isfinite(means).all():
        return _Judged(better, 0.0, np.ones(len(means)), np.ones(len(means)), 0.0, False)
    sound = (
        told >= _TOLD
        and not goes_on(seen, px, listed, settled)
        and _has_size(settled, listed, size_mm)
    )
    away = means - _expect(listed.colours, means)
    # How much light of a colour outside sRGB is seen is the camera's own business.
    off = np.linalg.norm(np.where(listed.beyond, 0.0, away), axis=1)
    whole = float(((means - means.mean(axis=0)) ** 2).sum()) + float((spreads**2).sum())
    score = 1 - float((off**2).sum() + (spreads**2).sum()) / max(whole, 1e-3)
    return _Judged(settled.pose, max(score, 0.0), off, spreads, told, sound)


def _has_size(settled: Settled, listed: Listed, size_mm: tuple[float, float] | None) -> bool:
    if size_mm is None:
        return True
    return all(
        not half or abs(seen / true - 1) < _SIZE_OFF
        for half, seen, true in zip(settled.half, settled.size_mm(listed), size_mm, strict=True)
    )


def _look_at_patches(seen: Floats, px: float, listed: Listed, pose: Pose) -> tuple[Points, Points]:
    """Mean (n, 3) and spread (n,) of each patch's inner part; not finite outside the picture."""
    at, inside = _find_inner(seen.shape, px, listed, pose)
    values = seen[at[..., 1], at[..., 0]].astype(np.float64)
    means = values.mean(axis=1)
    means[~inside.all(axis=1)] = np.nan
    return means, np.asarray(np.sqrt(values.var(axis=1).sum(axis=1)))


def _find_inner(
    shape: tuple[int, ...], px: float, listed: Listed, pose: Pose
) -> tuple[NDArray[np.int64], Mask]:
    """Cells (n, k, 2), column and row, spread over the inner part of each patch, brought into a
    raster of ``shape`` (h, w, …); and which of them lay in it, (n, k)."""
    part = np.linspace(-0.25, 0.25, 9)
    grid = np.stack(np.meshgrid(part, part), axis=-1).reshape(-1, 2)
    at = np.floor(pose.places(listed.steps[:, None] + grid) * px).astype(np.int64)
    size = np.array([shape[1], shape[0]])
    return np.clip(at, 0, size - 1), np.asarray(((at >= 0) & (at < size)).all(axis=2))


def _expect(colours: Points, means: Points) -> Points:
    """(n, 3) what the listed colours would look like, by the gains that fit most of them."""
    ones = np.ones((len(colours), 1))
    weight = np.ones(len(colours))
    out = np.zeros_like(means)
    for _ in range(6):
        w = np.sqrt(weight)[:, None]
        if len(colours) >= _MIXING:
            known = np.hstack([ones, colours])
            # A little weight on "as listed" keeps few patches from mixing channels at will.
            pull = 0.05 * np.eye(4)[1:]
            solved = np.linalg.lstsq(
                np.vstack([w * known, pull]), np.vstack([w * means, 0.05 * np.eye(3)]), rcond=None
            )[0]
            out = known @ solved
        else:
            for c in range(3):
                known = np.hstack([ones, colours[:, c : c + 1]])
                out[:, c] = known @ np.linalg.lstsq(w * known, w[:, 0] * means[:, c], rcond=None)[0]
        off = np.linalg.norm(means - out, axis=1)
        weight = 1 / (1 + (off / 0.06) ** 2) ** 2
    return out


def _doubt(
    best: _Judged,
    judged: Sequence[_Judged],
    listed: Listed,
    seen: Floats,
    px: float,
    size_mm: tuple[float, float] | None,
) -> None:
    """Raise unless the place is beyond doubt."""
    like = _LIKE_WITH_MIXING if len(listed.places) >= _MIXING else _LIKE
    strange = (best.off > _OFF) | (best.uneven > _UNEVEN)
    names = [f"{chr(ord('A') + int(r))}{int(c) + 1}" for c, r in listed.places[strange]]
    if best.score < like or len(names):
        if _is_mirrored(seen, px, listed, size_mm):
            raise CardPlaceError(
                "The card is seen mirrored. Is the picture mirrored, or the list's order of "
                "columns?"
            )
        if names and len(names) <= (1 - _LEAST_COVER) * len(listed.places):
            which = ("patch " if len(names) == 1 else "patches ") + ", ".join(names)
            raise CardPlaceError(
                f"The card is partly covered, in shadow or not the one listed: {which} not seen as "
                "listed. Clear the card and photograph again."
            )
        raise CardPlaceError(
            "What lies in the slot is not the card that is listed, or it is covered or lies beyond "
            "the slot. Lay the card wholly inside the slot, and check the card that is named."
        )
    if not best.sound:
        raise CardPlaceError(
            "Something like the card lies in the slot, but its patches' edges are not where they "
            "should be. Is the picture sharp, is the card wholly in its slot, and is card_mm right?"
        )
    for other in judged[1:]:
        apart = np.hypot(*(best.pose.places(listed.steps) - other.pose.places(listed.steps)).T)
        pitch = min(np.hypot(*best.pose.across), np.hypot(*best.pose.down))
        if other.sound and apart.max() > 0.4 * pitch and other.score > best.score - _NEXT_BEST:
            raise CardPlaceError(
                "The card in the slot could be lying in two ways. Lay it upright, its first patch "
                "at the left top, and clear other things out of the slot."
            )


def _is_mirrored(
    seen: Floats, px: float, listed: Listed, size_mm: tuple[float, float] | None
) -> bool:
    """Whether the list fits in a mirror."""
    if len(listed.places) < _MIXING:
        return False
    flipped = np.ascontiguousarray(seen[:, ::-1])
    sums = Sums(flipped)
    found = search(sums, px, listed, size_mm)[:1]
    return any(
        _judge(flipped, sums, px, listed, pose, size_mm).score > _LIKE_WITH_MIXING for pose in found
    )


def _say_turned(turned: int) -> tuple[str, ...]:
    if turned == 0:
        return ()
    how = "upside down" if turned == 180 else f"turned by {turned}° clockwise"
    return (f"The card lies {how}; its patches are read in the right order all the same.",)
