"""From a decoded picture of any make to 8-bit RGB and what its values mean.

A matrix profile is kept as figures, so that nothing outside sRGB is lost to measuring. Only what is
no RGB, or has nothing but look-up tables, is converted to sRGB by the colour engine (ImageCms).
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from builder.look.icc import (
    BrokenProfileError,
    Profile,
    open_profile,
    read_grey_table,
    read_matrix,
    read_tables,
)
from builder.look.spaces import encoding_of, named_spaces
from builder.records.photo import Encoding

#: What lies behind transparent parts: neutral, L* 50 in sRGB. Source: IEC 61966-2-1, CIE 15.
MID_GREY = 119
BROKEN = "colour profile broken: sRGB assumed"
NO_PROFILE = "no profile: sRGB assumed"

# Source: ITU-T H.273, tables 2 and 3. Unspecified (2) is taken as the web does, for sRGB.
_SRGB_PRIMARIES, _P3_PRIMARIES = (1, 2), (12,)
_SRGB_TRANSFERS = (1, 2, 6, 13)
_EIGHT_BIT_GREY = 257  # 16-bit levels in one 8-bit level
_CUT_OFF = "converted to sRGB, colours outside it are cut off"
#: By a profile's colour space: the picture modes it fits, words for the page, and notes.
_BY_ENGINE: dict[str, tuple[tuple[str, ...], str, tuple[str, ...]]] = {
    "GRAY": (("L",), "a grey profile, converted to sRGB", ()),
    "CMYK": (("CMYK",), "an ink profile, converted to sRGB", (f"ink values: {_CUT_OFF}",)),
    "RGB ": (
        ("RGB", "L"),
        "a profile of tables, converted to sRGB",
        (f"colour profile of tables: {_CUT_OFF}",),
    ),
    "Lab ": (("LAB",), "L*a*b*, converted to sRGB", (f"L*a*b* values: {_CUT_OFF}",)),
}


class UnreadablePixelsError(Exception):
    """The picture's values are of a kind that stands for no colour; the message says which."""


@dataclass(frozen=True)
class Settled:
    """``picture`` in RGB, what it stands for, the same in words, and plain sentences."""

    picture: Image.Image
    encoding: Encoding
    words: str
    notes: tuple[str, ...] = ()


def settle_colour(
    image: Image.Image,
    icc: bytes,
    coded_space: tuple[int, int] | None,
    adobe_rgb: bool,
) -> Settled:
    """8-bit RGB of ``image`` and its encoding.

    An ICC profile is followed first, then the container's code (ITU-T H.273), then EXIF's word for
    Adobe RGB; without any, sRGB is assumed and said. Raises :class:`UnreadablePixelsError`.
    """
    flat, notes = _flatten(image)
    if icc:
        settled = _settle_by_profile(flat, icc)
    else:
        settled = _settle_by_word(flat, coded_space, adobe_rgb)
    return Settled(settled.picture, settled.encoding, settled.words, notes + settled.notes)


def _flatten(image: Image.Image) -> tuple[Image.Image, tuple[str, ...]]:
    """The picture as L, RGB, CMYK or LAB, without transparency."""
    mode = image.mode
    if mode in ("F", "I"):
        raise UnreadablePixelsError("its values are measurements, not 8- or 16-bit colours")
    if mode.startswith("I;16"):
        levels = np.asarray(image, dtype=np.float64) / _EIGHT_BIT_GREY
        return Image.fromarray(np.round(levels).astype(np.uint8)), ()
    if mode in ("RGBA", "RGBa", "LA", "La", "PA") or "transparency" in image.info:
        laid, notes = _lay_on_grey(image.convert("RGBA"))
        return laid.convert("L") if mode in ("L", "LA", "La") else laid, notes
    if mode in ("L", "RGB", "CMYK", "LAB"):
        return image, ()
    return image.convert("L" if mode == "1" else "RGB"), ()


def _lay_on_grey(image: Image.Image) -> tuple[Image.Image, tuple[str, ...]]:
    lowest, _ = image.getchannel("A").getextrema()
    if lowest == 255:
        return image.convert("RGB"), ()
    ground = Image.new("RGBA", image.size, (MID_GREY, MID_GREY, MID_GREY, 255))
    return (
        Image.alpha_composite(ground, image).convert("RGB"),
        ("transparent parts were laid on neutral mid grey",),
    )


def _settle_by_word(
    image: Image.Image, coded_space: tuple[int, int] | None, adobe_rgb: bool
) -> Settled:
    if image.mode == "CMYK":
        note = "ink values without a profile: converted without colour management"
        return Settled(_as_rgb(image), Encoding(), "ink values, no profile", (note,))
    if image.mode == "LAB":
        return _settle_lab(image)
    if coded_space is not None:
        return _settle_by_code(image, *coded_space)
    name = "adobe-rgb" if adobe_rgb else "srgb"
    words = "Adobe RGB (1998), by EXIF" if adobe_rgb else NO_PROFILE
    return Settled(_as_rgb(image), Encoding(name), words)


def _settle_by_code(image: Image.Image, primaries: int, transfer: int) -> Settled:
    known = transfer in _SRGB_TRANSFERS
    if known and primaries in _SRGB_PRIMARIES:
        return Settled(_as_rgb(image), Encoding("srgb"), "sRGB, by code")
    if known and primaries in _P3_PRIMARIES:
        return Settled(_as_rgb(image), Encoding("display-p3"), "Display P3, by code")
    note = f"colour code {primaries}/{transfer} is not known here: sRGB assumed"
    return Settled(_as_rgb(image), Encoding("srgb"), "colour code not known", (note,))


def _settle_by_profile(image: Image.Image, icc: bytes) -> Settled:
    try:
        profile = open_profile(icc)
        if profile.has_matrix and image.mode in ("RGB", "L"):
            return _settle_by_figures(image, read_tables(profile), read_matrix(profile))
        if profile.has_grey_curve and image.mode == "L":
            tables = np.tile(read_grey_table(profile), (3, 1))
            return _settle_by_figures(image, tables, named_spaces()["srgb"].to_xyz)
        return _convert_by_engine(image, icc, profile)
    except (BrokenProfileError, ImageCms.PyCMSError, OSError, ValueError):
        return Settled(_as_rgb(image), Encoding("srgb"), BROKEN, (BROKEN,))


def _settle_by_figures(
    image: Image.Image, tables: NDArray[np.float64], to_xyz: NDArray[np.float64]
) -> Settled:
    encoding = encoding_of(tables, to_xyz)
    named = named_spaces().get(encoding.name)
    return Settled(_as_rgb(image), encoding, named.words if named else "a profile of its own")


def _convert_by_engine(image: Image.Image, icc: bytes, profile: Profile) -> Settled:
    modes, words, notes = _BY_ENGINE.get(profile.space, ((), "", ()))
    if image.mode not in modes:
        raise BrokenProfileError("it is for another kind of picture")
    converted = ImageCms.profileToProfile(
        image.convert("RGB") if profile.space == "RGB " else image,
        ImageCms.ImageCmsProfile(io.BytesIO(icc)),
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
    )
    if converted is None:  # only where it works in place, which is not asked for
        raise BrokenProfileError("it could not be applied")
    return Settled(_as_rgb(converted), Encoding("srgb"), words, notes)


def _settle_lab(image: Image.Image) -> Settled:
    converted = ImageCms.profileToProfile(
        image, ImageCms.createProfile("LAB"), ImageCms.createProfile("sRGB"), outputMode="RGB"
    )
    if converted is None:  # only where it works in place, which is not asked for
        raise UnreadablePixelsError("its L*a*b* values could not be converted")
    _, words, notes = _BY_ENGINE["Lab "]
    return Settled(_as_rgb(converted), Encoding("srgb"), words, notes)


def _as_rgb(image: Image.Image) -> Image.Image:
    return image if image.mode == "RGB" else image.convert("RGB")
