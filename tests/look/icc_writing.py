"""Colour profiles written by hand for the tests, tag by tag. Source: ICC.1:2010."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

D50 = (0.9642, 1.0, 0.8249)  # ICC.1:2010, profile connection space white


def fixed(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(value * 65536)) for value in values)


def xyz(values: Sequence[float]) -> bytes:
    return b"XYZ \0\0\0\0" + fixed(*values)


def curv(*points: int) -> bytes:
    """curveType: no points, one exponent (u8Fixed8 as an integer), or 16-bit points."""
    body = b"curv\0\0\0\0" + struct.pack(f">I{len(points)}H", len(points), *points)
    return body + b"\0" * (-len(body) % 4)


def para(kind: int, *values: float) -> bytes:
    return b"para\0\0\0\0" + struct.pack(">HH", kind, 0) + fixed(*values)


def chad(matrix: NDArray[Any]) -> bytes:
    return b"sf32\0\0\0\0" + fixed(*matrix.ravel())


def text(words: str) -> bytes:
    body = b"text\0\0\0\0" + words.encode("ascii") + b"\0"
    return body + b"\0" * (-len(body) % 4)


def assemble(
    tags: dict[bytes, bytes],
    space: bytes = b"RGB ",
    connection: bytes = b"XYZ ",
    kind: bytes = b"mntr",
    version: int = 0x04300000,
) -> bytes:
    body, table = b"", b""
    start = 132 + 12 * len(tags)
    for name, element in tags.items():
        table += struct.pack(">4sII", name, start + len(body), len(element))
        body += element
    size = start + len(body)
    header = struct.pack(">I4sI", size, b"\0" * 4, version) + kind + space + connection
    header += b"\0" * 12 + b"acsp" + b"\0" * 28 + fixed(*D50)
    return header.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def matrix_profile(
    colorants: NDArray[Any],
    curves: Sequence[bytes],
    change: NDArray[Any] | None = None,
    version: int = 0x04300000,
) -> bytes:
    """An RGB profile; ``colorants`` (3, 3) are columns of XYZ as they are to stand in the file."""
    tags = {b"desc": text("test"), b"cprt": text("none"), b"wtpt": xyz(D50)}
    for place, name in enumerate("rgb"):
        tags[f"{name}XYZ".encode()] = xyz(colorants[:, place])
        tags[f"{name}TRC".encode()] = curves[place]
    if change is not None:
        tags[b"chad"] = chad(change)
    return assemble(tags, version=version)


def grey_profile(curve: bytes, connection: bytes = b"XYZ ") -> bytes:
    return assemble(
        {b"desc": text("test"), b"cprt": text("none"), b"wtpt": xyz(D50), b"kTRC": curve},
        space=b"GRAY",
        connection=connection,
    )


def table_profile(space: bytes, corners: NDArray[Any]) -> bytes:
    """A profile of one look-up table (lut16Type) with two points a channel and L*a*b* at the
    corners, (2 ** channels, 3), the first channel varying slowest."""
    channels = {b"RGB ": 3, b"CMYK": 4}[space]
    assert len(corners) == 2**channels
    # Version 2 coding of L*a*b* in 16 bits, as lut16Type keeps it: L* 100 is FF00h, a* 0 is 8000h.
    coded = np.round(
        np.column_stack([corners[:, 0] * 652.8, (corners[:, 1:] + 128.0) * 256.0])
    ).astype(">u2")
    straight = np.array([0, 65535], dtype=">u2").tobytes()
    lut = struct.pack(">4sIBBBB", b"mft2", 0, channels, 3, 2, 0)
    lut += fixed(1, 0, 0, 0, 1, 0, 0, 0, 1) + struct.pack(">HH", 2, 2)
    lut += straight * channels + coded.tobytes() + straight * 3
    return assemble(
        {b"desc": text("test"), b"cprt": text("none"), b"wtpt": xyz(D50), b"A2B0": lut},
        space=space,
        connection=b"Lab ",
        kind=b"prtr",
    )
