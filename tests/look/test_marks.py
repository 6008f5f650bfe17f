"""A mark's pattern smeared, against its integral."""

from __future__ import annotations

import math

import numpy as np
import pytest

from builder.look.marks import _smear

LOOKED_UP = 2e-4  # the normal distribution, to the nearest 2000th of a deviation


def smear_slowly(pattern: np.ndarray, x: float, y: float, blur: float) -> float:
    """A Gaussian's share of each module, over all of them."""

    def share(at: float, module: int) -> float:
        low, high = (module - at) / blur, (module + 1 - at) / blur
        return 0.5 * (math.erf(high / math.sqrt(2)) - math.erf(low / math.sqrt(2)))

    n = len(pattern)
    across, down = ([share(at, module) for module in range(n)] for at in (x, y))
    return float(np.array(down) @ pattern @ np.array(across))


@pytest.mark.parametrize("blur", [0.05, 0.17, 0.2, 0.5, 1.5])
def test_a_pattern_is_smeared_as_its_integral_says(blur: float) -> None:
    rng = np.random.default_rng(1)
    pattern = rng.integers(0, 2, (21, 21)).astype(float)
    at = rng.uniform(-3, 24, (300, 2))
    dark, across, down, wider = _smear(pattern, at, blur)
    step = 1e-4 * blur
    for n, (x, y) in enumerate(at):
        assert abs(dark[n] - smear_slowly(pattern, x, y, blur)) < LOOKED_UP
        for slope, (dx, dy, db) in ((across, (1, 0, 0)), (down, (0, 1, 0)), (wider, (0, 0, 1))):
            ends = [
                smear_slowly(pattern, x + s * dx * step, y + s * dy * step, blur + s * db * step)
                for s in (-1, 1)
            ]
            # Of slopes only a step's direction is taken, so more is allowed.
            assert abs(slope[n] - (ends[1] - ends[0]) / (2 * step)) < 2e-3 / blur
