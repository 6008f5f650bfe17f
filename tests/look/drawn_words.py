"""Photographs of nothing but a ground and a piece of paper with words, numbers or strokes like
those of a hand; each from a seed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from builder.look import plates

SIZE = (1600, 1200)
KINDS = ("letterhead", "number", "hand")
_FONTS = sorted((Path(plates.__file__).parent / "type").glob("*.ttf"))
_WORDS = (
    "Sparrow Lane 14\nLittle Thorpe", "Invoice No 4471\nMarrow & Daughters",
    "to R. Tolliver\n22 Quayside", "Meeting Tuesday\nbring wax, salt",
    "Parcel for Hebe\nMill Cottage",
)  # fmt: skip

Colour = tuple[int, int, int]


def draw(kind: str, seed: int) -> Image.Image:
    """``kind``: one of KINDS, or "nothing". Letters are 18 to 45 pixels high, numbers 50 to 170,
    the hand's 22 to 50, up to six degrees askew, a little out of focus."""
    rng = np.random.default_rng(seed)
    picture = _draw_ground(rng)
    if kind != "nothing":
        tile = {"letterhead": _letterhead, "number": _number, "hand": _hand}[kind](rng)
        tile = tile.rotate(rng.uniform(-6, 6), Image.Resampling.BICUBIC, expand=True)
        picture.paste(tile, (int(rng.integers(20, 500)), int(rng.integers(20, 700))), tile)
    soft = picture.filter(ImageFilter.GaussianBlur(rng.uniform(0.4, 1.1)))
    return _to_picture(np.asarray(soft) + rng.normal(0, 3, (SIZE[1], SIZE[0], 3)))


def _draw_ground(rng: np.random.Generator) -> Image.Image:
    x, y = np.linspace(-15, 15, SIZE[0]), np.linspace(-15, 15, SIZE[1])
    light = rng.uniform(90, 215) + rng.uniform(-1, 1) * x[None, :] + rng.uniform(-1, 1) * y[:, None]
    grey = light + rng.normal(0, 4, light.shape)
    return _to_picture(np.repeat(grey[..., None], 3, axis=2))


def _letterhead(rng: np.random.Generator) -> Image.Image:
    words = _WORDS[int(rng.integers(len(_WORDS)))]
    return _set(rng, words, int(rng.integers(18, 46)), (30, 30, 40), (236, 233, 226))


def _number(rng: np.random.Generator) -> Image.Image:
    """Three figures on a plate, as on a house."""
    ink, plate = ((25, 25, 30), (230, 230, 220)), ((240, 240, 235), (30, 50, 90))
    colours = ink if rng.random() < 0.5 else plate
    return _set(rng, str(rng.integers(100, 1000)), int(rng.integers(50, 170)), *colours)


def _set(rng: np.random.Generator, words: str, size: int, ink: Colour, paper: Colour) -> Any:
    font = ImageFont.truetype(_FONTS[int(rng.integers(len(_FONTS)))], size)
    lines, pad = words.split("\n"), 20
    width = max(font.getlength(line) for line in lines)
    tile = Image.new("RGBA", (int(width) + 2 * pad, int(size * 1.35 * len(lines)) + 2 * pad), paper)
    for at, line in enumerate(lines):
        ImageDraw.Draw(tile).text((pad, pad + at * size * 1.35), line, font=font, fill=ink)
    return tile


def _hand(rng: np.random.Generator) -> Image.Image:
    """One line without a break, in loops, some of them higher."""
    size, loops, finer = int(rng.integers(22, 50)), int(rng.integers(6, 11)), 4
    width = int(size * loops * 0.62) + 60
    tile = Image.new("RGBA", (width * finer, size * 3 * finer), (235, 232, 225))
    at = np.linspace(0, loops, loops * 40)
    high = 1 + 0.5 * np.repeat((rng.random(loops) < 0.2).astype(float), 40)
    x = 30 + size * 0.6 * at + size * 0.22 * np.sin(2 * np.pi * at)
    y = size * 1.6 - size * 0.5 * high * np.cos(2 * np.pi * at + 0.6)
    points = list(zip(x * finer, y * finer, strict=True))
    ImageDraw.Draw(tile).line(points, (40, 40, 90), int(size * 0.09 * finer), joint="curve")
    return tile.resize((width, size * 3), Image.Resampling.LANCZOS)


def _to_picture(values: np.ndarray[Any, Any]) -> Image.Image:
    return Image.fromarray(np.clip(values, 0, 255).astype(np.uint8))
