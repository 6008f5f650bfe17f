"""Small pictures for the tests of ``look``, drawn here so that none need be stored."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image

# EXIF tag numbers. Source: Exif 2.32 (CIPA DC-008).
ORIENTATION, MAKE, MODEL, CHANGED = 0x0112, 0x010F, 0x0110, 0x0132
EXIF_IFD, GPS_IFD, INTEROP_IFD = 0x8769, 0x8825, 0xA005
ORIGINAL, DIGITISED = 0x9003, 0x9004
OFFSET_ORIGINAL, OFFSET_DIGITISED = 0x9011, 0x9012

#: What must be left of each: Pillow's own name of the turn that undoes the orientation.
STORED_BY = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def four_corners(width: int = 96, height: int = 64) -> Image.Image:
    """Red left top, green right top, blue right bottom, grey left bottom: no turn looks like
    another."""
    rgb = np.empty((height, width, 3), dtype=np.uint8)
    rgb[: height // 2, : width // 2] = (200, 40, 40)
    rgb[: height // 2, width // 2 :] = (40, 170, 60)
    rgb[height // 2 :, width // 2 :] = (40, 60, 190)
    rgb[height // 2 :, : width // 2] = (128, 128, 128)
    return Image.fromarray(rgb)


def corner_colours(rgb: NDArray[np.uint8]) -> list[tuple[int, ...]]:
    """Centres of the quarters, clockwise from left top, rounded to 32 so that lossy coding does
    not matter."""
    h, w = rgb.shape[:2]
    places = (
        (h // 4, w // 4),
        (h // 4, 3 * w // 4),
        (3 * h // 4, 3 * w // 4),
        (3 * h // 4, w // 4),
    )
    return [tuple(round(float(v) / 32) for v in rgb[place]) for place in places]


def patch_grid(seed: int = 3, size: int = 8, cell: int = 8) -> NDArray[np.uint8]:
    """(size · cell, size · cell, 3): flat cells of random colours."""
    cells = np.random.default_rng(seed).integers(0, 256, (size, size, 3), dtype=np.uint8)
    return cells.repeat(cell, axis=0).repeat(cell, axis=1)


def exif_with(**tags: Any) -> Image.Exif:
    """EXIF of ``main`` (IFD 0), ``camera`` (EXIF IFD) and ``position`` (GPS IFD)."""
    exif = Image.Exif()
    exif.update(tags.get("main", {}))
    for name, number in (("camera", EXIF_IFD), ("position", GPS_IFD)):
        if name in tags:
            exif[number] = dict(tags[name])
    written = Image.Exif()
    written.load(exif.tobytes())  # the TIFF writer wants directories that were read
    return written


def encode(image: Image.Image, kind: str, **options: Any) -> bytes:
    """The picture's file, as little lossy as the kind allows."""
    stream = io.BytesIO()
    if kind == "HEIC":
        heif = pillow_heif.from_pillow(image)
        if "exif" in options:  # as bytes, its writer turns EXIF's orientation into boxes as well
            options["exif"] = options["exif"].tobytes()
        options = {"quality": -1, "chroma": 444, "matrix_coefficients": 0} | options
        heif.save(stream, **options)
        return stream.getvalue()
    lossless: dict[str, dict[str, Any]] = {
        "JPEG": {"quality": 95, "subsampling": 0},
        "WebP": {"lossless": True},
    }
    image.save(stream, kind, **(lossless.get(kind, {}) | options))
    return stream.getvalue()


def plant_segment(jpeg: bytes, marker: int, body: bytes) -> bytes:
    """A JPEG with one more segment right after its start. Source: ITU-T T.81, B.1.1.4."""
    segment = bytes((0xFF, marker)) + (len(body) + 2).to_bytes(2, "big") + body
    return jpeg[:2] + segment + jpeg[2:]


def jpeg_segments(data: bytes) -> list[tuple[int, bytes]]:
    """(marker, body) of every segment ahead of the scan. Source: ITU-T T.81, annex B."""
    assert data[:2] == b"\xff\xd8"
    segments, at = [], 2
    while True:
        assert data[at] == 0xFF
        marker, size = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        segments.append((marker, data[at + 4 : at + 2 + size]))
        at += 2 + size
        if marker == 0xDA:
            return segments
