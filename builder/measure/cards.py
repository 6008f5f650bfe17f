"""The reference card in the frame: how to correct by it, and how far that can be trusted."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from dataclasses import field as dataclass_field

import numpy as np

from builder.measure.arrays import Bytes, Floats, Mask, Pixels, Places
from builder.measure.charts import Chart, chart_of, choose_model, fit_richest
from builder.measure.corrections import Correction, Gains
from builder.measure.decode import find_colours, to_linear_xyz
from builder.measure.difference import delta_e_2000
from builder.measure.field import LightField, Margin, fit_field, is_in_scale
from builder.measure.left_out import pack_left_out
from builder.measure.noise import (
    GREY_STRETCH,
    NINE_IN_TEN,
    U_NO_CARD,
    U_ONE_GREY,
    U_ONE_GREY_SAME_LIGHT,
    U_PAPER,
    UNEVEN_PCT,
    u_of_neighbours,
    u_of_stretch,
)
from builder.measure.patches import (
    CLIPPED_PCT,
    Seen,
    SeenPatch,
    find_disorder,
    find_missing,
    find_uneven,
    measure_patch,
    say_left_out,
)
from builder.measure.spaces import SRGB, as_lab, lab_to_xyz, xyz_to_lab
from builder.records.photo import CardReport, Encoding, Evidence, Lab

TARGET_COLOURS = 12  # from here on a card counts as a colour target
# No camera and lamp leave the right card this far off on average; a wrong or shifted card does.
IMPLAUSIBLE = 8.0
# Where this part of the card's colours ran out of scale, the correction is not fitted to them but
# has to answer for them in u: a warm lamp that drowns every warm patch would look harmless else.
# One odd patch is no sign of that: a printed cyan lies outside sRGB in any light.
LOST_COLOURS = 0.25
# White office paper without its glow in blue lamps: common practice, no source.
PAPER: Lab = (95.0, 0.0, -1.0)
_ROUNDS = 2  # after which the light found no longer changes
_GREY_50 = float(lab_to_xyz((50.0, 0.0, 0.0))[1])
BESIDE = 2.0  # L*: this little past the end steps is not yet beyond the card's reach


@dataclass(frozen=True, eq=False)
class CardFit:
    """A card's correction and its own error.

    ``kind``: "one grey", "grey steps", "colour patches" or "white paper". ``model``: the correction
    that did best on patches it had not seen. ``working`` (3, 3): the linear RGB it acts on → XYZ.
    ``field``: the light on the sheet, 1 on the card, None where it is not known. ``names``,
    ``true`` (n, 3) and ``guessed`` (n, 3): each patch used, its L*a*b*, and what it came to when
    left out of the fit; none for one grey; ``ends`` (n,) the lightest and darkest of the greys.
    ``lost``: true and corrected L*a*b*, (m, 3) each, of patches that ran out of scale, where u has
    to answer for them. ``least_u`` and ``stretch``: what is owned to where the card cannot tell.
    ``light``: see :class:`builder.records.photo.CardReport`. ``said``: plain sentences on patches
    not used. ``rejected``: why the card cannot serve, "" if it does; then nothing is corrected.
    """

    kind: str
    model: str = ""
    correction: Correction | None = None
    working: Floats | None = None
    field: LightField | None = None
    names: tuple[str, ...] = ()
    true: Floats = dataclass_field(default_factory=lambda: np.empty((0, 3)))
    guessed: Floats = dataclass_field(default_factory=lambda: np.empty((0, 3)))
    ends: Mask = dataclass_field(default_factory=lambda: np.zeros(0, dtype=np.bool_))
    lost: tuple[Floats, Floats] | None = None
    patches_used: int = 0
    evidence: Evidence = Evidence.NONE
    least_u: float = U_NO_CARD
    stretch: float = 0.0
    light: Lab | None = None
    said: tuple[str, ...] = ()
    rejected: str = ""

    @property
    def left_out(self) -> tuple[tuple[str, float], ...]:
        """Each patch's name and ΔE00 when left out of the fit."""
        errors = delta_e_2000(self.guessed, self.true) if len(self.guessed) else ()
        return tuple((name, float(e)) for name, e in zip(self.names, errors, strict=False))

    @property
    def error(self) -> float | None:
        """Mean ΔE00 of patches left out of the fit, None where none could be."""
        return float(np.mean([e for _, e in self.left_out])) if self.left_out else None

    @property
    def paper(self) -> Lab | None:
        """The white paper round the card, as corrected by it; None where its light is not known."""
        if self.field is None or self.working is None or self.rejected:
            return None
        return as_lab(xyz_to_lab(self.field.white @ self.working.T))

    @property
    def uneven_pct(self) -> float:
        """How far light on the piece may differ from that on the card, nine times in ten, in per
        cent, once it is put right."""
        return UNEVEN_PCT if self.field is None else NINE_IN_TEN * self.field.left_pct

    def correct(self, xyz: Pixels | Floats, at: Floats | None = None) -> Floats:
        """XYZ as seen (…, 3) → XYZ as it is (…, 3), D65, Y = 1, never clipped; in the card's own
        light where ``at`` (…, 2) says, in mm, where on the sheet each lies."""
        if self.correction is None or self.working is None:
            return np.asarray(xyz, dtype=np.float64)
        rgb = self.correction.apply(np.asarray(xyz @ np.linalg.inv(self.working).T))
        if self.field is not None and at is not None:
            rgb = rgb / self.field.at(at)
        return np.asarray(rgb @ self.working.T)

    def correct_picture(
        self,
        rgb8: Bytes,
        encoding: Encoding,
        where: Callable[[Floats], Floats] | None = None,
        side: int = 1,
    ) -> Pixels:
        """The same for a whole picture (h, w, 3), 8-bit in ``encoding``; ``where`` leads from
        fractions of the picture (…, 2) to mm on the sheet. Averaged over squares of ``side``
        pixels, of which height and width are whole multiples, in linear light.

        Each colour is corrected once, however many pixels have it. (h, w, 3), in memory channel by
        channel: so all that follows goes fast through it.
        """
        colours, which = find_colours(rgb8)
        seen = to_linear_xyz(colours, encoding)
        if not (self.correction and self.field and where) or self.working is None:
            return _spread(self.correct(seen), which, side)
        rgb = self.correction.apply(np.asarray(seen @ np.linalg.inv(self.working).T))
        planes = np.moveaxis(_spread(rgb, which, side), -1, 0)
        planes /= self.field.over(where, *planes.shape[1:])
        mixed = self.working.astype(np.float32) @ planes.reshape(3, -1)
        return np.moveaxis(mixed.reshape(planes.shape), 0, -1)

    def u_at(self, lab: Lab) -> float:
        """The card's part, ΔE00, of the u of a reading of the colour ``lab``."""
        if self.correction is None:
            return U_NO_CARD
        stretched = u_of_stretch(lab, self.stretch) if self.stretch else 0.0
        if not len(self.guessed):
            return math.hypot(self.least_u, stretched)
        use = self._bearing_on(lab)
        true, guessed = self.true[use], self.guessed[use]
        if self.lost is not None:
            true = np.concatenate([true, self.lost[0]])
            guessed = np.concatenate([guessed, self.lost[1]])
        near = u_of_neighbours(lab, true, delta_e_2000(guessed, true))
        return math.hypot(max(self.least_u, near), stretched)

    def _bearing_on(self, lab: Lab) -> Mask:
        """Which patches (n,) say something of ``lab``: the end steps, left out, have to be guessed
        from beyond the rest, which a colour between them does not ask of the fit."""
        L = self.true[self.ends, 0]
        inside = len(L) and L.min() - BESIDE <= lab[0] <= L.max() + BESIDE
        return ~self.ends if inside and not self.ends.all() else np.ones_like(self.ends)

    def report(self) -> CardReport:
        return CardReport(
            self.kind,
            self.error,
            guessed=pack_left_out(self.names[: len(self.guessed)], self.guessed),
            model=self.model,
            light=self.light,
            rejected=self.rejected,
            paper=self.paper if self.evidence is not Evidence.SHEET else None,
        )


def _spread(colours: Floats, which: Places, side: int) -> Pixels:
    """(h, w, 3), in memory channel by channel, of the colours (k, 3): a pixel each, or the mean of
    a square of ``side`` each way."""
    height, width = (size // side for size in which.shape)
    planes = np.zeros((3, height, width), dtype=np.float32)
    part = np.empty_like(planes[0])
    for start in np.ndindex(side, side):
        some = np.ascontiguousarray(which[start[0] :: side, start[1] :: side])
        for plane, channel in zip(planes, colours.T.astype(np.float32) / side**2, strict=True):
            np.take(channel, some, out=part if side > 1 else plane, mode="clip")
            if side > 1:
                plane += part
    return np.moveaxis(planes, 0, -1)


def kind_of_card(patches: Sequence[SeenPatch]) -> str:
    greys = sum(patch.neutral for patch in patches)
    if greys < len(patches):
        return "colour patches"
    return "one grey" if greys == 1 else "grey steps"


def fit_card(
    patches: Sequence[SeenPatch],
    working: Floats | None = None,
    same_light: bool = False,
    margin: Margin | None = None,
) -> CardFit:
    """The correction that does best on patches left out of it, or why there is none.

    ``working`` (3, 3) is the matrix of the picture's own encoding, linear RGB → XYZ (sRGB if not
    given): gains and curves belong to the channels the camera wrote. ``same_light`` says that the
    stand's light is known not to change, which matters where the card is grey only. ``margin`` is
    the white paper round it, where the patches say where on the sheet they lie; without it a slope
    of light over the card is told from a target's own patches.
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
    places = np.array([p.at for p, _ in whole if p.at is not None])
    known = len(places) == len(whole)
    field = _find_light(chart, places, margin) if margin is not None and known else None
    if field is not None:
        chart = chart.lit_by(field.at(places))
    chosen = choose_model(chart, places if known and field is None else None)
    errors = delta_e_2000(chosen.guessed, chart.lab) if len(chosen.guessed) else np.empty(0)
    if chosen.correction is None or (len(errors) and errors.mean() > IMPLAUSIBLE):
        rejected = (
            "The patches seen are not those of the card that is listed. Is it that card, the right "
            "way round, and in its slot?"
        )
    colours = int((~chart.neutral).sum())
    return CardFit(
        kind=kind,
        model=chosen.name,
        correction=None if rejected else chosen.correction,
        working=matrix,
        field=field,
        names=tuple(patch.name for patch, _ in whole),
        true=chart.lab,
        guessed=chosen.guessed,
        ends=chart.find_ends() if len(chosen.guessed) else np.zeros(0, dtype=np.bool_),
        lost=None if rejected else _answer_for_lost(clipped, colours, matrix, chosen.correction),
        patches_used=len(whole),
        evidence=_weigh(colours) if not rejected else Evidence.NONE,
        least_u=0.0 if colours else U_ONE_GREY_SAME_LIGHT if same_light else U_ONE_GREY,
        stretch=0.0 if colours or same_light else GREY_STRETCH,
        light=_see_light(chart),
        said=said,
        rejected=rejected,
    )


def fit_paper(margin: Margin, working: Floats | None = None) -> CardFit | None:
    """A correction by the sheet's white paper alone, taken for usual office paper: exposure and the
    colour of the light, and no more. None where too little of it can be read."""
    matrix = SRGB.to_xyz if working is None else working
    to_rgb = np.linalg.inv(matrix).T
    field = fit_field(margin.at, margin.xyz @ to_rgb, matrix)
    if field is None:
        return None
    paper = lab_to_xyz(PAPER) @ to_rgb
    return CardFit(
        kind="white paper",
        model="gain",
        correction=Gains(paper / field.white),
        working=matrix,
        field=field,
        evidence=Evidence.SHEET,
        least_u=U_PAPER,
        stretch=GREY_STRETCH,
    )


def _find_light(chart: Chart, places: Floats, margin: Margin) -> LightField | None:
    """The light the margin shows, 1 on the card, once it has been put through the card's own
    correction: a camera's curve must be undone before light can be told by it. None where too
    little of the paper can be read."""
    rgb = margin.xyz @ np.linalg.inv(chart.working).T
    usable = is_in_scale(rgb)
    field = None
    for _ in range(_ROUNDS):
        correction = fit_richest(chart)
        if correction is None:
            break
        corrected = correction.apply(rgb[usable])
        found = fit_field(margin.at[usable], corrected, chart.working, full=False)
        if found is None:
            break
        field = found.brought_to(places)
        chart = chart.lit_by(field.at(places))
    return field


def _weigh(colours: int) -> Evidence:
    return Evidence.TARGET if colours >= TARGET_COLOURS else Evidence.GREY


def _answer_for_lost(
    clipped: Seen, colours: int, matrix: Floats, correction: Correction | None
) -> tuple[Floats, Floats] | None:
    """True and corrected L*a*b* of colours that ran out of scale, where they are many."""
    lost = [(p, measure_patch(p, clipped_too=True)) for p, _ in clipped if not p.neutral]
    if correction is None or not lost or len(lost) < LOST_COLOURS * (colours + len(lost)):
        return None
    chart = chart_of(lost, matrix)
    return chart.lab, chart.labs_by(correction)


def _see_light(chart: Chart) -> Lab | None:
    """What the camera made of a grey of L* 50; None without a grey."""
    grey = chart.neutral
    if not grey.any():
        return None
    gain = chart.seen[grey].sum(axis=0) / chart.true[grey].sum(axis=0)
    return as_lab(xyz_to_lab(gain * _GREY_50 @ chart.working.T))
