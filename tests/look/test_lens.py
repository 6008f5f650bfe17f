"""From millimetres to pixels and back."""

from __future__ import annotations

import numpy as np

from builder.look.lens import Lens


def test_a_lens_leads_to_the_same_places_in_a_larger_picture() -> None:
    plane = np.array([[5.0, 0.2, 30.0], [-0.1, 4.8, 50.0], [1e-4, 2e-4, 1.0]])
    lens = Lens(plane, -0.05, np.array([800.0, 600.0]), 1000.0)
    mm = np.random.default_rng(0).uniform(0, 200, (40, 2))
    larger = lens.enlarged(3)
    assert np.allclose(larger.to_picture(mm), 3 * lens.to_picture(mm))
    assert np.allclose(larger.to_sheet(3 * lens.to_picture(mm)), lens.to_sheet(lens.to_picture(mm)))
