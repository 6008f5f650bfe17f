"""White points and the step between them, for profiles whose colours are given under D50."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

#: White of the profile connection space. Source: ICC.1:2010 (0000F6D6h, 00010000h, 0000D32Dh).
D50_PCS: Floats = np.array([0xF6D6, 0x10000, 0xD32D]) / 0x10000
#: D65, 2°, of chromaticity 0.3127, 0.3290. Source: IEC 61966-2-1:1999.
D65: Floats = np.array([0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290])
#: From XYZ to sharpened cone responses. Source: Lam 1985 (Bradford), as printed in ICC.1:2010,
#: annex E.
BRADFORD: Floats = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def adapt(source: Floats, target: Floats = D65) -> Floats:
    """(3, 3): XYZ under white ``source`` → XYZ under white ``target``, whites as XYZ with Y = 1.

    Source: ICC.1:2010, annex E (linearised Bradford).
    """
    gains = (BRADFORD @ target) / (BRADFORD @ source)
    return np.asarray(np.linalg.solve(BRADFORD, gains[:, None] * BRADFORD), dtype=np.float64)
