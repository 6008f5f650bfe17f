"""The small sRGB profile that published pictures carry: the same bytes everywhere and for ever.

Profile makers write the time of making into their profiles; this one is built from the standard's
figures with that field left at nothing.
"""

from __future__ import annotations

import struct
from functools import cache

import numpy as np

from builder.look.spaces import named_spaces
from builder.look.whites import D50_PCS, D65, Floats, adapt

_VERSION = 0x04300000  # 4.3, the first with every function type in use by readers
_NOBODY = b"\0" * 4
_DESCRIPTION, _RIGHTS = "sRGB", "CC0"
#: g, a, b, c, d of ICC function type 3. Source: IEC 61966-2-1:1999.
_CURVE = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


@cache
def srgb_profile() -> bytes:
    """An ICC display profile of sRGB, some 500 bytes. Source: ICC.1:2010, clauses 7 to 10."""
    to_d50 = adapt(D65, D50_PCS)
    colorants = to_d50 @ named_spaces()["srgb"].to_xyz
    curve = _pad(b"para" + struct.pack(">IHH", 0, 3, 0) + _fixed(*_CURVE))
    tags: list[tuple[bytes, bytes]] = [
        (b"desc", _text(_DESCRIPTION)),
        (b"cprt", _text(_RIGHTS)),
        (b"wtpt", _xyz(D50_PCS)),
        (b"chad", b"sf32\0\0\0\0" + _fixed(*to_d50.ravel())),
        (b"rXYZ", _xyz(colorants[:, 0])),
        (b"gXYZ", _xyz(colorants[:, 1])),
        (b"bXYZ", _xyz(colorants[:, 2])),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    ]
    return _assemble(tags)


def _assemble(tags: list[tuple[bytes, bytes]]) -> bytes:
    start = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    places: dict[bytes, int] = {}
    for name, element in tags:
        if element not in places:  # tags may share one element, as the three curves do
            places[element] = start + len(body)
            body += element
        table += struct.pack(">4sII", name, places[element], len(element))
    return _header(start + len(body)) + table + body


def _header(size: int) -> bytes:
    written = struct.pack(
        ">I4sI4s4s4s12s4s4sI4s4s8sI",
        size,
        _NOBODY,
        _VERSION,
        b"mntr",
        b"RGB ",
        b"XYZ ",
        b"\0" * 12,  # no time of making
        b"acsp",
        _NOBODY,
        0,
        _NOBODY,
        _NOBODY,
        b"\0" * 8,
        1,  # media-relative colorimetric
    )
    return (written + _fixed(*D50_PCS)).ljust(128, b"\0")


def _xyz(values: Floats) -> bytes:
    return b"XYZ \0\0\0\0" + _fixed(*values)


def _text(words: str) -> bytes:
    encoded = words.encode("utf-16-be")
    return _pad(b"mluc" + struct.pack(">III4sII", 0, 1, 12, b"enGB", len(encoded), 28) + encoded)


def _fixed(*values: float) -> bytes:
    return np.round(np.array(values) * 65536).astype(">i4").tobytes()


def _pad(element: bytes) -> bytes:
    return element + b"\0" * (-len(element) % 4)
