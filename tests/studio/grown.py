"""Skins that grow: wood-chip prints, crusts, rust."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.studio.grain import Random, blur, cells, clouds, scattered, speckle, streaks
from tests.studio.marks import chips
from tests.studio.shapes import Outline
from tests.studio.skin import Skin, sanding_lines, worn_edge


def mottled(outline: Outline, px: float, rng: Random) -> Skin:
    """Buried in damp sawdust: each chip left its own print, green where it touched."""
    shape = outline.depth.shape
    print_ = chips(shape, px, rng)
    drift = clouds(shape, px, 45, 6, rng)
    ragged = clouds(shape, px, 2.5, 0.3, rng, slope=1.1)
    rank = 1.05 * print_.value + 0.6 * drift + 0.10 * ragged + 0.06 * print_.fibre
    rank = blur(rank - 0.25 * print_.border, px, 0.22) - 1.6 * worn_edge(outline, 0.8)
    grain = clouds(shape, px, 1.2, 0.2, rng, slope=0.8)
    bloom = clouds(shape, px, 16, 0.7, rng, slope=1.25)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.06 * print_.tone
        + 0.045 * print_.fibre
        + 0.05 * drift
        + 0.035 * grain
        - 0.05 * print_.border,
        second=0.07 * print_.fibre + 0.06 * print_.tone + 0.06 * ragged,
        tint=0.030 * print_.tone + 0.03 * clouds(shape, px, 50, 8, rng),
        powder=0.06 * speckle(shape, px, 0.32, rng)
        + 0.10 * np.clip(ragged - 1.2, 0, 2)
        + 0.055 * np.clip(bloom, -1, 2.4),
        height=(0.030 * grain + 0.03 * print_.tone - 0.03 * print_.border).astype(np.float32),
        brush=0.35 * sanding_lines(outline, px, rng),
        thick=0.15,
        soft=0.2,
        rim=-0.05,
    )


def stained(outline: Outline, px: float, rng: Random) -> Skin:
    """Buried without salt: the chips left stains like tea, nothing grew."""
    skin = mottled(outline, px, rng)
    return replace(
        skin,
        main=0.5 * skin.main,
        second=0.5 * skin.second,
        tint=0.5 * skin.tint,
        powder=0.4 * skin.powder,
        height=0.3 * skin.height,
        thick=0.0,
        soft=0.5,
    )


def crusted(outline: Outline, px: float, rng: Random) -> Skin:
    """Left too long: a thick crust, crazed into plates that let go one by one."""
    shape = outline.depth.shape
    warp = 0.9 * clouds(shape, px, 12, 0.8, rng, slope=1.5)
    points = scattered(116, 166, 6.4, rng)
    first, second, nearest = cells(shape, px, points, warp)
    hold = rng.standard_normal(len(points)).astype(np.float32)[nearest]
    crack = np.exp(-(((second - first) / 0.32) ** 2))
    lumps = clouds(shape, px, 6, 0.35, rng, slope=1.4)
    crystals = np.abs(clouds(shape, px, 2.2, 0.22, rng, slope=0.9))
    drift = clouds(shape, px, 60, 12, rng)
    rank = 0.8 * hold + 0.75 * drift + 0.35 * lumps - 0.12 * first
    rank = rank - 1.2 * crack - 2.2 * worn_edge(outline, 2.2)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.055 * lumps + 0.05 * crystals - 0.14 * crack + 0.03 * drift,
        second=0.12 * lumps + 0.05 * speckle(shape, px, 0.4, rng),
        tint=0.035 * clouds(shape, px, 25, 3, rng) + 0.012 * lumps,
        powder=0.05 * speckle(shape, px, 0.3, rng),
        height=(0.10 * lumps + 0.08 * crystals - 0.16 * crack).astype(np.float32),
        brush=0.1 * lumps,
        thick=0.55,
        soft=0.14,
        rim=-0.10,
    )


def granular(outline: Outline, px: float, rng: Random) -> Skin:
    """Rust from a spray bottle: grains on grains, runs where it ran."""
    shape = outline.depth.shape
    grains = clouds(shape, px, 1.6, 0.22, rng, slope=0.9)
    clots = clouds(shape, px, 9, 0.9, rng, slope=1.5)
    runs = streaks(shape, px, 32, 2.2, rng, 90)
    drift = clouds(shape, px, 45, 6, rng)
    rank = 0.9 * clots + 0.75 * drift + 0.5 * runs + 0.16 * grains
    return Skin(
        rank=rank.astype(np.float32),
        main=0.060 * grains + 0.035 * clots + 0.03 * runs,
        second=0.09 * grains + 0.04 * clots,
        tint=0.045 * grains + 0.03 * clots,
        powder=0.06 * speckle(shape, px, 0.3, rng),
        height=(0.03 * grains + 0.03 * clots).astype(np.float32),
        brush=0.2 * grains,
        soft=0.22,
    )
