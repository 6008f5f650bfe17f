"""What befalls a piece besides ageing evenly: rust, creep, bloom, drops, crumbs, a punched number.

Extras are drawn once a piece; whether and how much of them shows depends on the day.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tests.studio.colours import Array, Lab, lab_to_linear
from tests.studio.diary import Shot
from tests.studio.grain import (
    Field,
    Random,
    blur,
    cells,
    clouds,
    millimetres,
    scattered,
    soft_step,
    speckle,
)
from tests.studio.shapes import Outline
from tests.studio.truths import Phase

_MARGIN = 8.0
_THREAD: Lab = (47.0, 26.0, 40.0)
_LIFTED: Lab = (80.0, -7.0, 3.0)
_CRUMB: Lab = (58.0, 8.0, 26.0)


@dataclass(frozen=True)
class Extras:
    """``ranks`` and ``tones`` of third colours by name; ``fields`` of other marks."""

    ranks: dict[str, Field] = field(default_factory=dict)
    tones: dict[str, Field] = field(default_factory=dict)
    fields: dict[str, Field] = field(default_factory=dict)


def draw_extras(number: str, outline: Outline, px: float) -> Extras:
    """The marks a piece will come to show."""
    rng = np.random.default_rng([9, int(number.split("-")[1])])
    shape = outline.depth.shape
    extras = Extras()
    if number == "SH-027":
        extras.ranks["rust"] = _freckles(shape, px, rng, 9.0)
        extras.tones["rust"] = 0.10 * clouds(shape, px, 2.0, 0.25, rng, slope=0.9)
    if number == "SH-016":
        extras.ranks["green return"] = _freckles(shape, px, rng, 13.0)
        extras.tones["green return"] = 0.06 * speckle(shape, px, 0.4, rng)
        extras.fields["haze"] = clouds(shape, px, 22, 1.5, rng, slope=1.8)
        ragged = 0.6 * clouds(shape, px, 30, 4, rng, slope=1.9)
        extras.fields["lift"] = np.asarray(ragged - outline.inside / 4, dtype=np.float32)
    if number == "SH-028":
        extras.fields["creep"] = _creep(shape, px, rng)
    if number == "SH-017":
        extras.fields["crumbs"] = _crumbs(shape, px, rng)
    return extras


def _freckles(shape: tuple[int, int], px: float, rng: Random, spacing: float) -> Field:
    """Spots that come one after the other and grow, ragged at the edge."""
    points = scattered(116, 166, spacing, rng)
    warp = 0.8 * clouds(shape, px, 8, 0.6, rng, slope=1.4)
    first, _, nearest = cells(shape, px, points, warp)
    start = rng.gamma(2.0, 1.0, len(points)).astype(np.float32)[nearest]
    return np.asarray(
        -start - 0.55 * first + 0.18 * clouds(shape, px, 1.6, 0.25, rng, slope=1.0),
        dtype=np.float32,
    )


def _creep(shape: tuple[int, int], px: float, rng: Random) -> Field:
    """Threads that start at the cut edge and wander in under the film."""
    image = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(image)
    for _ in range(46):
        side = rng.integers(0, 3)  # left, right, bottom
        along = rng.uniform(0.05, 0.95)
        if side == 2:
            x, y, heading = _MARGIN + 100 * along, _MARGIN + 149.6, -np.pi / 2
        else:
            x, heading = (_MARGIN + 0.4, 0.0) if side == 0 else (_MARGIN + 99.6, np.pi)
            y = _MARGIN + 20 + 128 * along
        heading += rng.normal(0, 0.5)
        for step in range(int(rng.gamma(2.2, 9.0)) + 4):
            heading += rng.normal(0, 0.28)
            nx, ny = x + 0.55 * np.cos(heading), y + 0.55 * np.sin(heading)
            width = max(1, round(px * (0.5 if step > 2 else 0.7)))
            draw.line((x * px, y * px, nx * px, ny * px), fill=200, width=width)
            x, y = nx, ny
        r = 0.55 * px
        draw.ellipse((x * px - r, y * px - r, x * px + r, y * px + r), fill=255)
    return blur(np.asarray(image, dtype=np.float32) / 255, px, 0.10)


def _crumbs(shape: tuple[int, int], px: float, rng: Random) -> Field:
    """Bits of sawdust that stuck to the damp metal."""
    image = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(image)
    for _ in range(70):
        x, y = rng.uniform(10, 126, 2)
        length, turn = rng.uniform(0.6, 3.2), rng.uniform(0, np.pi)
        dx, dy = length / 2 * np.cos(turn), length / 2 * np.sin(turn)
        w = rng.uniform(0.25, 0.6)
        signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
        corners = [(x + s * dx + t * w * dy, y + s * dy - t * w * dx) for s, t in signs]
        draw.polygon([(cx * px, cy * px) for cx, cy in corners], fill=int(rng.integers(150, 255)))
    return blur(np.asarray(image, dtype=np.float32) / 255, px, 0.05)


def film_haze(shot: Shot, extras: Extras) -> Field | float:
    """Log tone of the milky bloom under a coat sealed damp, from the second week."""
    if "haze" not in extras.fields or shot.phase is not Phase.WATCHED:
        return 0.0
    amount = float(np.interp(shot.days, (3, 14, 91), (0.0, 0.07, 0.10)))
    return amount * extras.fields["haze"]


def add_marks(
    shot: Shot, extras: Extras, outline: Outline, rgb: Array, px: float
) -> tuple[Array, Field]:
    """Marks laid over the colours, and where they lie (0 to 1); those that reach far in are small
    in area."""
    rng = shot.rng(5)
    touched = np.zeros(rgb.shape[:2], dtype=np.float32)
    watched = shot.phase is Phase.WATCHED
    if "lift" in extras.fields and watched:
        reach = float(np.interp(shot.days, (60, 91, 365), (-3.0, -0.1, 0.55)))
        lifted = soft_step(extras.fields["lift"], -reach, 0.25)
        rim = 4 * lifted * (1 - lifted)
        rgb = _glaze(rgb, _LIFTED, 0.34 * lifted + 0.30 * rim)
        touched = np.maximum(touched, lifted)
    if "creep" in extras.fields and watched and shot.days >= 270:
        reach = 14.0 if shot.days > 330 else 8.0
        threads = extras.fields["creep"] * soft_step(-outline.inside, -reach, 2.5)
        stain = blur(threads, px, 0.3)
        rgb = np.asarray(rgb * (1 - 0.35 * stain[..., None]), dtype=np.float32)
        rgb = _glaze(rgb, _THREAD, 0.75 * threads)
        touched = np.maximum(touched, stain)
    if shot.phase is Phase.WET:
        rgb = _glaze(rgb, _CRUMB, extras.fields["crumbs"])
        rgb = _bead(rgb, px, rng)
        touched = np.maximum(touched, extras.fields["crumbs"])
    if shot.phase is Phase.BACK:
        rgb = _punch(rgb, shot.piece.number, px)
    return rgb, touched


def _glaze(rgb: Array, lab: Lab, share: Field) -> Array:
    colour = lab_to_linear(lab).astype(np.float32)
    return np.asarray(rgb + (colour - rgb) * np.clip(share, 0, 1)[..., None], dtype=np.float32)


def _bead(rgb: Array, px: float, rng: Random) -> Array:
    """Drops standing on the metal: dark at the lamp side, bright across, a point of light."""
    shape = rgb.shape[:2]
    x, y = millimetres(shape, px)
    for _ in range(26):
        cx, cy = rng.uniform(22, 114, 2)
        r = rng.uniform(0.8, 3.0)
        u, v = (x - cx) / r, (y - cy) / (r * rng.uniform(0.8, 1.15))
        d = np.hypot(u, v)
        inside = soft_step(-d, -1.0, 0.12)
        lens = 1 + inside * (0.32 * v - 0.06)
        light = 0.65 * np.exp(-(((u + 0.4) ** 2 + (v + 0.42) ** 2) / 0.02))
        light += 0.4 * np.exp(-(((u - 0.42) ** 2 + (v + 0.4) ** 2) / 0.015))
        rgb = rgb * lens[..., None] + (light * inside)[..., None]
    return np.asarray(rgb, dtype=np.float32)


def _punch(rgb: Array, number: str, px: float) -> Array:
    """The number punched into the back, letter by letter, a little out of line."""
    shape = rgb.shape[:2]
    image = Image.new("L", (shape[1], shape[0]), 0)
    draw = ImageDraw.Draw(image)
    font = ImageFont.load_default(8.5 * px)
    rng = np.random.default_rng([11, int(number.split("-")[1])])
    x = _MARGIN + 34.0
    for letter in number:
        y = _MARGIN + 20.0 + rng.normal(0, 0.35)
        draw.text((x * px, y * px), letter, fill=255, font=font, anchor="ms")
        x += 6.4 + rng.normal(0, 0.25)
    depth = blur(np.asarray(image, dtype=np.float32) / 255, px, 0.16)
    slope_y, slope_x = np.gradient(depth)
    edge = np.clip(1 + 3.2 * (0.8 * slope_y + 0.35 * slope_x), 0.3, 1.9)
    return np.asarray(rgb * ((1 - 0.45 * depth) * edge)[..., None], dtype=np.float32)
