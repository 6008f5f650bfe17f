"""One photograph: everything on the bench, lit, seen, developed, written as a file."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from builder.records.jig import Jig, PointMm
from tests.benchmarks.cameras import Body, balance, develop, responses, see_raw
from tests.benchmarks.profiles import write_profile
from tests.benchmarks.sheet import PX, SLIP_MM, Field, print_sheet, print_slip, window
from tests.benchmarks.spectra import NM, Floats, Lamp, Spectrum
from tests.benchmarks.things import (
    Kind,
    Piece,
    card_mm,
    card_surfaces,
    corners_of,
    fill_outline,
    paint_piece,
    which_patch,
)
from tests.benchmarks.views import BENCH_MM, SIZE, View

#: Of a good exposure: the light of white paper over what fills the sensor. Cameras leave this room.
GOOD_PAPER = 0.55
_INK = 0.035  # reflectance of black toner; common practice, no source
_BORDER = 0.05  # of a card's border
_FINE = 2
_READ_OUT = 12.0  # times less noise in the dark than in a full sensor; invented


@dataclass(frozen=True, eq=False)
class Stand:
    """A set-up: what stays from photograph to photograph. ``print_off`` (n, 71): the print of the
    card over what its list says; ``adapted``: how far the camera takes the lamp's colour away;
    ``flare``: stray light, part of white."""

    kind: Kind
    jig: Jig
    body: Body
    lamp: Lamp
    paper: Spectrum
    bench: Spectrum
    print_off: Floats
    adapted: float
    flare: float


@dataclass(frozen=True, eq=False)
class Shot:
    """What changes. ``stops`` off the good exposure; ``lean``, ``falloff``: of the light across the
    sheet and to its corners, parts; ``bearing`` of the lean, degrees; ``noise`` of a white that
    fills the sensor, once developed: one over its signal-to-noise ratio; ``blur`` px; ``quality``
    of the JPEG; ``tint`` (3,): the white balance's own whim."""

    view: View
    stops: float
    lean: float
    bearing: float
    falloff: float
    noise: float
    blur: float
    quality: int
    tint: Floats
    piece_at: PointMm
    piece_turn: float
    card_at: PointMm
    card_turn: float
    slip_at: PointMm
    seed: int

    @property
    def uneven(self) -> float:
        return self.lean + self.falloff


def take(stand: Stand, shot: Shot, piece: Piece, name: str) -> NDArray[np.uint8]:
    """The picture (1200, 1600, 3), 8-bit, in the profile of the body."""
    response = responses()[stand.body.sensor]
    # Bench, paper, ink, border, main, second; then the card's patches.
    surfaces = [stand.bench, stand.paper, stand.paper * _INK, np.full_like(NM, _BORDER),
                piece.surface, piece.second]  # fmt: skip
    patches = np.clip(card_surfaces(stand.kind) * stand.print_off, 0, 1)
    raw = see_raw(np.array([*surfaces, *patches]), stand.lamp, response)
    scale = GOOD_PAPER * 2**shot.stops / raw[1, 1]
    gains = balance(stand.lamp, stand.body.sensor, stand.adapted) * shot.tint
    raw = raw * scale * gains
    flare = stand.flare * scale * gains * see_raw(np.ones_like(NM), stand.lamp, response)
    scene = _lay_out(stand, shot, piece, name, raw) * _light(shot, stand.jig)[..., None]
    planes = [shot.view.photograph(np.ascontiguousarray(scene[..., k])) for k in range(3)]
    if shot.blur > 0:
        planes = [ndimage.gaussian_filter(p, shot.blur, truncate=3.0) for p in planes]
    picture = np.stack(planes, axis=-1) + flare.astype(np.float32)
    return develop(_disturb(picture, shot, gains, stand.body), stand.body)


def _lay_out(stand: Stand, shot: Shot, piece: Piece, name: str, raw: Floats) -> Field:
    """The scene from straight above, evenly lit, with its bench."""
    jig = stand.jig
    bench, paper, ink, border, main, second = (row.astype(np.float32) for row in raw[:6])
    height, width = (round((side + 2 * BENCH_MM) * PX) for side in (jig.height, jig.width))
    scene = np.empty((height, width, 3), dtype=np.float32)
    scene[:] = bench
    on_sheet = window((BENCH_MM, BENCH_MM, BENCH_MM + jig.width, BENCH_MM + jig.height))
    if stand.kind is not Kind.NONE:
        sheet = print_sheet(jig)
        scene[on_sheet] = paper + sheet[..., None] * (ink - paper)
        _lay_slip(scene, shot, name, paper, ink)
    if stand.kind not in (Kind.NONE, Kind.SHEET):
        _lay_card(scene, stand.kind, shot, np.vstack([raw[6:], border]))
    outline = piece.shape.outline(shot.piece_at, shot.piece_turn) + BENCH_MM
    rows, columns, left_top = _around(outline)
    cover = fill_outline(outline, left_top, (rows.stop - rows.start, columns.stop - columns.start))
    face = paint_piece(piece, np.stack([main, second]), cover.shape)
    under = scene[rows, columns]
    under += (face - under) * cover[..., None]
    return scene


def _around(outline: Floats) -> tuple[slice, slice, PointMm]:
    """The part of the scene that holds an outline, and its left top corner in mm."""
    (left, top) = np.floor(outline.min(axis=0) * PX).astype(int) - 1
    (right, bottom) = np.ceil(outline.max(axis=0) * PX).astype(int) + 1
    return slice(top, bottom), slice(left, right), (left / PX, top / PX)


def _lay_slip(scene: Field, shot: Shot, name: str, paper: Floats, ink: Floats) -> None:
    left, top = (value + BENCH_MM for value in shot.slip_at)
    slip = print_slip(name)[..., None]
    rows = slice(round(top * PX), round(top * PX) + slip.shape[0])
    columns = slice(round(left * PX), round(left * PX) + slip.shape[1])
    assert SLIP_MM[0] * PX == slip.shape[1]
    scene[rows, columns] = paper + slip * (ink - paper)


def _lay_card(scene: Field, kind: Kind, shot: Shot, colours: Floats) -> None:
    """``colours`` (n + 1, 3): its patches and, last, its border."""
    size = card_mm(kind)
    outline = corners_of(size, shot.card_at, shot.card_turn) + BENCH_MM
    rows, columns, (left, top) = _around(outline)
    y = (np.arange((rows.stop - rows.start) * _FINE) + 0.5) / (PX * _FINE) + top
    x = (np.arange((columns.stop - columns.start) * _FINE) + 0.5) / (PX * _FINE) + left
    across, down = outline[1] - outline[0], outline[3] - outline[0]
    off = np.stack(np.meshgrid(x, y), axis=-1) - outline[0]
    on_card = np.stack([off @ across / size[0], off @ down / size[1]], axis=-1)
    inside = ((on_card >= 0) & (on_card <= size)).all(axis=-1)
    patch = which_patch(kind, on_card).astype(int)
    fine = np.repeat(np.repeat(scene[rows, columns], _FINE, axis=0), _FINE, axis=1)
    fine[inside] = colours.astype(np.float32)[patch[inside]]
    shape = (rows.stop - rows.start, _FINE, columns.stop - columns.start, _FINE, 3)
    scene[rows, columns] = fine.reshape(shape).mean(axis=(1, 3))


def _light(shot: Shot, jig: Jig) -> Field:
    """Light on the scene, (h, w), 1 at the sheet's middle: ``lean`` from end to end of the sheet
    and ``falloff`` from its middle to its corners, both of the middle."""
    half = np.array([jig.width, jig.height]) / 2
    x = (np.arange(round((jig.width + 2 * BENCH_MM) * PX)) + 0.5) / PX - BENCH_MM - half[0]
    y = (np.arange(round((jig.height + 2 * BENCH_MM) * PX)) + 0.5) / PX - BENCH_MM - half[1]
    c, s = np.cos(np.radians(shot.bearing)), np.sin(np.radians(shot.bearing))
    span = 2 * (abs(c) * half[0] + abs(s) * half[1])
    fall = shot.falloff / float(half @ half)
    across = 1 + shot.lean * c / span * x - fall * x**2
    down = shot.lean * s / span * y - fall * y**2
    return np.asarray(across[None, :] + down[:, None], dtype=np.float32)


@cache
def _grain() -> Field:
    """Noise (1200, 1600, 3), standard, a little soft, as a camera's own smoothing leaves it."""
    rng = np.random.default_rng(11)
    raw = rng.standard_normal((SIZE[1], SIZE[0], 3), dtype=np.float32)
    soft = np.stack(
        [ndimage.gaussian_filter(raw[..., k], 0.55, mode="wrap") for k in range(3)], axis=-1
    )
    return np.asarray(soft / soft.std(), dtype=np.float32)


def _disturb(picture: Field, shot: Shot, gains: Floats, body: Body) -> Field:
    """With the noise of light and of reading out. Source of the model: Poisson's law."""
    rng = np.random.default_rng(shot.seed)
    by = (int(rng.integers(SIZE[1])), int(rng.integers(SIZE[0])))
    grain = np.roll(_grain(), by, axis=(0, 1))
    noise = shot.noise * np.sqrt(3) / float(np.linalg.norm(body.matrix))
    amplified = (noise**2 * gains).astype(np.float32)
    read_out = np.float32((noise / _READ_OUT) ** 2)
    return np.asarray(picture + grain * np.sqrt(np.maximum(picture, 0) * amplified + read_out))


def encode(picture: NDArray[np.uint8], body: Body, quality: int) -> bytes:
    """The JPEG, with its profile."""
    held = io.BytesIO()
    Image.fromarray(picture).save(
        held, "JPEG", quality=quality, icc_profile=write_profile(body.profile)
    )
    return held.getvalue()
