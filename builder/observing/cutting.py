"""The piece cut out of the picture: straightened, put right, and told from the paper round it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.insets import inset, rim_and_centre
from builder.look.opening import Opened
from builder.look.outlines import Outline
from builder.look.perspective import carry, map_plane
from builder.look.regions import soften
from builder.look.views import cut_quad, quad_size
from builder.measure.cards import CardFit
from builder.measure.decode import find_clipped, to_linear_xyz
from builder.measure.readings import Region
from builder.observing.places import Places
from builder.records.photo import Quad

Floats = NDArray[np.float64]

#: Left off at the outline: what blur, burr and the shadow under the edge make of it.
_EDGE_MM = 1.5
_HALF = 0.5


@dataclass(frozen=True, eq=False)
class Cut:
    """``region`` what is measured. ``alpha`` (h, w), 0 to 1: how far a pixel shows the piece; None
    where the piece is not outlined and all of its place is shown."""

    region: Region
    alpha: NDArray[np.float32] | None = None


def cut_piece(opened: Opened, places: Places, fit: CardFit | None) -> Cut | None:
    """The piece's place straightened and corrected; None where it is not known.

    Raises ``CornersError``."""
    if places.piece is None:
        return None
    outline = places.outline
    rgb, xyz, at = cut_place(opened, places, places.piece, places.corners_mm)
    corrected = fit.correct(xyz, at) if fit else np.asarray(xyz, dtype=np.float64)
    if outline is None or at is None:
        return Cut(Region(corrected, find_clipped(rgb)))
    scale = outline.px_per_mm
    inner = inset(outline.mask, scale, _EDGE_MM)
    inner = inner if inner.any() else outline.mask
    rim, centre = (_sample(part, outline, at) > _HALF for part in rim_and_centre(inner, scale))
    inside = _sample(inner, outline, at) > _HALF
    region = Region(corrected, find_clipped(rgb), inside, inside & rim, inside & centre)
    return Cut(region, _sample(soften(outline.mask, 0.7), outline, at))


def cut_place(
    opened: Opened, places: Places, quad: Quad, corners_mm: Floats | None
) -> tuple[NDArray[np.uint8], NDArray[np.float32], Floats | None]:
    """A place straightened: its pixels (h, w, 3), their linear XYZ as seen, and where each lies on
    the sheet, mm (h, w, 2), None without a sheet. Raises ``CornersError``."""
    rgb = cut_quad(opened.rgb, quad, *quad_size(opened.rgb, quad))
    xyz = to_linear_xyz(rgb, opened.encoding)
    if places.sheet is None or corners_mm is None:
        return rgb, xyz, None
    height, width = rgb.shape[:2]
    y, x = np.mgrid[:height, :width]
    plane = np.stack([(x + 0.5) / width, (y + 0.5) / height], axis=-1)
    return rgb, xyz, spread_over(corners_mm, plane)


def spread_over(corners_mm: Floats, plane: Floats) -> Floats:
    """Places (…, 2) in a quad's own plane, 0 to 1, as millimetres of the sheet (…, 2)."""
    a, b, c, d = ((float(x), float(y)) for x, y in corners_mm)
    return carry(map_plane((a, b, c, d), 1, 1), plane)


def _sample(raster: NDArray[Any], outline: Outline, at: Floats) -> NDArray[np.float32]:
    """The outline's raster (r, c) at places of the sheet, mm (h, w, 2): a blend of four, nought
    outside."""
    wide = np.pad(np.asarray(raster, dtype=np.float32), 1)
    cell = (at - outline.origin_mm) * outline.px_per_mm + 0.5
    cell = np.clip(cell, 0, np.array(wide.shape[::-1]) - 1.001).astype(np.float32)
    x, y = (cell[..., axis].astype(np.intp) for axis in (0, 1))
    fx, fy = cell[..., 0] - x, cell[..., 1] - y
    upper = wide[y, x] * (1 - fx) + wide[y, x + 1] * fx
    lower = wide[y + 1, x] * (1 - fx) + wide[y + 1, x + 1] * fx
    return np.asarray(upper * (1 - fy) + lower * fy, dtype=np.float32)
