"""Pictures for publishing: sRGB, a few widths, nothing in them but the picture.

JPEG, because everything opens it: an old tablet in the yard, a mail program, a printer's desk. No
metadata of the original is carried over, since each picture is encoded anew from bare pixels; the
one thing written beside them is an sRGB profile.
"""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from PIL import Image

from builder.digests import digest_bytes
from builder.errors import Problem, SiteError, Weight
from builder.look.opening import Opened
from builder.look.spaces import rgb_to_srgb8
from builder.look.srgb_tag import srgb_profile
from builder.records.photo import WebImage

#: Common practice, no source: no artefact seen on brushed metal, a third of quality 95's bytes.
QUALITY = 82
#: By as large a whole number as leaves the picture this many times the wanted size, it is first
#: reduced by plain averaging, and from there by a filter as sharp as a cubic one at half its cost.
#: No difference seen on brushed metal, and a third of the time.
_REDUCING_GAP = 1.25
_NAME_DIGITS = 16
_HIGHEST = 65_500  # pixels; what JPEG can hold, ITU-T T.81, less what its encoder keeps back


def write_web_sizes(opened: Opened, widths: Sequence[int], folder: Path) -> tuple[WebImage, ...]:
    """The whole picture at the widths (pixels) in ``folder``, smallest first; never enlarged: in
    place of the widths above its own it is written once at its own.

    Raises :class:`SiteError` where the folder cannot be written.
    """
    wanted = sorted({min(width, opened.width) for width in widths}, reverse=True)
    source = opened.small if opened.small.width >= wanted[0] else opened.picture
    picture = _resize(source, wanted[0])
    if opened.encoding.name != "srgb":
        # Converted after the first reduction only: colours are cut off once, on the fewest pixels.
        picture = Image.fromarray(rgb_to_srgb8(np.asarray(picture), opened.encoding))
    written: list[WebImage] = []
    for width in wanted:
        picture = _resize(picture, width)
        written.append(store_picture(picture, folder))
    return tuple(reversed(written))


def store_picture(image: Image.Image, folder: Path, full_colour: bool = False) -> WebImage:
    """An sRGB picture, encoded and stored under the digest of its own bytes.

    ``full_colour`` keeps colour at the picture's full resolution (for small views judged by
    colour). Raises :class:`SiteError`.
    """
    data = encode_jpeg(image, full_colour)
    name = f"{digest_bytes(data)[:_NAME_DIGITS]}.jpg"
    _store(data, folder, name)
    return WebImage(name, image.width, image.height, len(data))


def encode_jpeg(image: Image.Image, full_colour: bool = False, quality: int = QUALITY) -> bytes:
    """JPEG bytes of an sRGB picture with nothing but the sRGB profile beside the pixels."""
    bare = image.convert("RGB")
    bare.info.clear()
    stream = io.BytesIO()
    bare.save(
        stream,
        "JPEG",
        quality=quality,
        subsampling="4:4:4" if full_colour else "4:2:0",
        icc_profile=srgb_profile(),
    )
    return stream.getvalue()


def _resize(image: Image.Image, width: int) -> Image.Image:
    if image.width == width and image.height <= _HIGHEST:
        return image
    height = min(_HIGHEST, max(1, round(image.height * width / image.width)))
    return image.resize((width, height), Image.Resampling.HAMMING, reducing_gap=_REDUCING_GAP)


def _store(data: bytes, folder: Path, name: str) -> None:
    target = folder / name
    try:
        if target.is_file() and target.stat().st_size == len(data):
            return
        folder.mkdir(parents=True, exist_ok=True)
        # Written beside and moved: whoever looks sees the whole picture or none.
        part = folder / f".{name}.{os.getpid()}.part"
        try:
            part.write_bytes(data)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise SiteError(
            Problem(
                f"{folder.name}/{name}",
                0,
                f"the picture cannot be written ({error.strerror or 'no reason given'})",
                "a folder that can be written, with room on its disk",
                "see to the folder's permissions and to the disk",
                Weight.STOPS,
            )
        ) from error
