"""Colour profiles: the smallest ICC files that say sRGB or Display P3.

Matrix and curve profiles for display, version 4. Source: ICC.1:2010 (ISO 15076-1).
"""

from __future__ import annotations

import struct

import numpy as np

from tests.studio.colours import P3_PRIMARIES, SRGB_PRIMARIES, Doubles, to_xyz_matrix, white_xyz

_D50 = np.array([0.9642, 1.0, 0.8249])  # ICC profile connection space
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
#: IEC 61966-2-1 as a type 3 parametric curve: g, a, b, c, d.
_CURVE = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


def _fixed(value: float) -> bytes:
    return struct.pack(">i", round(value * 65536))


def _adaptation() -> Doubles:
    gains = (_BRADFORD @ _D50) / (_BRADFORD @ white_xyz())
    return np.asarray(np.linalg.inv(_BRADFORD) @ np.diag(gains) @ _BRADFORD)


def _text(words: str) -> bytes:
    data = words.encode("utf-16-be")
    return b"mluc\0\0\0\0" + struct.pack(">LL2s2sLL", 1, 12, b"en", b"GB", len(data), 28) + data


def _xyz(values: Doubles) -> bytes:
    return b"XYZ \0\0\0\0" + b"".join(_fixed(float(value)) for value in values)


def write_profile(name: str) -> bytes:
    """The profile called ``sRGB`` or ``Display P3``."""
    primaries = {"sRGB": SRGB_PRIMARIES, "Display P3": P3_PRIMARIES}[name]
    adaptation = _adaptation()
    columns = adaptation @ to_xyz_matrix(primaries)
    curve = b"para\0\0\0\0" + struct.pack(">HH", 3, 0) + b"".join(_fixed(v) for v in _CURVE)
    chad = b"sf32\0\0\0\0" + b"".join(_fixed(float(v)) for v in adaptation.ravel())
    elements = {
        b"desc": _text(name), b"cprt": _text("public domain"), b"wtpt": _xyz(_D50),
        b"chad": chad, b"rXYZ": _xyz(columns[:, 0]), b"gXYZ": _xyz(columns[:, 1]),
        b"bXYZ": _xyz(columns[:, 2]), b"rTRC": curve, b"gTRC": curve, b"bTRC": curve,
    }  # fmt: skip
    at = 128 + 4 + 12 * len(elements)
    table, data = struct.pack(">L", len(elements)), b""
    for signature, element in elements.items():
        element += b"\0" * (-len(element) % 4)
        table += struct.pack(">4sLL", signature, at + len(data), len(element))
        data += element
    size = 128 + len(table) + len(data)
    head = struct.pack(">L4sL4s4s4s6H", size, b"\0" * 4, 0x04300000, b"mntr", b"RGB ", b"XYZ ",
                       2024, 9, 1, 0, 0, 0)  # fmt: skip
    head += b"acsp" + b"\0" * 28 + b"".join(_fixed(float(v)) for v in _D50)
    return head.ljust(128, b"\0") + table + data
