"""A monotone curve through a few steps of grey."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats


@dataclass(frozen=True, eq=False)
class ToneCurve:
    """One channel's curve from seen to true linear light.

    ``x`` and ``y``, (n,), n ≥ 2, both strictly rising, are cube roots of linear values: there a
    camera's curve is close to a straight line, a gain is one exactly, and a step means about the
    same to the eye anywhere. ``slope`` is the curve's slope at each node.
    """

    x: Floats
    y: Floats
    slope: Floats

    def apply(self, linear: Floats) -> Floats:
        """Seen → true linear light, any shape, any real value. Beyond the end steps it goes on
        straight, in cube roots, at the slope of the last interval."""
        t = np.cbrt(linear)
        within = np.clip(t, self.x[0], self.x[-1])
        k = np.searchsorted(self.x[1:-1], within, side="right")
        h = self.x[1:] - self.x[:-1]
        rise = self.y[1:] - self.y[:-1]
        first, last = self.slope[:-1] * h, self.slope[1:] * h
        # Cubic Hermite on the interval, from its rise and its end slopes.
        s = (within - self.x[k]) / h[k]
        curve = (first + last - 2 * rise)[k] * s
        curve = (curve + (3 * rise - 2 * first - last)[k]) * s
        curve = (curve + first[k]) * s + self.y[k]
        past = t - within
        beyond = past * np.where(past < 0, self.slope[0], self.slope[-1])
        return np.asarray((curve + beyond) ** 3)


def fit_tone_curve(seen: Floats, true: Floats) -> ToneCurve | None:
    """The curve through linear values ``seen`` → ``true``, both (n,), in any order.

    None where fewer than two steps are given or a lighter step was not seen lighter.
    Source: Fritsch and Carlson, SIAM Journal on Numerical Analysis 17(2):238-246 (1980), with the
    harmonic mean of Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5(2):300-304 (1984), for the
    inner slopes; the end slopes are those of the end intervals, so that what lies beyond is not
    bent by the interval before.
    """
    order = np.argsort(true)
    x, y = np.cbrt(seen[order]), np.cbrt(true[order])
    h = np.diff(x)
    if len(x) < 2 or np.any(h <= 0) or np.any(np.diff(y) <= 0):
        return None
    d = np.diff(y) / h
    slope = np.concatenate([d[:1], np.zeros(len(x) - 2), d[-1:]])
    alpha = (h[:-1] + 2 * h[1:]) / (3 * (h[:-1] + h[1:]))
    slope[1:-1] = 1 / (alpha / d[:-1] + (1 - alpha) / d[1:])
    return ToneCurve(x, y, slope)
