"""A card's patches as numbers, and the model that serves them best."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Mask
from builder.measure.corrections import MODELS, Correction, Fit
from builder.measure.difference import delta_e_2000
from builder.measure.patches import Seen
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# A richer model must beat a plainer one by more than this ΔE00: less is the luck of a few patches.
TIE = 0.01


@dataclass(frozen=True, eq=False)
class Chart:
    """A card's patches as numbers: ``seen`` and ``true`` linear RGB (n, 3), ``lab`` (n, 3) true
    L*a*b*, ``neutral`` (n,), and the ``working`` matrix (3, 3) RGB → XYZ."""

    seen: Floats
    true: Floats
    lab: Floats
    neutral: Mask
    working: Floats

    def only(self, which: Mask) -> Chart:
        """Only the patches ``which`` (n,)."""
        return Chart(
            self.seen[which], self.true[which], self.lab[which], self.neutral[which], self.working
        )

    def errors_of(self, correction: Correction) -> Floats:
        """ΔE00 (n,) of the patches, corrected, from what they truly are."""
        return delta_e_2000(xyz_to_lab(correction.apply(self.seen) @ self.working.T), self.lab)

    def find_ends(self) -> Mask:
        """Which patches (n,) are the lightest and the darkest of three greys or more; else none.

        Left out, an end step has to be guessed from beyond the rest, which no colour between the
        steps asks of the fit.
        """
        L = np.where(self.neutral, self.lab[:, 0], np.nan)
        if self.neutral.sum() < 3:
            return np.zeros_like(self.neutral)
        return np.asarray((np.nanmin(L) == L) | (np.nanmax(L) == L))


def chart_of(seen: Seen, working: Floats) -> Chart:
    """The patches ``seen`` as numbers in the linear RGB of ``working`` (3, 3)."""
    to_rgb = np.linalg.inv(working).T
    lab = np.array([p.lab for p, _ in seen]).reshape(-1, 3)
    rgb = np.array([c.xyz for _, c in seen]).reshape(-1, 3) @ to_rgb
    neutral = np.array([p.neutral for p, _ in seen], dtype=np.bool_)
    return Chart(rgb, lab_to_xyz(lab) @ to_rgb, lab, neutral, working)


def choose_model(chart: Chart) -> tuple[str, Correction | None, Floats]:
    """The name of the model that does best on patches left out, its correction fitted to all of
    them, and the ΔE00 (n,) of each left out.

    Best is the least mean ΔE00 of those that are not ends; of near equals the plainest. One patch
    leaves nothing to choose by: the plainest model, and no errors, (0,).
    """
    best: tuple[str, Correction | None, Floats] = ("", None, np.empty(0))
    ends = chart.find_ends()
    inner = ~ends if not ends.all() else ends
    for name, fit in MODELS:
        correction = fit(chart.seen, chart.true, chart.neutral)
        if correction is None:
            continue
        if len(chart.seen) == 1:
            return name, correction, np.empty(0)
        errors = leave_out_each(chart, fit)
        if errors is not None and (
            best[1] is None or errors[inner].mean() < best[2][inner].mean() - TIE
        ):
            best = (name, correction, errors)
    return best


def leave_out_each(chart: Chart, fit: Fit) -> Floats | None:
    """ΔE00 (n,) of each patch under the model fitted to all the others, n ≥ 2; None where those
    cannot carry the model."""
    n = len(chart.seen)
    errors = np.empty(n)
    for i in range(n):
        alone = np.arange(n) == i
        others = chart.only(~alone)
        correction = fit(others.seen, others.true, others.neutral)
        if correction is None:
            return None
        errors[i] = chart.only(alone).errors_of(correction)[0]
    return errors
