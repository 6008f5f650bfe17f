"""The reference card of the evenings: nine matt patches with known colour."""

from __future__ import annotations

import numpy as np

from tests.studio.colours import Array, Lab, lab_to_linear
from tests.studio.grain import Random, speckle
from tests.studio.stand import CARD_GAP_MM, CARD_SIZE_MM, PATCH_MM

#: L*a*b*, D65, 2°. Invented; all lie well inside sRGB, so that none clips at fair exposure.
PATCHES: dict[str, Lab] = {
    "A1": (92.0, -0.3, 0.8), "A2": (75.0, 0.1, -0.2), "A3": (56.0, -0.2, 0.1),
    "B1": (38.0, 0.2, -0.3), "B2": (22.0, 0.3, 0.2), "B3": (46.0, 44.0, 24.0),
    "C1": (52.0, -34.0, 22.0), "C2": (40.0, 6.0, -38.0), "C3": (76.0, 2.0, 60.0),
}  # fmt: skip
#: How far the one card that all evenings used really lies from its list, L*, a*, b*: 0.5 to 0.95
#: of ΔE00, as a carefully printed card does. A reading cannot be surer than that.
PRINT_TOLERANCE: dict[str, Lab] = {
    "A1": (0.75, 0.13, 0.05), "A2": (0.27, 0.35, -0.24), "A3": (-0.23, -0.30, -0.11),
    "B1": (-0.46, 0.10, -0.36), "B2": (-0.33, 0.26, 0.23), "B3": (0.49, 0.54, -1.12),
    "C1": (-0.43, -0.34, 1.47), "C2": (0.85, -0.94, 0.27), "C3": (1.15, -0.49, -0.66),
}  # fmt: skip
_BORDER: Lab = (26.0, 0.2, -0.4)


def card_as_cgats() -> str:
    """The card's true values as a CGATS text file (ISO 28178)."""
    rows = "\n".join(
        f"{name}\t{lightness:.2f}\t{a:.2f}\t{b:.2f}" for name, (lightness, a, b) in PATCHES.items()
    )
    return f"""CGATS.17
ORIGINATOR "Sparrowhithe Metal Evenings (invented)"
DESCRIPTOR "Card of nine matt patches for the bench stand: rows A to C down, columns 1 to 3"
CREATED "2024-09-10"
KEYWORD "WHITE_POINT"
WHITE_POINT "D65"
KEYWORD "OBSERVER"
OBSERVER "2"
NUMBER_OF_FIELDS 4
BEGIN_DATA_FORMAT
SAMPLE_ID\tLAB_L\tLAB_A\tLAB_B
END_DATA_FORMAT
NUMBER_OF_SETS {len(PATCHES)}
BEGIN_DATA
{rows}
END_DATA
"""


def paint_card(px: float, rng: Random) -> Array:
    """The card from above, linear (h, w, 3)."""
    width, height = CARD_SIZE_MM
    shape = (round(height * px), round(width * px))
    card = np.empty((*shape, 3), dtype=np.float32)
    card[:] = lab_to_linear(_BORDER)
    for name, lab in PATCHES.items():
        row, column = ord(name[0]) - ord("A"), int(name[1]) - 1
        y = CARD_GAP_MM + row * (PATCH_MM + CARD_GAP_MM)
        x = CARD_GAP_MM + column * (PATCH_MM + CARD_GAP_MM)
        rows = slice(round(y * px), round((y + PATCH_MM) * px))
        columns = slice(round(x * px), round((x + PATCH_MM) * px))
        printed = np.add(lab, PRINT_TOLERANCE[name])
        card[rows, columns] = lab_to_linear(printed)
    tooth = 1 + 0.006 * speckle(shape, px, 0.3, rng)
    return np.asarray(card * tooth[..., None], dtype=np.float32)
