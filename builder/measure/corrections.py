"""What a camera and its light did to a picture, undone: four models, from the plainest up.

All act on linear RGB (…, 3), never clipped. ``seen`` and ``true`` are (n, 3), one row a patch;
``neutral`` (n,) says which are greys.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from builder.measure.arrays import Floats, Mask
from builder.measure.tone import ToneCurve, fit_tone_curve


class Correction(Protocol):
    """From seen to true linear RGB, (…, 3) → (…, 3)."""

    def apply(self, rgb: Floats) -> Floats: ...


@dataclass(frozen=True, eq=False)
class Gains:
    """A gain a channel, (3,): exposure and the colour of the light."""

    gain: Floats

    def apply(self, rgb: Floats) -> Floats:
        return np.asarray(rgb * self.gain)


@dataclass(frozen=True, eq=False)
class GainsAndOffsets:
    """A gain and an offset a channel, (3,) each: stray light in the lens as well."""

    gain: Floats
    offset: Floats

    def apply(self, rgb: Floats) -> Floats:
        return np.asarray(rgb * self.gain + self.offset)


@dataclass(frozen=True, eq=False)
class ToneCurves:
    """A curve a channel: the camera's own contrast as well."""

    curves: tuple[ToneCurve, ToneCurve, ToneCurve]

    def apply(self, rgb: Floats) -> Floats:
        return np.stack([c.apply(rgb[..., k]) for k, c in enumerate(self.curves)], axis=-1)


@dataclass(frozen=True, eq=False)
class Mixed:
    """``first``, then a matrix (3, 3) whose rows sum to 1, so that it leaves greys alone."""

    first: Correction
    matrix: Floats

    def apply(self, rgb: Floats) -> Floats:
        return np.asarray(self.first.apply(rgb) @ self.matrix.T)


# Keeps the weight of a black patch finite; about L* 9, darker than any printed black.
_DARK = 0.01


def _weights(true: Floats) -> Floats:
    """(n,): how far lightness moves for a step of linear light, so that a dark patch counts as much
    as a light one does to the eye."""
    return np.asarray((np.maximum(true.mean(axis=-1), 0.0) + _DARK) ** (-2 / 3))


def fit_gains(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
    """Least squares on the greys, or on every patch where the card has none."""
    use = neutral if neutral.any() else np.ones_like(neutral)
    w = _weights(true[use])[:, None]
    x, y = w * seen[use], w * true[use]
    power = np.sum(x * x, axis=0)
    gain = np.sum(x * y, axis=0) / np.maximum(power, np.finfo(float).tiny)
    return Gains(gain) if len(x) and np.all(power > 0) and np.all(gain > 0) else None


def fit_gains_and_offsets(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
    """Least squares on two greys or more."""
    if neutral.sum() < 2:
        return None
    w = _weights(true[neutral])
    gain, offset = np.empty(3), np.empty(3)
    for k in range(3):
        columns = np.stack([w * seen[neutral, k], w], axis=-1)
        (gain[k], offset[k]), *_ = np.linalg.lstsq(columns, w * true[neutral, k], rcond=None)
    return GainsAndOffsets(gain, offset) if np.all(gain > 0) else None


def fit_tone_curves(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
    """A monotone curve through two greys or more, a channel."""
    fitted = [fit_tone_curve(seen[neutral, k], true[neutral, k]) for k in range(3)]
    curves = [curve for curve in fitted if curve is not None]
    return ToneCurves((curves[0], curves[1], curves[2])) if len(curves) == 3 else None


# The three directions of colour that sum to nought over the channels, orthonormal, as columns.
_CHROMATIC = np.array([[1, -1, 0], [1, 1, -2]]).T / np.sqrt([2, 6])
# The unchanged picture counts as this many patches of the card's own mean colourfulness: next to
# nothing against eighteen of them, a restraint against three or four.
IDENTITY_PATCHES = 0.25


def fit_mixed(first: Correction, seen: Floats, true: Floats) -> Correction:
    """Weighted least squares in linear light for the matrix after ``first``, drawn to identity.

    Source: ridge regression, Hoerl and Kennard, Technometrics 12(1):55-67 (1970).
    """
    p = first.apply(seen)
    w = _weights(true)[:, None]
    x, r = w * (p @ _CHROMATIC), w * (true - p)
    power = np.sum(x * x, axis=-1)
    ridge = IDENTITY_PATCHES * np.sum(power**2) / max(np.sum(power), np.finfo(float).tiny) / 2
    c = np.linalg.solve(x.T @ x + (ridge + np.finfo(float).eps) * np.eye(2), x.T @ r)
    return Mixed(first, np.eye(3) + (_CHROMATIC @ c).T)


Fit = Callable[[Floats, Floats, Mask], Correction | None]


def _with_matrix(fit: Fit) -> Fit:
    def fit_both(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
        first = fit(seen, true, neutral) if not neutral.all() else None
        return None if first is None else fit_mixed(first, seen, true)

    return fit_both


# Plainest first: of two that do equally well the earlier is taken.
MODELS: tuple[tuple[str, Fit], ...] = (
    ("gain", fit_gains),
    ("gain and offset", fit_gains_and_offsets),
    ("tone curve", fit_tone_curves),
    ("gain and matrix", _with_matrix(fit_gains)),
    ("gain, offset and matrix", _with_matrix(fit_gains_and_offsets)),
    ("tone curve and matrix", _with_matrix(fit_tone_curves)),
)
