"""Cards drawn into a slot of white paper, as the camera sees them: truth for the card's finder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from tests.reference import colour

Array = NDArray[Any]
Patch = tuple[int, int, tuple[float, float, float]]

PX = 4.0
SLOT_MM = (102.0, 104.0)  # the jig's slot and 3 mm about it
ORIGIN = (180.0, 31.0)
_FINE = 2


def target_of_24() -> list[Patch]:
    """Row, column, L*a*b* (D65) of the 24 patches. Source: colour-science 0.4.7, the values of
    targets made after November 2014, xyY for D50, brought to D65 by Bradford."""
    chart = colour.CCS_COLOURCHECKERS["ColorChecker24 - After November 2014"]
    d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    xyz = colour.xyY_to_XYZ(np.array(list(chart.data.values())))
    xyz = colour.chromatic_adaptation(
        xyz, colour.xy_to_XYZ(chart.illuminant), colour.xy_to_XYZ(d65), transform="Bradford"
    )
    lab = colour.XYZ_to_Lab(xyz, d65)
    return [(n // 6, n % 6, tuple(float(v) for v in lab[n])) for n in range(24)]


def grey_strip(steps: int, rows: int = 1) -> list[Patch]:
    """Grey steps from L* 94 to 20, row by row."""
    columns = steps // rows
    levels = np.linspace(94, 20, steps)
    return [(n // columns, n % columns, (float(levels[n]), 0.0, 0.0)) for n in range(steps)]


def nine_patches() -> list[Patch]:
    """Five greys and four colours, our own."""
    lab = [
        (92, 0, 1), (75, 0, 0), (56, 0, 0), (38, 0, 0), (22, 0, 0),
        (46, 44, 24), (52, -34, 22), (40, 6, -38), (76, 2, 60),
    ]  # fmt: skip
    return [(n // 3, n % 3, tuple(float(v) for v in c)) for n, c in enumerate(lab)]


@dataclass(frozen=True)
class Laid:
    """How a card lies and is seen. ``size_mm`` of its grid, outer edges of outer patches;
    ``middle_mm`` from the slot's left top corner; ``turn`` degrees clockwise; ``gap`` of a pitch;
    ``gains`` of the lamp that the paper did not take out; ``gamma`` of what the camera's curve
    left; ``uneven`` fall of light across the slot."""

    size_mm: tuple[float, float]
    middle_mm: tuple[float, float] = (51.0, 52.0)
    turn: float = 0.0
    gap: float = 0.1
    border: float = 0.03
    border_mm: float = 4.0
    gains: tuple[float, float, float] = (1.0, 1.0, 1.0)
    gamma: float = 1.0
    uneven: float = 0.0
    noise: float = 0.006
    mirrored: bool = False
    seed: int = 1


def quad_of(laid: Laid, rows: int, columns: int) -> Array:
    """(4, 2) mm on the sheet: the grid with half a gap about it, clockwise from A1's corner."""
    width, height = laid.size_mm
    size = (
        width / (columns - laid.gap) * columns if columns > 1 else width,
        height / (rows - laid.gap) * rows if rows > 1 else height,
    )
    unit = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]) * size
    angle = np.radians(laid.turn)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return np.asarray(unit @ turn.T + laid.middle_mm + np.array(ORIGIN))


def draw_card(laid: Laid, rows: int, columns: int, patches: Sequence[Patch]) -> Array:
    """The slot (h, w, 3), linear light over that of the paper."""
    px = PX * _FINE
    w, h = (round(side * px) for side in SLOT_MM)
    x, y = np.meshgrid((np.arange(w) + 0.5) / px, (np.arange(h) + 0.5) / px)
    x, y = x - laid.middle_mm[0], y - laid.middle_mm[1]
    angle = np.radians(laid.turn)
    u, v = x * np.cos(angle) + y * np.sin(angle), -x * np.sin(angle) + y * np.cos(angle)
    if laid.mirrored:
        u = -u
    width, height = laid.size_mm
    scene = np.ones((h, w, 3))
    rim = laid.border_mm
    card = (np.abs(u) < width / 2 + rim) & (np.abs(v) < height / 2 + rim)
    scene *= 1 - 0.25 * ndimage.gaussian_filter(card.astype(float), px * 0.8)[..., None]
    scene[card] = laid.border
    pitch_x = width / (columns - laid.gap) if columns > 1 else width
    pitch_y = height / (rows - laid.gap) if rows > 1 else height
    half_x = pitch_x * (1 - laid.gap) / 2 if columns > 1 else width / 2
    half_y = pitch_y * (1 - laid.gap) / 2 if rows > 1 else height / 2
    for row, column, lab in patches:
        at = (np.abs(u - (column - (columns - 1) / 2) * pitch_x) <= half_x) & (
            np.abs(v - (row - (rows - 1) / 2) * pitch_y) <= half_y
        )
        xyz = colour.Lab_to_XYZ(np.array(lab), (0.3127, 0.3290))
        rgb = colour.XYZ_to_sRGB(xyz, apply_cctf_encoding=False)
        scene[at] = np.clip(rgb, 0, None) / 0.88  # paper of L* 95
    scene = ndimage.gaussian_filter(scene, (0.22 * px, 0.22 * px, 0))
    scene = scene.reshape(h // _FINE, _FINE, w // _FINE, _FINE, 3).mean(axis=(1, 3))
    fall = np.linspace(1 + laid.uneven / 2, 1 - laid.uneven / 2, scene.shape[1])[None, :, None]
    scene = (scene * fall * laid.gains) ** laid.gamma
    rng = np.random.default_rng(laid.seed)
    seen = np.sqrt(scene) + laid.noise * rng.standard_normal(scene.shape)
    return np.asarray(np.clip(seen, 0, None) ** 2, dtype=np.float32)
