"""From a file's bytes to a decoded picture and the blocks that came with it.

Each kind goes to its own decoder, chosen by :mod:`builder.look.formats`: nothing is registered and
no setting of the imaging library is changed. The size is looked at before pixels are decoded.
"""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from typing import Any

from pi_heif.heif import open_heif
from PIL import Image, JpegImagePlugin, PngImagePlugin, TiffImagePlugin, WebPImagePlugin

from builder.look.formats import declared_webp_size
from builder.look.heic_boxes import check_names

_EXIF_MARK = b"Exif\x00\x00"
_SIXTEEN_BITS = 16
#: ITU-T T.81, B.1.1.3; two such bytes stand in no coded data. Encoders write some ten for each of
#: the picture, its thumbnail and its gain map.
_SCAN, _MOST_SCANS = b"\xff\xda", 200


class TooManyPixelsError(Exception):
    """The picture declares more pixels than are allowed; ``size`` is its width and height."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.size = size
        super().__init__(f"{size[0]} × {size[1]}")


class TooManyScansError(Exception):
    """Each scan of a progressive JPEG goes over the whole picture, and may be a few bytes long."""


@dataclass(frozen=True)
class Decoded:
    """A picture as its decoder hands it over.

    ``exif_block`` begins with the TIFF header of EXIF, b"" where there is none; ``coded_space`` is
    (primaries, transfer) of ITU-T H.273 where the container says so; ``frames`` above 1 tell that
    only the first of several pictures is here; ``bits`` are those of one channel in the file.
    """

    image: Image.Image
    exif_block: bytes
    icc: bytes
    xmp: bytes
    coded_space: tuple[int, int] | None
    frames: int
    bits: int


def decode(kind: str, data: bytes, most_pixels: int) -> Decoded:
    """Decode the whole picture. Raises :class:`TooManyPixelsError`, and whatever its decoder does:
    a stranger's file can make one raise anything."""
    with warnings.catch_warnings():
        # The decoders warn of what is either harmless or said by us in other words.
        warnings.simplefilter("ignore")
        if kind == "HEIC":
            return _decode_heic(data, most_pixels)
        return _decode_plainly(kind, data, most_pixels)


def _decode_plainly(kind: str, data: bytes, most_pixels: int) -> Decoded:
    if kind == "WebP":
        _allow(declared_webp_size(data), most_pixels)
    if kind == "JPEG" and data.count(_SCAN) > _MOST_SCANS:
        raise TooManyScansError
    image = _open(kind, io.BytesIO(data))
    _allow(image.size, most_pixels)
    info = dict(image.info)
    bits = _bits_of(image)
    frames = 2 if getattr(image, "is_animated", False) else 1
    image.load()
    return Decoded(
        image=image,
        exif_block=data if kind == "TIFF" else _strip_mark(_as_bytes(info.get("exif"))),
        icc=_as_bytes(info.get("icc_profile")),
        xmp=_as_bytes(info.get("xmp")),
        coded_space=None,
        frames=frames,
        bits=bits,
    )


def _open(kind: str, stream: io.BytesIO) -> Image.Image:
    match kind:
        case "JPEG":
            # Not as a container of several pictures: the further ones of a camera's JPEG are
            # depth and gain maps of the same look.
            return JpegImagePlugin.JpegImageFile(stream)
        case "PNG":
            return PngImagePlugin.PngImageFile(stream)
        case "TIFF":
            return TiffImagePlugin.TiffImageFile(stream)
        case "WebP":
            return WebPImagePlugin.WebPImageFile(stream)
        case _:
            raise ValueError(f"no decoder for {kind}")


def _decode_heic(data: bytes, most_pixels: int) -> Decoded:
    check_names(data)
    container = open_heif(io.BytesIO(data), convert_hdr_to_8bit=True)
    _allow(container.size, most_pixels)
    info: dict[str, Any] = container.info
    space = info.get("nclx_profile")
    return Decoded(
        image=container.to_pillow(),
        exif_block=_strip_mark(_as_bytes(info.get("exif"))),
        icc=_as_bytes(info.get("icc_profile")),
        xmp=_as_bytes(info.get("xmp")),
        coded_space=_space_codes(space),
        frames=len(container),
        bits=int(info.get("bit_depth", 8)),
    )


def _space_codes(nclx: object) -> tuple[int, int] | None:
    if not isinstance(nclx, dict):
        return None
    return int(nclx["color_primaries"]), int(nclx["transfer_characteristics"])


def _allow(size: tuple[int, int], most_pixels: int) -> None:
    if size[0] * size[1] > most_pixels:
        raise TooManyPixelsError(size)


def _as_bytes(value: object) -> bytes:
    if isinstance(value, str):
        return value.encode("utf-8", errors="replace")
    return value if isinstance(value, bytes) else b""


def _strip_mark(block: bytes) -> bytes:
    return block[len(_EXIF_MARK) :] if block.startswith(_EXIF_MARK) else block


def _bits_of(image: Image.Image) -> int:
    if image.mode.startswith("I;16"):
        return _SIXTEEN_BITS
    if isinstance(image, TiffImagePlugin.TiffImageFile):
        declared = image.tag_v2.get(TiffImagePlugin.BITSPERSAMPLE, 8)
        return int(max(declared)) if isinstance(declared, tuple) else int(declared)
    if isinstance(image, PngImagePlugin.PngImageFile) and image.tile:
        # The unpacker's name is where the decoder keeps the depth of a 16-bit PNG.
        return _SIXTEEN_BITS if "16" in str(image.tile[0].args) else 8
    return 8
