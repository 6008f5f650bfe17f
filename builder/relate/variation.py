"""How far a finish may come out from the one piece that is shown: a range, not a chip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.measure.difference import delta_e_2000_of
from builder.records.photo import Lab
from builder.relate.findings import Repeats, Strand, Variation

#: A colour that covers less of the piece than this is no part of what it looks like from where one
#: stands. Common practice, no source.
SHOWN_FROM_SHARE = 0.03
_STEPS = 40  # halvings of a range of L*: far below what a screen shows


@dataclass(frozen=True)
class Band:
    """One colour of a finish: its ``share`` of the area, 0 to 1, and the lightest and the darkest
    it may come out as."""

    lab: Lab
    share: float
    lighter: Lab
    darker: Lab


def find_variations(strands: Sequence[Strand], repeats: Sequence[Repeats]) -> tuple[Variation, ...]:
    """How far each of ``strands`` may vary, in their order: by its own ``repeats``; one that was
    made once, or whose repeats carry no figure, by the farthest that any came out apart."""
    own = {id(strand): one for one in repeats for strand in one.strands}
    usual = max((r.farthest for r in repeats if r.farthest is not None), default=None)
    return tuple(_vary(strand, own.get(id(strand)), usual) for strand in strands if strand.looks)


def _vary(strand: Strand, repeats: Repeats | None, usual: float | None) -> Variation:
    made = len(repeats.strands) if repeats else 1
    if repeats is None or repeats.farthest is None:
        return Variation(strand, made, usual, False, "")
    return Variation(strand, made, repeats.farthest, True, repeats.words)


def draw_bands(strand: Strand, apart: float | None) -> tuple[Band, ...]:
    """The colours of the look a piece is handed over with, the largest first, each as far to either
    side as pieces come out ``apart``, or where that is less, as its reading is uncertain (ΔE00)."""
    look = strand.baseline or strand.fresh
    if look is None or look.reading is None or look.reading.withheld:
        return ()
    reach = max(apart or 0.0, look.reading.u)
    shown = [c for c in look.reading.colours if c.share >= SHOWN_FROM_SHARE]
    return tuple(
        Band(c.lab, c.share, shift_lightness(c.lab, reach), shift_lightness(c.lab, -reach))
        for c in shown
    )


def shift_lightness(lab: Lab, by: float) -> Lab:
    """The colour lighter (darker where ``by`` is below 0) by so much ΔE00, as far as lightness
    goes, 0 to 100; hue and chroma are as they were."""
    L, a, b = lab
    near, far = L, 100.0 if by > 0 else 0.0
    if delta_e_2000_of(lab, (far, a, b)) <= abs(by):
        return far, a, b
    for _ in range(_STEPS):
        middle = (near + far) / 2
        if delta_e_2000_of(lab, (middle, a, b)) < abs(by):
            near = middle
        else:
            far = middle
    return far, a, b
