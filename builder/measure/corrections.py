"""What a camera and its light did to a picture, undone: models from the plainest up.

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
    """``first``, then a mixture of the channels that leaves greys alone: ``matrix`` (3, t) on the t
    terms of ``degree``, each row summing to 1. Degree 1 is a plain 3 × 3."""

    first: Correction
    matrix: Floats
    degree: int = 1

    def apply(self, rgb: Floats) -> Floats:
        return np.asarray(expand_roots(self.first.apply(rgb), self.degree) @ self.matrix.T)


def expand_roots(rgb: Floats, degree: int) -> Floats:
    """Terms of a root polynomial of linear RGB (…, 3) → (…, t): t = 3 for degree 1, 6 for 2.

    All are of degree one in the light, so that exposure does not change what a fit does. A root of
    what lies below nought is nought.
    Source: Finlayson, Mackiewicz and Hurlbert, IEEE Transactions on Image Processing
    24(5):1460-1470 (2015), equation 9.
    """
    if degree == 1:
        return rgb
    r, g, b = np.moveaxis(np.maximum(rgb, 0), -1, 0)
    roots = np.stack([np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=-1)
    return np.concatenate([rgb, roots], axis=-1)


@dataclass(frozen=True, eq=False)
class Blend:
    """The mean of several corrections, each with its weight; weights sum to 1."""

    parts: tuple[tuple[float, Correction], ...]

    def apply(self, rgb: Floats) -> Floats:
        total = np.zeros_like(rgb, dtype=np.float64)
        for weight, correction in self.parts:
            total += weight * correction.apply(rgb)
        return total


@dataclass(frozen=True, eq=False)
class CommonTone:
    """``into_step``, a curve a channel that brings the greys to equal channels, then one ``curve``
    for all three by their mean, which keeps their ratios: a camera that brightens a picture by its
    lightness and leaves hues alone."""

    into_step: ToneCurves
    curve: ToneCurve

    def apply(self, rgb: Floats) -> Floats:
        even = self.into_step.apply(rgb)
        mean = even.mean(axis=-1, keepdims=True)
        lit = np.abs(mean) > _NO_LIGHT
        return np.asarray(even * np.where(lit, self.curve.apply(mean), 1) / np.where(lit, mean, 1))


_NO_LIGHT = 1e-9
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
    w = _weights(true[neutral]) ** 2
    x, y = seen[neutral], true[neutral]
    x_mean, y_mean = w @ x / w.sum(), w @ y / w.sum()
    spread = w @ (x - x_mean) ** 2
    gain = w @ ((x - x_mean) * (y - y_mean)) / np.maximum(spread, np.finfo(float).tiny)
    return GainsAndOffsets(gain, y_mean - gain * x_mean) if np.all(gain > 0) else None


def fit_tone_curves(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
    """A monotone curve through two greys or more, a channel."""
    fitted = [fit_tone_curve(seen[neutral, k], true[neutral, k]) for k in range(3)]
    curves = [curve for curve in fitted if curve is not None]
    return ToneCurves((curves[0], curves[1], curves[2])) if len(curves) == 3 else None


def fit_common_tone(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
    """Curves that bring two greys or more into step, and one for all through their mean."""
    mean = seen.mean(axis=-1)
    into_step = fit_tone_curves(seen, np.repeat(mean[:, None], 3, axis=1), neutral)
    curve = fit_tone_curve(mean[neutral], true[neutral].mean(axis=-1))
    if not isinstance(into_step, ToneCurves) or curve is None:
        return None
    return CommonTone(into_step, curve)


def _chromatic(terms: int) -> Floats:
    """(t, t - 1): orthonormal directions in which equal terms, a grey's, have no part."""
    basis = np.linalg.qr(np.column_stack([np.ones(terms), np.eye(terms)[:, 1:]]))[0]
    return np.asarray(basis[:, 1:])


_TERMS = {1: 3, 2: 6}
_DIRECTIONS = {degree: _chromatic(terms) for degree, terms in _TERMS.items()}
# The unchanged picture counts as this many patches of the card's own mean colourfulness: next to
# nothing against eighteen of them, a restraint against three or four. By the least error of patches
# left out, on thirty real pictures for the roots (tests/data/real_targets.csv).
IDENTITY_PATCHES = {1: 0.25, 2: 0.03}


def fit_mixed(first: Correction, seen: Floats, true: Floats, degree: int = 1) -> Correction:
    """Weighted least squares in linear light for the mixture after ``first``, drawn to identity.

    Source: ridge regression, Hoerl and Kennard, Technometrics 12(1):55-67 (1970).
    """
    p = first.apply(seen)
    w = _weights(true)[:, None]
    ways = _DIRECTIONS[degree]
    x, r = w * (expand_roots(p, degree) @ ways), w * (true - p)
    power = np.sum(x * x, axis=-1)
    ridge = (
        IDENTITY_PATCHES[degree] * np.sum(power**2) / max(np.sum(power), np.finfo(float).tiny) / 2
    )
    free = ways.shape[1]
    c = np.linalg.solve(x.T @ x + (ridge + np.finfo(float).eps) * np.eye(free), x.T @ r)
    return Mixed(first, np.eye(3, len(ways)) + (ways @ c).T, degree)


Fit = Callable[[Floats, Floats, Mask], Correction | None]


def _with_matrix(fit: Fit, degree: int = 1) -> Fit:
    def fit_both(seen: Floats, true: Floats, neutral: Mask) -> Correction | None:
        # As many colours as terms, or their errors left out say nothing.
        first = fit(seen, true, neutral) if (~neutral).sum() >= LEAST_COLOURS[degree] else None
        return None if first is None else fit_mixed(first, seen, true, degree)

    return fit_both


LEAST_COLOURS = {1: 1, 2: 10}
# Plainest first: of two that do equally well the earlier is taken.
MODELS: tuple[tuple[str, Fit], ...] = (
    ("gain", fit_gains),
    ("gain and offset", fit_gains_and_offsets),
    ("tone curve", fit_tone_curves),
    ("common tone curve", fit_common_tone),
    ("gain and matrix", _with_matrix(fit_gains)),
    ("gain, offset and matrix", _with_matrix(fit_gains_and_offsets)),
    ("tone curve and matrix", _with_matrix(fit_tone_curves)),
    ("common tone curve and matrix", _with_matrix(fit_common_tone)),
    ("gain, offset and root polynomial", _with_matrix(fit_gains_and_offsets, 2)),
    ("tone curve and root polynomial", _with_matrix(fit_tone_curves, 2)),
    ("common tone curve and root polynomial", _with_matrix(fit_common_tone, 2)),
)
# Greys left out tell how light the picture is, and nothing of what a camera's curve does to
# colours: whether it bends each channel, all alike, or hardly at all. So where there are greys
# alone the three weigh alike, which over real pictures errs less than any one of them
# (tests/data/real_targets.csv): 4.0, against 4.6, 4.5 and 4.4 by themselves.
GREYS_ALONE = ("gain and offset", "tone curve", "common tone curve")
