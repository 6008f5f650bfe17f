"""Turning a picture the right way up, once.

Who turns what, by the decoders in use: JPEG, PNG and WebP come as they lie in the file, so the EXIF
orientation is applied here. A TIFF is turned by its decoder while it loads. HEIC carries its turn
in the container (``irot``, ``imir`` of ISO/IEC 23008-12), which the decoder applies; its EXIF
orientation is for information only (so read by the authors of libheif, issues 227 and 680).
"""

from __future__ import annotations

from PIL import Image

#: Kinds whose decoder hands over the picture as stored.
LYING = frozenset({"JPEG", "PNG", "WebP"})
#: EXIF's 2 to 8. Source: Exif 2.32 (CIPA DC-008), tag 0112.H, Orientation.
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def turn_upright(picture: Image.Image, orientation: int) -> Image.Image:
    """The picture as it is meant to be seen. ``orientation`` is EXIF's 1 to 8; any other value
    leaves it as it is."""
    turn = _TURNS.get(orientation)
    return picture if turn is None else picture.transpose(turn)
