"""A card's patches as numbers, and the model that serves them best."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from builder.measure.arrays import Floats, Mask
from builder.measure.corrections import GREYS_ALONE, MODELS, Blend, Correction, Fit, Gains
from builder.measure.difference import delta_e_2000
from builder.measure.patches import Seen
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# So many models at most are blended, and a model whose error is larger by this part of the least
# weighs 1/e of the best. By thirty real pictures: tests/data/real_targets.csv.
BLENDED = 3
BLEND = 0.1
_NEGLIGIBLE = 0.02  # weight of a model that is not worth its reckoning
# With so many colours a slope of light over the card can be told from what the patches are.
SLOPE_COLOURS = 12
SLOPE_ROUNDS = 2  # after which it no longer changes
SLOPE_PATCHES = 0.5  # even light counts as this many patches at the card's edge
DARKEST_ASKED = 0.02  # Y


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
    """``name`` of the model that does best on patches left out, and weighs most; ``correction``
    fitted to all patches, None where no model can be; ``guessed`` (n, 3)
    the L*a*b* each patch comes to when left out, (0, 3) where none can be."""

    name: str
    correction: Correction | None
    guessed: Floats


@dataclass(frozen=True, eq=False)
class _Tried:
    name: str
    correction: Correction
    guessed: Floats
    error: float


def choose_model(chart: Chart, places: Floats | None = None) -> Choice:
    """The models that do best on patches left out, blended by how well they do.

    ``places`` (n, 2), where the patches lie in any flat measure, lets a slope of the light over the
    card be part of a model. Weights fall with the mean ΔE00 of the patches left out that are not
    ends; a single best would change from one picture of a card to the next by the luck of a few
    patches. Greys alone leave nothing to choose a camera's way with colours by: GREYS_ALONE weigh
    alike. One patch leaves nothing to choose by at all: the plainest model.
    """
    if len(chart.seen) == 1:
        name, fit = MODELS[0]
        return Choice(name, chart.fit(fit), np.empty((0, 3)))
    tried = sorted(_try_models(chart, places), key=lambda one: one.error)
    if not tried:
        return Choice("", None, np.empty((0, 3)))
    alike = [one for one in tried if one.name in GREYS_ALONE] if chart.neutral.all() else []
    tried, weight = (alike, np.full(len(alike), 1 / len(alike))) if alike else _weigh(tried)
    guessed = sum(w * lab_to_xyz(one.guessed) for w, one in zip(weight, tried, strict=True))
    return Choice(
        tried[0].name,
        Blend(tuple(zip((float(w) for w in weight), (t.correction for t in tried), strict=True)))
        if len(tried) > 1
        else tried[0].correction,
        xyz_to_lab(guessed),
    )


def _weigh(tried: list[_Tried]) -> tuple[list[_Tried], Floats]:
    """Those of the models, best first, that are worth blending, and their weights, sum 1."""
    tried = tried[:BLENDED]
    least = max(tried[0].error, np.finfo(float).tiny)
    weight = np.exp(-(np.array([one.error for one in tried]) / least - 1) / BLEND)
    keep = weight > _NEGLIGIBLE * weight.sum()
    kept = [one for one, worth in zip(tried, keep, strict=True) if worth]
    return kept, np.asarray(weight[keep] / weight[keep].sum())


def _try_models(chart: Chart, places: Floats | None) -> Iterator[_Tried]:
    """Every model that the patches can carry."""
    ends = chart.find_ends()
    inner = ~ends if not ends.all() else ends
    slopes = (None, places) if places is not None and can_slope(chart) else (None,)
    for at, (name, fit) in product(slopes, MODELS):
        fitted = fit_all(chart, fit, at)
        guessed = guess_each(chart, fit, at) if fitted else None
        if fitted is None or guessed is None:
            continue
        error = float(delta_e_2000(guessed, chart.lab)[inner].mean())
        said = name if at is None else f"{name}, in a slope of light"
        yield _Tried(said, fitted.correction, guessed, error)


def fit_richest(chart: Chart) -> Correction | None:
    """The richest model that the patches can carry, unchecked: for a first look at the light."""
    fitted = (chart.fit(fit) for _, fit in reversed(MODELS))
    return next((correction for correction in fitted if correction is not None), None)


@dataclass(frozen=True, eq=False)
class Fitted:
    """A ``correction``, and the slope of the light it was fitted in: (2,), the logarithm's, about
    ``middle`` (2,), for places over ``reach`` (2,)."""

    correction: Correction
    slope: Floats
    middle: Floats
    reach: Floats

    def light_at(self, places: Floats) -> Floats:
        """Light (n, 3) at places (n, 2), about 1."""
        log = (places - self.middle) / self.reach @ self.slope
        return np.repeat(np.exp(log)[:, None], 3, axis=1)


def can_slope(chart: Chart) -> bool:
    """Whether a slope of light can be told from what the patches are: not by greys in a row."""
    return int((~chart.neutral).sum()) >= SLOPE_COLOURS


def fit_all(chart: Chart, fit: Fit, places: Floats | None = None) -> Fitted | None:
    """The model fitted to all patches, in the light they then show where ``places`` are given."""
    even = np.zeros(2)
    if places is None:
        correction = chart.fit(fit)
        return Fitted(correction, even, even, np.ones(2)) if correction else None
    middle, reach = places.mean(axis=0), np.maximum(np.ptp(places, axis=0) / 2, 1e-9)
    slope = even
    for _ in range(SLOPE_ROUNDS + 1):
        light = Fitted(Gains(np.ones(3)), slope, middle, reach).light_at(places)
        correction = chart.lit_by(chart.light * light).fit(fit)
        if correction is None:
            return None
        fitted = Fitted(correction, slope, middle, reach)
        slope = find_slope(chart, correction, (places - middle) / reach)
    return fitted


def find_slope(chart: Chart, correction: Correction, off: Floats) -> Floats:
    """(2,): how the logarithm of the light goes up over ``off`` (n, 2), -1 to 1, by least squares,
    drawn to none. Dark patches, where stray light rules, are not asked."""
    to_y = chart.working.T[:, 1]
    seen, true = correction.apply(chart.seen) @ to_y, (chart.true * chart.light) @ to_y
    use = (true > DARKEST_ASKED) & (seen > 0)
    columns = np.column_stack([np.ones(int(use.sum())), off[use]])
    drawn = columns.T @ columns + np.diag([1e-9, SLOPE_PATCHES, SLOPE_PATCHES])
    found = np.linalg.solve(drawn, columns.T @ np.log(seen[use] / true[use]))
    return np.asarray(found[1:])


def guess_each(chart: Chart, fit: Fit, places: Floats | None = None) -> Floats | None:
    """L*a*b* (n, 3) of each patch under the model fitted to all the others, n ≥ 2; None where those
    cannot carry the model."""
    n = len(chart.seen)
    guessed = np.empty((n, 3))
    for i in range(n):
        alone = np.arange(n) == i
        fitted = fit_all(chart.only(~alone), fit, None if places is None else places[~alone])
        if fitted is None:
            return None
        one = chart.only(alone)
        if places is not None:
            one = one.lit_by(one.light * fitted.light_at(places[alone]))
        guessed[i] = one.labs_by(fitted.correction)[0]
    return guessed
