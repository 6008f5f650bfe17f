"""The kinds of array that are passed about."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Pixels = npt.NDArray[np.float32]
Bytes = npt.NDArray[np.uint8]
Mask = npt.NDArray[np.bool_]
Labels = npt.NDArray[np.int64]
Places = npt.NDArray[np.int32]
