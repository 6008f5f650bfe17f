"""Jig sheets drawn and photographed here, from the sheet's description alone."""

from __future__ import annotations

import io
import math
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import segno
from numpy.typing import NDArray
from PIL import Image

from builder.records.jig import A4, DOT_MM, Jig, write_marks

Floats = NDArray[np.float64]

PX_PER_MM = 5.0  # of the drawn sheet; a module is 4.29 of its pixels
PAPER, INK, TABLE = 0.85, 0.04, 0.18  # reflectances, common practice, no source


def _encode(steps: int) -> NDArray[np.uint8]:
    """Levels of sRGB for ``steps`` even steps of light. Source: IEC 61966-2-1."""
    light = (np.arange(steps) + 0.5) / steps
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(coded * 255).astype(np.uint8)


SRGB = _encode(1 << 15)


@dataclass(frozen=True, eq=False)
class View:
    """How a sheet is seen. ``plane`` (3, 3): mm → pixels of a lens without fault; ``bend``: first
    radial term about the picture's middle, r in half diagonals; ``size``: width, height."""

    plane: Floats
    size: tuple[int, int]
    bend: float = 0.0
    rise: float = 0.0  # mm the sheet's middle stands up, bent about its short axis
    height: float = field(default=400.0)  # mm from lens to sheet, for the rise alone

    def show(self, mm: Floats, jig: Jig = A4) -> Floats:
        """Millimetres (…, 2) → pixels (…, 2), the other way round from finding."""
        mm = np.asarray(mm, dtype=np.float64)
        if self.rise:
            middle = np.array([jig.width / 2, jig.height / 2])
            up = self.rise * np.sin(np.pi * np.clip(mm[..., :1] / jig.width, 0, 1))
            mm = middle + (mm - middle) * self.height / (self.height - up)
        w = np.concatenate([mm, np.ones((*mm.shape[:-1], 1))], axis=-1) @ self.plane.T
        off = w[..., :2] / w[..., 2:] - np.array(self.size) / 2
        r2 = (off**2).sum(axis=-1, keepdims=True) / (math.hypot(*self.size) / 2) ** 2
        return np.array(self.size) / 2 + off * (1 + self.bend * r2)


def look(
    jig: Jig = A4,
    width: int = 1200,
    tilt: float = 0.0,
    towards: float = 0.0,
    turn: float = 0.0,
    fill: float = 0.9,
    shift: tuple[float, float] = (0.0, 0.0),
    bend: float = 0.0,
    rise: float = 0.0,
) -> View:
    """A camera of 65° across its diagonal that looks at the sheet's middle from ``tilt`` degrees
    off its upright, leaning ``towards`` that bearing, turned by ``turn``."""
    size = (width, width * 3 // 4)
    focal = math.hypot(*size) / 2 / math.tan(math.radians(32.5))
    a, b, c = (math.radians(angle) for angle in (tilt, towards, turn))
    about = np.array([[math.cos(b), -math.sin(b), 0], [math.sin(b), math.cos(b), 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, math.cos(a), -math.sin(a)], [0, math.sin(a), math.cos(a)]])
    spin = np.array([[math.cos(c), -math.sin(c), 0], [math.sin(c), math.cos(c), 0], [0, 0, 1]])
    rotation = spin @ about @ lean @ about.T
    corners = np.array([(0, 0), (jig.width, 0), (jig.width, jig.height), (0, jig.height)])
    centred = np.column_stack([corners - (jig.width / 2, jig.height / 2), np.zeros(4)])
    distance = 300.0
    for _ in range(200):  # as near as lets all corners into the frame
        seen = centred @ rotation.T + (0, 0, distance)
        flat = seen[:, :2] / seen[:, 2:] * focal
        if (np.abs(flat) <= fill * np.array(size) / 2).all():
            break
        distance *= 1.02
    move = np.column_stack([rotation[:, :2], (0, 0, distance)])
    to_px = np.array(
        [[focal, 0, size[0] / 2 + shift[0]], [0, focal, size[1] / 2 + shift[1]], [0, 0, 1]]
    )
    to_middle = np.array([[1, 0, -jig.width / 2], [0, 1, -jig.height / 2], [0, 0, 1.0]])
    plane = to_px @ move @ to_middle
    return View(plane / plane[2, 2], size, bend, rise, distance)


@cache
def draw_sheet(jig: Jig = A4, number: int = 1, level: str = "Q", thing: bool = True) -> Floats:
    """Reflectance (h, w) of the sheet at ``PX_PER_MM``, edges averaged over the pixel."""
    fine = 4
    scale = PX_PER_MM * fine
    sheet = np.full((round(jig.height * scale), round(jig.width * scale)), PAPER)
    y, x = (np.arange(n) + 0.5 for n in sheet.shape)
    for text, (left, top, right, bottom) in zip(write_marks(jig, number), jig.marks, strict=True):
        modules = np.array(
            [list(row) for row in segno.make_qr(text, error=level, boost_error=False).matrix]
        )
        n = len(modules)
        rows = np.floor((y / scale - top) / (bottom - top) * n).astype(int)
        columns = np.floor((x / scale - left) / (right - left) * n).astype(int)
        r, c = (np.flatnonzero((m >= 0) & (m < n)) for m in (rows, columns))
        sheet[np.ix_(r, c)] = np.where(modules[np.ix_(rows[r], columns[c])] > 0, INK, PAPER)
    for dot in jig.dots:
        px = np.array(dot) * scale
        r0, c0 = (max(0, int(px[i] - 3 * scale)) for i in (1, 0))
        part = sheet[r0 : r0 + int(6 * scale), c0 : c0 + int(6 * scale)]
        yy, xx = np.mgrid[0 : part.shape[0], 0 : part.shape[1]] + 0.5
        inside = (xx + c0 - px[0]) ** 2 + (yy + r0 - px[1]) ** 2 < (DOT_MM / 2 * scale) ** 2
        part[inside] = INK
    if thing:  # a piece lies there and a card: neither paper nor mark
        mx, my = jig.middle
        piece = np.s_[
            round((my - 38) * scale) : round((my + 38) * scale),
            round((mx - 25) * scale) : round((mx + 25) * scale),
        ]
        sheet[piece] = 0.25
        left, top, right, bottom = (round(edge * scale) for edge in jig.slot)
        sheet[top + 200 : bottom - 200, left + 200 : right - 200] = 0.4
    h, w = sheet.shape
    return (
        sheet[: h // fine * fine, : w // fine * fine]
        .reshape(h // fine, fine, w // fine, fine)
        .mean(axis=(1, 3))
    )


def photograph(
    view: View,
    jig: Jig = A4,
    number: int = 1,
    blur: float = 0.7,
    noise: float = 0.004,
    stops: float = 0.0,
    quality: int | None = 90,
    seed: int = 1,
    sheet: Floats | None = None,
    uneven: float = 0.15,
) -> NDArray[np.uint8]:
    """(h, w, 3): the sheet in light that falls off to one side, on a grey table, blurred by a
    Gaussian of ``blur`` pixels, exposed ``stops`` off, noisy, sRGB-encoded, JPEG."""
    drawn = draw_sheet(jig, number) if sheet is None else sheet
    w, h = view.size
    y, x = np.mgrid[0:h, 0:w].astype(np.float32) + np.float32(0.5)
    mm = _back(view, np.stack([x, y], axis=-1), jig)
    light = _blend(drawn, mm * PX_PER_MM - 0.5)
    light = np.where(((mm >= 0) & (mm < (jig.width, jig.height))).all(axis=-1), light, TABLE)
    light *= 1 - uneven * (mm[..., 0] / jig.width - 0.5)
    light = _smooth(light, blur) * 2.0**stops
    chance = np.random.default_rng(seed)
    rgb = light[..., None].astype(np.float32) * np.array((1.0, 0.98, 0.94), dtype=np.float32)
    grain = chance.standard_normal(rgb.shape, dtype=np.float32) * np.float32(noise)
    rgb += grain * np.sqrt(rgb + np.float32(0.02))
    levels = np.clip(rgb * len(SRGB), 0, len(SRGB) - 1).astype(np.uint16)
    picture = SRGB[levels]
    if quality is None:
        return picture
    stream = io.BytesIO()
    Image.fromarray(picture).save(stream, "JPEG", quality=quality)
    return np.asarray(Image.open(stream))


def _back(view: View, px: Floats, jig: Jig) -> Floats:
    """Pixels → mm by Newton's turns on :meth:`View.show`, simple enough to be believed."""
    flat = View(view.plane, view.size)
    middle, reach2 = np.array(view.size) / 2, (math.hypot(*view.size) / 2) ** 2
    seen = px - middle
    off = seen
    for _ in range(12 if view.bend else 0):
        off = seen / (1 + view.bend * (off**2).sum(axis=-1, keepdims=True) / reach2)
    rows = np.linalg.inv(flat.plane)
    x, y = np.moveaxis((off + middle).astype(np.float32), -1, 0)
    across, down, scale = (x * float(a) + y * float(b) + float(c) for a, b, c in rows)
    mm = np.stack([across / scale, down / scale], axis=-1)
    if view.rise:
        centre, raised = np.array([jig.width / 2, jig.height / 2]), mm
        for _ in range(12):
            up = view.rise * np.sin(np.pi * np.clip(mm[..., :1] / jig.width, 0, 1))
            mm = centre + (raised - centre) * (view.height - up) / view.height
    return mm


def _blend(drawn: Floats, at: Floats) -> Floats:
    h, w = drawn.shape
    x, y = np.clip(at[..., 0], 0, w - 1.001), np.clip(at[..., 1], 0, h - 1.001)
    i, j = y.astype(int), x.astype(int)
    fy, fx = y - i, x - j
    upper = drawn[i, j] * (1 - fx) + drawn[i, j + 1] * fx
    lower = drawn[i + 1, j] * (1 - fx) + drawn[i + 1, j + 1] * fx
    return upper * (1 - fy) + lower * fy


def _smooth(light: Floats, blur: float) -> Floats:
    if blur <= 0:
        return light
    reach = math.ceil(4 * blur)
    kernel = np.exp(-0.5 * (np.arange(-reach, reach + 1) / blur) ** 2)
    kernel /= kernel.sum()
    for axis in (0, 1):
        wide = np.pad(light, [(reach, reach) if a == axis else (0, 0) for a in (0, 1)], "edge")
        n = light.shape[axis]
        light = sum(
            part * np.take(wide, range(k, k + n), axis=axis) for k, part in enumerate(kernel)
        )
    return light
