"""The reading of one part of one photograph."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.cards import CardFit
from builder.measure.cells import (
    MOTTLE_MM,
    MOTTLE_PART,
    Cells,
    average_to_cells,
    measure_mottle,
    side_of_cell,
)
from builder.measure.coverage import (
    CELL_LEAST,
    CELL_MM,
    CELL_PART,
    Coverage,
    find_coverage,
)
from builder.measure.difference import delta_e_2000
from builder.measure.glare import find_glare, grow
from builder.measure.noise import (
    LOST_DOUBTFUL_PCT,
    U_NO_CARD,
    combine_u,
    u_of_lost_area,
    u_of_standard_error,
    u_of_uneven_light,
)
from builder.measure.spaces import as_lab, xyz_to_lab
from builder.records.photo import ColourShare, Evidence, Lab, Reading

# Pixels round a glare that still hold some of it: a lens is sharp to a pixel or two.
HALO_PX = 2
# With less than this part of the region left, what is left is not the piece.
LEAST_READABLE = 0.5
# The main colour is told again from tiles, this many a side, to see how well its mean is known.
TILES = 8

NO_CARD = "No reference card in the frame: the colours are as the camera gave them."
MOSTLY_LOST = "Most of the piece is too light, too dark or glaring here: nothing is drawn from it."


@dataclass(frozen=True, eq=False)
class Region:
    """A region of a picture: ``xyz`` (h, w, 3) corrected, in linear light; ``clipped`` (h, w) which
    of its pixels ran out of scale in the picture. Where the piece is outlined, ``inside`` (h, w)
    says which pixels are of it, and ``rim`` and ``centre`` which lie near its edge and in its
    middle; else None, and all are."""

    xyz: Floats | Pixels
    clipped: Mask
    inside: Mask | None = None
    rim: Mask | None = None
    centre: Mask | None = None

    def cut(self, rows: slice, columns: slice) -> Region:
        """A part of it."""
        masks = (
            None if mask is None else mask[rows, columns]
            for mask in (self.inside, self.rim, self.centre)
        )
        return Region(self.xyz[rows, columns], self.clipped[rows, columns], *masks)


def read_region(
    region: Region,
    fit: CardFit | None,
    mm_per_px: float | None = None,
    zone: str = "",
    uneven_pct: float | None = None,
) -> Reading:
    """Read a region of a picture.

    ``fit`` the card's correction that made it, None where there is no card; ``mm_per_px`` the
    scale, None where unknown; ``uneven_pct`` how far light may differ between card and piece, in
    per cent, where that is known better than the correction knows it.

    Pixels clipped or glaring are left out and counted. ``u`` is that of the largest colour. Where
    nothing can be read, ``colours`` is empty, ``mean`` 0, 0, 0, and ``withheld`` says so.
    """
    fit = fit or CardFit("", rejected=NO_CARD)
    seen, clipped = region.xyz, region.clipped
    inside = np.ones_like(clipped) if region.inside is None else region.inside
    if not inside.any():
        return _unread(zone, 0.0, 0.0, fit.said)
    glaring = find_glare(seen, inside & ~clipped)
    good = inside & ~(clipped | grow(glaring, HALO_PX))
    clipped_pct, glare_pct = (100 * float(lost[inside].mean()) for lost in (clipped, glaring))
    flags = list(fit.said)
    if clipped_pct > LOST_DOUBTFUL_PCT:
        flags.append(f"Doubtful: {clipped_pct:.0f} % of the area is clipped.")
    if glare_pct > LOST_DOUBTFUL_PCT:
        flags.append(f"Doubtful: {glare_pct:.0f} % of the area is glare.")
    if mm_per_px is None:
        flags.append("Scale unknown: mottle is told over a fiftieth of the longer side.")

    fine = side_of_cell(good.shape, mm_per_px, CELL_MM, CELL_PART, CELL_LEAST)
    cells = average_to_cells(seen, good, fine)
    if not cells.read.any():
        return _unread(zone, glare_pct, clipped_pct, flags)
    coverage = find_coverage(cells)
    lab = xyz_to_lab(coverage.xyz)
    u_own = combine_u(
        u_of_standard_error(spread_of_main(cells, coverage)),
        u_of_lost_area(clipped_pct + glare_pct),
        u_of_uneven_light(lab[0], fit.uneven_pct if uneven_pct is None else uneven_pct),
    )
    coarse = side_of_cell(good.shape, mm_per_px, MOTTLE_MM / 2, MOTTLE_PART)
    return Reading(
        zone=zone,
        colours=tuple(
            ColourShare(as_lab(one), float(share))
            for one, share in zip(lab, coverage.share, strict=True)
        ),
        mean=as_lab(
            xyz_to_lab(np.average(cells.xyz[cells.read], axis=0, weights=cells.weight[cells.read]))
        ),
        u=combine_u(fit.u_at(as_lab(lab[0])), u_own),
        u_own=u_own,
        evidence=fit.evidence,
        mottle=measure_mottle(average_to_cells(seen, good, coarse)),
        glare_pct=glare_pct,
        clipped_pct=clipped_pct,
        flags=tuple(flags),
        withheld=fit.rejected
        or (MOSTLY_LOST if good.sum() < LEAST_READABLE * inside.sum() else ""),
        edge=_mean_of(seen, good, region.rim),
        centre=_mean_of(seen, good, region.centre),
    )


def _mean_of(xyz: Floats | Pixels, good: Mask, part: Mask | None) -> Lab | None:
    """L*a*b* of the mean of what can be read of a part; None where nothing can."""
    if part is None or not (good & part).any():
        return None
    kept = (good & part).astype(np.float32)
    # Rows by themselves and then together: near enough to adding with twice the digits.
    total = [(kept * xyz[..., k]).sum(axis=1).sum(dtype=np.float64) for k in range(3)]
    return as_lab(xyz_to_lab(np.array(total) / np.count_nonzero(kept)))


def _unread(zone: str, glare_pct: float, clipped_pct: float, flags: Sequence[str]) -> Reading:
    return Reading(
        zone=zone,
        colours=(),
        mean=(0.0, 0.0, 0.0),
        u=U_NO_CARD,
        evidence=Evidence.NONE,
        mottle=0.0,
        glare_pct=glare_pct,
        clipped_pct=clipped_pct,
        flags=tuple(flags),
        withheld=MOSTLY_LOST,
    )


def spread_of_main(cells: Cells, coverage: Coverage) -> Floats:
    """ΔE00 (n,), n ≥ 2, from the mean of the largest colour to its mean in each of the tiles of the
    region that hold some of it; 0, 0 where that is only one."""
    own = coverage.core & (coverage.label == 0)
    own = own if own.any() else coverage.label == 0
    rows, columns = own.shape
    row = np.arange(rows)[:, None] * TILES // rows
    column = np.arange(columns)[None, :] * TILES // columns
    tile = (row * TILES + column)[own]
    weight = cells.weight[own]
    count = np.bincount(tile, weight)
    total = np.stack([np.bincount(tile, weight * cells.xyz[own][:, k]) for k in range(3)], axis=-1)
    means = total[count > 0] / count[count > 0][:, None]
    if len(means) < 2:
        return np.zeros(2)
    return delta_e_2000(xyz_to_lab(means), xyz_to_lab(coverage.xyz[0]))
