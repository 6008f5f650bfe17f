"""Turning a picture the right way up, once.

Who turns what, by the decoders in use: JPEG, PNG and WebP come as they lie in the file, so the EXIF
orientation is applied here. A TIFF is turned by its decoder while it loads. HEIC carries its turn
in the container (``irot``, ``imir`` of ISO/IEC 23008-12), which the decoder applies; its EXIF
orientation is for information only (so read by the authors of libheif, issues 227 and 680).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

#: Kinds whose decoder hands over the picture as stored.
LYING = frozenset({"JPEG", "PNG", "WebP"})


def turn_upright(rgb: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """The picture (h, w, 3) as it is meant to be seen; (w, h, 3) for orientations 5 to 8.

    ``orientation`` is EXIF's 1 to 8; any other value leaves the picture as it is.
    Source: Exif 2.32 (CIPA DC-008), tag 0112.H, Orientation.
    """
    match orientation:
        case 2:
            turned = rgb[:, ::-1]
        case 3:
            turned = rgb[::-1, ::-1]
        case 4:
            turned = rgb[::-1]
        case 5:
            turned = rgb.transpose(1, 0, 2)
        case 6:
            turned = rgb[::-1].transpose(1, 0, 2)
        case 7:
            turned = rgb[::-1, ::-1].transpose(1, 0, 2)
        case 8:
            turned = rgb[:, ::-1].transpose(1, 0, 2)
        case _:
            turned = rgb
    return np.ascontiguousarray(turned)
