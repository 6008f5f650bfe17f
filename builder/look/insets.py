"""Parts of a piece by how far they lie from its outline."""

from __future__ import annotations

import numpy as np

from builder.look.regions import Mask, depth

_RIM_SHARE, _RIM_MM = 0.08, 3.0
_CENTRE_SHARE = 0.5


def inset(mask: Mask, px_per_mm: float, mm: float) -> Mask:
    """The region without all that lies within ``mm`` of its outline and of its holes, (h, w)."""
    reach = mm * px_per_mm
    # A cell next to the outline lies half a cell inside it.
    return np.asarray(depth(mask, limit=reach + 2) > reach + 0.5)


def rim_and_centre(mask: Mask, px_per_mm: float) -> tuple[Mask, Mask]:
    """Edge and centre of a piece, (h, w) each.

    The rim: within 8 % of the smaller side of the outline, and 3 mm at least. The centre: from half
    the greatest depth on. They never overlap; a piece too thin for both has no centre.
    """
    # A cell next to the outline lies half a cell inside it.
    deep = (depth(mask) - 0.5) / px_per_mm
    y, x = np.nonzero(mask)
    if not len(y):
        return mask.copy(), mask.copy()
    smaller = (min(int(np.ptp(y)), int(np.ptp(x))) + 1) / px_per_mm
    rim = mask & (deep <= max(_RIM_MM, _RIM_SHARE * smaller))
    return rim, mask & ~rim & (deep >= _CENTRE_SHARE * float(deep.max()))
