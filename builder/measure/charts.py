"""A card's patches as numbers, and the model that serves them best."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from builder.measure.arrays import Floats, Mask
from builder.measure.corrections import MODELS, Correction, Fit
from builder.measure.difference import delta_e_2000
from builder.measure.patches import Seen
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# A richer model must beat a plainer one by more than this part of its error: less is the luck of a
# few patches, and would have two pictures of one card corrected by two models.
TIE = 0.15


@dataclass(frozen=True, eq=False)
class Chart:
    """A card's patches as numbers: ``seen`` and ``true`` linear RGB (n, 3), ``lab`` (n, 3) true
    L*a*b*, ``neutral`` (n,), the ``working`` matrix (3, 3) RGB → XYZ, and ``light`` (n, 3) that
    fell on each, about 1."""

    seen: Floats
    true: Floats
    lab: Floats
    neutral: Mask
    working: Floats
    light: Floats

    def only(self, which: Mask) -> Chart:
        """Only the patches ``which`` (n,)."""
        return Chart(
            self.seen[which],
            self.true[which],
            self.lab[which],
            self.neutral[which],
            self.working,
            self.light[which],
        )

    def lit_by(self, light: Floats) -> Chart:
        """The same patches under ``light`` (n, 3)."""
        return replace(self, light=light)

    def fit(self, fit: Fit) -> Correction | None:
        """A correction that leads from what was seen to what lay there in its own light."""
        return fit(self.seen, self.true * self.light, self.neutral)

    def labs_by(self, correction: Correction) -> Floats:
        """L*a*b* (n, 3) of the patches, corrected and in one light."""
        return xyz_to_lab(correction.apply(self.seen) / self.light @ self.working.T)

    def errors_of(self, correction: Correction) -> Floats:
        """ΔE00 (n,) of the patches, corrected, from what they truly are."""
        return delta_e_2000(self.labs_by(correction), self.lab)

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
    """The patches ``seen`` as numbers in the linear RGB of ``working`` (3, 3), evenly lit."""
    to_rgb = np.linalg.inv(working).T
    lab = np.array([p.lab for p, _ in seen]).reshape(-1, 3)
    rgb = np.array([c.xyz for _, c in seen]).reshape(-1, 3) @ to_rgb
    neutral = np.array([p.neutral for p, _ in seen], dtype=np.bool_)
    return Chart(rgb, lab_to_xyz(lab) @ to_rgb, lab, neutral, working, np.ones_like(rgb))


@dataclass(frozen=True, eq=False)
class Choice:
    """The ``name`` of the model that does best on patches left out, its ``correction`` fitted to
    all of them, None where no model can be, and ``guessed`` (n, 3) the L*a*b* each patch comes to
    when left out, (0, 3) where none can be."""

    name: str
    correction: Correction | None
    guessed: Floats


def choose_model(chart: Chart) -> Choice:
    """The model that does best on patches left out.

    Best is the least mean ΔE00 of those that are not ends; of near equals the plainest. One patch
    leaves nothing to choose by: the plainest model.
    """
    best, least = Choice("", None, np.empty((0, 3))), np.inf
    ends = chart.find_ends()
    inner = ~ends if not ends.all() else ends
    for name, fit in MODELS:
        correction = chart.fit(fit)
        if correction is None:
            continue
        if len(chart.seen) == 1:
            return Choice(name, correction, np.empty((0, 3)))
        guessed = guess_each(chart, fit)
        if guessed is None:
            continue
        error = float(delta_e_2000(guessed, chart.lab)[inner].mean())
        if best.correction is None or error < (1 - TIE) * least:
            best, least = Choice(name, correction, guessed), error
    return best


def guess_each(chart: Chart, fit: Fit) -> Floats | None:
    """L*a*b* (n, 3) of each patch under the model fitted to all the others, n ≥ 2; None where those
    cannot carry the model."""
    n = len(chart.seen)
    guessed = np.empty((n, 3))
    for i in range(n):
        alone = np.arange(n) == i
        correction = chart.only(~alone).fit(fit)
        if correction is None:
            return None
        guessed[i] = chart.only(alone).labs_by(correction)[0]
    return guessed
