"""The reference card in the frame: how to correct by it, and how far that can be trusted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Pixels
from builder.measure.charts import chart_of, choose_model
from builder.measure.corrections import Correction
from builder.measure.noise import U_NO_CARD, U_ONE_GREY, U_ONE_GREY_SAME_LIGHT, u_of_left_out
from builder.measure.patches import (
    CLIPPED_PCT,
    SeenPatch,
    find_disorder,
    find_missing,
    find_uneven,
    measure_patch,
    say_left_out,
)
from builder.measure.spaces import SRGB
from builder.records.photo import CardReport, Evidence, Lab

TARGET_COLOURS = 12  # from here on a card counts as a colour target
# No camera and lamp leave the right card this far off on average; a wrong or shifted card does.
IMPLAUSIBLE = 8.0
# Where this part of the card's colours ran out of scale, the correction is not fitted to them but
# has to answer for them in u: a warm lamp that drowns every warm patch would look harmless else.
# One odd patch is no sign of that: a printed cyan lies outside sRGB in any light.
LOST_COLOURS = 0.25
BESIDE = 2.0  # L*: this little past the end steps is not yet beyond the card's reach


@dataclass(frozen=True, eq=False)
class CardFit:
    """A card's correction and its own error.

    ``kind``: "one grey", "grey steps" or "colour patches". ``model``: the correction that did best
    on patches it had not seen. ``working`` (3, 3): the linear RGB it acts on → XYZ. ``left_out``:
    each patch's name and ΔE00 when left out of the fit; empty for one grey. ``u`` and ``u_beyond``:
    the card's part of a reading's u, ΔE00, for a colour whose L* lies within ``reach`` and outside
    it. ``said``: plain sentences on patches not used. ``rejected``: why the card cannot serve, ""
    if it does; then nothing is corrected.
    """

    kind: str
    model: str = ""
    correction: Correction | None = None
    working: Floats | None = None
    left_out: tuple[tuple[str, float], ...] = ()
    patches_used: int = 0
    evidence: Evidence = Evidence.NONE
    u: float = U_NO_CARD
    u_beyond: float = U_NO_CARD
    reach: tuple[float, float] = (0.0, 100.0)
    said: tuple[str, ...] = ()
    rejected: str = ""

    @property
    def error(self) -> float | None:
        """Mean ΔE00 of patches left out of the fit, None where none could be."""
        return float(np.mean([e for _, e in self.left_out])) if self.left_out else None

    def correct(self, xyz: Pixels | Floats) -> Floats:
        """XYZ as seen (…, 3) → XYZ as it is (…, 3), D65, Y = 1, never clipped."""
        if self.correction is None or self.working is None:
            return np.asarray(xyz, dtype=np.float64)
        rgb = np.asarray(xyz @ np.linalg.inv(self.working).T)
        return np.asarray(self.correction.apply(rgb) @ self.working.T)

    def u_at(self, lab: Lab) -> float:
        """The card's part, ΔE00, of the u of a reading of the colour ``lab``."""
        low, high = self.reach
        return self.u if low - BESIDE <= lab[0] <= high + BESIDE else self.u_beyond

    def report(self) -> CardReport:
        return CardReport(
            self.kind, self.error, self.left_out, model=self.model, rejected=self.rejected
        )


def kind_of_card(patches: Sequence[SeenPatch]) -> str:
    greys = sum(patch.neutral for patch in patches)
    if greys < len(patches):
        return "colour patches"
    return "one grey" if greys == 1 else "grey steps"


def fit_card(
    patches: Sequence[SeenPatch], working: Floats | None = None, same_light: bool = False
) -> CardFit:
    """The correction that does best on patches left out of it, or why there is none.

    ``working`` (3, 3) is the matrix of the picture's own encoding, linear RGB → XYZ (sRGB if not
    given): gains and curves belong to the channels the camera wrote. ``same_light`` says that the
    stand's light is known not to change, which matters where the card is grey only.
    """
    kind = kind_of_card(patches)
    pairs = [(patch, measure_patch(patch)) for patch in patches]
    whole = [(p, c) for p, c in pairs if c.clipped_pct <= CLIPPED_PCT]
    clipped = [(p, c) for p, c in pairs if c.clipped_pct > CLIPPED_PCT]
    said = tuple(say_left_out(patch, colour) for patch, colour in clipped)
    rejected = find_missing(pairs, whole) or find_uneven(whole) or find_disorder(whole)
    if rejected:
        return CardFit(kind, said=said, rejected=rejected)

    matrix = SRGB.to_xyz if working is None else working
    chart = chart_of(whole, matrix)
    model, correction, errors = choose_model(chart)
    left_out = tuple((p.name, float(e)) for (p, _), e in zip(whole, errors, strict=False))
    if correction is None or (len(errors) and errors.mean() > IMPLAUSIBLE):
        rejected = (
            "The patches seen are not those of the card that is listed. Is it that card, the right "
            "way round, and in its slot?"
        )
        return CardFit(kind, left_out=left_out, said=said, rejected=rejected)

    colours = int((~chart.neutral).sum())
    lost = [(p, measure_patch(p, clipped_too=True)) for p, _ in clipped if not p.neutral]
    answered = chart_of(lost if len(lost) >= LOST_COLOURS * (colours + len(lost)) else [], matrix)
    beyond = [*errors, *answered.errors_of(correction)]
    ends = chart.find_ends()
    within = [*errors[~ends[: len(errors)]], *answered.errors_of(correction)]
    reach = chart.lab[ends, 0] if ends.any() else np.array([0.0, 100.0])
    return CardFit(
        kind=kind,
        model=model,
        correction=correction,
        working=matrix,
        left_out=left_out,
        patches_used=len(whole),
        evidence=Evidence.TARGET if colours >= TARGET_COLOURS else Evidence.GREY,
        u=u_of_card(within, colours, same_light),
        u_beyond=u_of_card(beyond, colours, same_light),
        reach=(float(reach.min()), float(reach.max())),
        said=said,
    )


def u_of_card(errors: Sequence[float], colours: int, same_light: bool) -> float:
    """The card's part of u, ΔE00, from the ``errors`` of patches left out.

    Greys alone say nothing of how the lamp and the camera turn hues, so there the default for one
    grey is the least that is owned to.
    """
    least = U_ONE_GREY_SAME_LIGHT if same_light else U_ONE_GREY
    if not errors:
        return least
    return u_of_left_out(errors) if colours else max(u_of_left_out(errors), least)
