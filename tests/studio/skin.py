"""What a skin is: where a colour lies, how its tone varies, how rough it stands.

A skin is drawn once a piece, so that every photograph of it shows the same marks. Which share of
it carries the main colour is decided later, photograph by photograph, from its ``rank``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.studio.colours import Array
from tests.studio.grain import Field, Random, streaks
from tests.studio.shapes import Outline


@dataclass(frozen=True)
class Skin:
    """``rank``: the main colour takes the highest ranks first. ``main``/``second``: log tone of
    each colour, (h, w); ``tint``: log warm-cool shift. ``powder``: the part of the tone that a
    film wets out. ``height``: mm. ``thick``: mm the main colour stands proud. ``soft``: mm over
    which the two colours meet. ``brush``: the metal's own lines, which carry the sheen. ``rim``:
    log change of tone along the border of the main colour.
    """

    rank: Field
    main: Field
    second: Field
    tint: Field
    powder: Field
    height: Field
    brush: Field
    thick: float = 0.0
    soft: float = 0.16
    rim: float = 0.0


def worn_edge(outline: Outline, reach: float) -> Field:
    """1 at the edge, falling off over ``reach`` mm: where hands and cloth rub first."""
    return np.asarray(np.exp(-np.maximum(outline.inside, 0) / reach), dtype=np.float32)


def sanding_lines(outline: Outline, px: float, rng: Random, angle: float = 88.0) -> Field:
    """The scratch pattern of abrading by hand on paper, long way of the plate."""
    shape = outline.depth.shape
    fine = streaks(shape, px, 45, 0.22, rng, angle)
    crossed = streaks(shape, px, 22, 0.25, rng, angle + rng.normal(0, 3.5))
    broad = streaks(shape, px, 70, 1.1, rng, angle)
    deep = streaks(shape, px, 28, 0.18, rng, angle + rng.normal(0, 5))
    scratches = np.clip(deep - 2.3, 0, 1.5) - np.clip(-deep - 2.3, 0, 1.5)
    return np.asarray(
        0.62 * fine + 0.34 * crossed + 0.42 * broad + 0.9 * scratches, dtype=np.float32
    )


def tone(log_tone: Field, tint: Field) -> Array:
    """Log tone and warm-cool shift as a factor a channel, (h, w, 3)."""
    return np.asarray(
        np.exp(np.stack([log_tone + tint, log_tone, log_tone - tint], axis=-1)), dtype=np.float32
    )
