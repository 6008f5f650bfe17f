"""Writes the photographs: names, folders, JPEG and HEIC, and the faults that lie in files."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pillow_heif
from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile

from tests.studio import exif, faults
from tests.studio.camera import Pixels, conditions_of, expose
from tests.studio.diary import Shot
from tests.studio.paint import Blank, Painted, paint
from tests.studio.profiles import write_profile
from tests.studio.scene import compose

#: Quality of lightness and of colour. A phone spares less on colour; with one coarse quality for
#: both, a dark piece in warm light falls into blocks of two colours that nobody painted.
JPEG_QUALITY = (66, 90)
HEIC_QUALITY = 52


@dataclass(frozen=True)
class Drawn:
    """A finished picture: its upright pixels and what was painted."""

    pixels: Pixels
    painted: Painted


def draw(shot: Shot, blank: Blank) -> Drawn:
    """Draw a shot."""
    painted = paint(shot, blank)
    scene = compose(shot, painted)
    return Drawn(expose(scene, conditions_of(shot), shot.rng(3)), painted)


def folder_of(shot: Shot) -> str:
    piece, days, elsewhere = faults.MISFILED
    return elsewhere if (shot.piece.number, shot.planned) == (piece, days) else shot.piece.number


def file_name(shot: Shot) -> str:
    heic = (shot.piece.number, shot.planned) == faults.WIDE_GAMUT_HEIC
    return shot.name + (".heic" if heic else ".jpg")


def encode(shot: Shot, pixels: Pixels) -> bytes:
    """The file of a shot."""
    key = (shot.piece.number, shot.planned)
    wide = key == faults.WIDE_GAMUT_HEIC
    turned = key == faults.TURNED_BY_TAG
    in_thumbnail = key == faults.POSITION_IN_THUMBNAIL
    block = exif.describe(
        shot,
        orientation=6 if turned else 1,
        wide=wide,
        position=key in faults.POSITION_IN_EXIF,
        thumbnail=exif.thumbnail_with_position(pixels) if in_thumbnail else b"",
    )
    # Orientation 6: the viewer turns the stored picture a quarter clockwise.
    stored = np.ascontiguousarray(np.rot90(pixels, 1)) if turned else pixels
    image = Image.fromarray(stored)
    held = io.BytesIO()
    if wide:
        pillow_heif.register_heif_opener()
        image.save(held, "HEIF", quality=HEIC_QUALITY, exif=block,
                   icc_profile=write_profile("Display P3"))  # fmt: skip
    else:
        image.save(held, "JPEG", qtables=_tables(), subsampling=2, optimize=True,
                   progressive=True, exif=block, icc_profile=write_profile("sRGB"))  # fmt: skip
    return held.getvalue()


@cache
def _tables() -> dict[int, list[int]]:
    """Quantization tables of lightness and colour (ISO/IEC 10918-1, annex K, as libjpeg scales
    them)."""
    found = {}
    for table, quality in enumerate(JPEG_QUALITY):
        held = io.BytesIO()
        Image.new("RGB", (8, 8)).save(held, "JPEG", quality=quality)
        opened = Image.open(held)
        assert isinstance(opened, JpegImageFile)
        found[table] = list(opened.quantization[table])
    return found


def write_shot(shot: Shot, blank: Blank, out: Path) -> list[Path]:
    """Draw a shot and write its file, and its copy where one is planted."""
    data = encode(shot, draw(shot, blank).pixels)
    folder = out / folder_of(shot)
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / file_name(shot)]
    piece, days, copy = faults.DUPLICATE
    if (shot.piece.number, shot.planned) == (piece, days):
        paths.append(folder / copy)
    for path in paths:
        path.write_bytes(data)
    return paths
