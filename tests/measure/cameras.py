"""Made-up cameras and cards, whose truth is known: what the measuring has to undo."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from builder.measure.arrays import Bytes, Floats
from builder.measure.cards import CardFit, fit_card
from builder.measure.decode import is_clipped, to_linear_xyz
from builder.measure.patches import SeenPatch
from builder.measure.spaces import SRGB, encode_srgb, lab_to_xyz
from builder.records.photo import Encoding, Lab

Random = np.random.Generator

#: A card of nine like the bench's: white, three greys, black, red, green, blue, yellow.
NINE: Mapping[str, Lab] = {
    "A1": (92.0, 0.0, 1.0),
    "A2": (75.0, 0.0, 0.0),
    "A3": (56.0, 0.0, 0.0),
    "B1": (38.0, 0.0, 0.0),
    "B2": (22.0, 0.0, 0.0),
    "B3": (46.0, 44.0, 24.0),
    "C1": (52.0, -34.0, 22.0),
    "C2": (40.0, 6.0, -38.0),
    "C3": (76.0, 2.0, 60.0),
}
GREYS: Mapping[str, Lab] = {name: lab for name, lab in NINE.items() if lab[1:] == (0.0, 0.0)}
ONE_GREY: Mapping[str, Lab] = {"A1": (56.0, 0.0, 0.0)}


def wheel(colours: int = 16) -> dict[str, Lab]:
    """A target of many colours round the hue circle at three lightnesses, and six greys."""
    greys = [(lightness, 0.0, 0.0) for lightness in (94.0, 80.0, 65.0, 50.0, 35.0, 20.0)]
    turns = np.arange(colours) * 2 * np.pi / colours
    ring = [
        (float(40 + 15 * (k % 3)), float(20 * np.cos(t)), float(20 * np.sin(t)))
        for k, t in enumerate(turns)
    ]
    return {f"{chr(65 + k // 6)}{k % 6 + 1}": lab for k, lab in enumerate(greys + ring)}


@dataclass(frozen=True)
class Camera:
    """``gain`` a channel: lamp and exposure; ``crosstalk`` (3, 3) from scene to sensor, rows sum
    to 1; ``flare`` stray light, of white; ``contrast`` of the tone curve, 0 none; ``noise`` of a
    pixel, in levels of 255."""

    gain: tuple[float, float, float] = (1.0, 1.0, 1.0)
    crosstalk: Floats = field(default_factory=lambda: np.eye(3))
    flare: float = 0.0
    contrast: float = 0.0
    noise: float = 0.0

    def see(self, rgb: Floats) -> Floats:
        """Linear sRGB of the scene (…, 3) → encoded values, 0 to 1 within scale."""
        light = (rgb * np.array(self.gain)) @ self.crosstalk.T + self.flare
        v = encode_srgb(light)
        return np.asarray(v - self.contrast * np.sin(2 * np.pi * v) / (2 * np.pi))

    def shoot(self, rgb: Floats, rng: Random) -> Bytes:
        """Linear sRGB (…, 3) → 8-bit pixels, with the camera's noise."""
        seen = self.see(rgb) * 255
        levels = np.round(seen + rng.normal(0, 1, seen.shape) * self.noise)
        return np.asarray(np.clip(levels, 0, 255), dtype=np.uint8)


def mix(rng: Random, strength: float) -> Floats:
    """A crosstalk matrix whose rows sum to 1."""
    matrix = np.eye(3) + rng.normal(0, strength, (3, 3))
    return np.asarray(matrix / matrix.sum(axis=1, keepdims=True))


def some_camera(rng: Random) -> Camera:
    """A phone on a bench: exposure and lamp a little off, mild mixing, its own contrast."""
    gain = np.exp(rng.normal(0, 0.05, 3) + rng.normal(0, 0.08))
    return Camera(
        gain=(float(gain[0]), float(gain[1]), float(gain[2])),
        crosstalk=mix(rng, 0.03),
        flare=float(abs(rng.normal(0, 0.002))),
        contrast=float(rng.uniform(0.0, 0.35)),
        noise=2.5,
    )


def warm(camera: Camera) -> Camera:
    """The same under a lamp of about 2700 K: red three times blue."""
    r, g, b = camera.gain
    return replace(camera, gain=(1.25 * r, 0.85 * g, 0.42 * b))


def linear(lab: Sequence[float] | Floats) -> Floats:
    """L*a*b* D65 → linear sRGB, never clipped."""
    return np.asarray(lab_to_xyz(np.array(lab)) @ np.linalg.inv(SRGB.to_xyz).T)


def stray(rng: Random, unlike: float) -> Floats:
    """A factor a channel (3,) by which one surface looks other than its L*a*b*: no two things of
    one colour, an ink and a patina, reflect one spectrum, and no camera sees as the eye does."""
    return np.asarray(np.exp(rng.normal(0, unlike, 3)))


def photograph_card(
    camera: Camera, rng: Random, card: Mapping[str, Lab] = NINE, unlike: float = 0.0
) -> list[SeenPatch]:
    """The card's patches as pixels of an sRGB picture."""
    seen = []
    for name, lab in card.items():
        patch = linear(lab) * stray(rng, unlike)
        pixels = camera.shoot(np.broadcast_to(patch, (576, 3)), rng)
        seen.append(SeenPatch(name, lab, to_linear_xyz(pixels, Encoding()), is_clipped(pixels)))
    return seen


def fit_to(
    camera: Camera,
    rng: Random,
    card: Mapping[str, Lab] = NINE,
    same_light: bool = False,
    unlike: float = 0.0,
) -> CardFit:
    return fit_card(photograph_card(camera, rng, card, unlike), same_light=same_light)
