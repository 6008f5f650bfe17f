"""What a picture's values mean: profiles, codes, grey, ink, tables, transparency, deep values."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms

from builder.errors import PictureError
from builder.look.opening import Opened, open_original
from builder.look.profiles import BROKEN, MID_GREY, NO_PROFILE
from builder.look.spaces import rgb_to_srgb8
from builder.measure.decode import to_linear_xyz
from builder.measure.spaces import D65, xyz_to_lab
from builder.records.settings import Limits
from tests.look.icc_writing import curv, grey_profile, matrix_profile, para, table_profile
from tests.look.pictures import encode, exif_with, four_corners, patch_grid
from tests.look.test_icc import SRGB_CURVE, d50_colorants
from tests.reference import colour, full_precision

# littleCMS works 8-bit pictures in fixed point; two steps in a row, one level each.
TWO_LEVELS = 2
# Rounding to whole levels, and a twentieth for the steps of the look-up.
HALF_A_LEVEL = 0.55
# ΔE*ab: a matrix read from a profile's 16-bit fractions against the exact one.
BY_FIXED_POINT = 0.02


def opened_from(folder: Path, data: bytes, name: str = "a.png") -> Opened:
    (folder / name).write_bytes(data)
    return open_original(folder, name, Limits())


def grid(mode: str = "RGB") -> Image.Image:
    return Image.fromarray(patch_grid()).convert(mode)


def by_engine(image: Image.Image, icc: bytes) -> NDArray[Any]:
    converted = ImageCms.profileToProfile(
        image,
        ImageCms.ImageCmsProfile(io.BytesIO(icc)),
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
    )
    return np.asarray(converted).astype(int)


def test_without_a_profile_srgb_is_assumed_and_said_without_alarm(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(grid(), "PNG"))
    assert (opened.encoding.name, opened.profile, opened.notes) == ("srgb", NO_PROFILE, ())


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP", "HEIC"])
@pytest.mark.parametrize(
    ("name", "curve", "known_as"),
    [
        ("Display P3", SRGB_CURVE, "display-p3"),
        ("Adobe RGB (1998)", curv(563), "adobe-rgb"),
        ("sRGB", SRGB_CURVE, "srgb"),
    ],
)
def test_an_embedded_profile_is_known_in_every_kind(
    tmp_path: Path, kind: str, name: str, curve: bytes, known_as: str
) -> None:
    icc = matrix_profile(d50_colorants(name), [curve] * 3)
    opened = opened_from(tmp_path, encode(grid(), kind, icc_profile=icc), f"a.{kind.lower()}")
    assert opened.encoding.name == known_as
    assert opened.profile == name
    assert opened.notes == ()


def test_a_profile_of_its_own_measures_as_colour_science_computes_it(tmp_path: Path) -> None:
    wide = full_precision("ProPhoto RGB")
    icc = matrix_profile(wide.matrix_RGB_to_XYZ, [curv(round(1.8 * 256))] * 3)
    opened = opened_from(tmp_path, encode(grid(), "PNG", icc_profile=icc))
    assert opened.encoding.name == "profile"
    ours = xyz_to_lab(to_linear_xyz(opened.rgb, opened.encoding))
    exponent = round(1.8 * 256) / 256
    light = (opened.rgb / 255) ** exponent @ wide.matrix_RGB_to_XYZ.T
    d65 = colour.xy_to_XYZ(np.array([0.3127, 0.3290]))
    to_d65 = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        wide.matrix_RGB_to_XYZ.sum(axis=1), d65, "Bradford"
    )
    theirs = colour.XYZ_to_Lab(light @ to_d65.T, np.array([0.3127, 0.3290]))
    assert np.linalg.norm(ours - theirs, axis=-1).max() < BY_FIXED_POINT
    assert np.allclose(D65.xyz, d65)


def test_a_profile_of_its_own_is_published_as_littlecms_does_it(tmp_path: Path) -> None:
    curve = para(4, 2.3, 0.95, 0.04, 0.1, 0.03, 0.004, 0.001)
    icc = matrix_profile(d50_colorants("Adobe RGB (1998)"), [curve] * 3)
    opened = opened_from(tmp_path, encode(grid(), "PNG", icc_profile=icc))
    ours = rgb_to_srgb8(opened.rgb, opened.encoding).astype(int)
    assert np.abs(ours - by_engine(grid(), icc)).max() <= TWO_LEVELS


def test_exif_alone_can_say_adobe_rgb(tmp_path: Path) -> None:
    exif = exif_with(camera={0xA001: 0xFFFF, 0xA005: {1: "R03"}})
    opened = opened_from(tmp_path, encode(grid(), "JPEG", exif=exif), "a.jpg")
    assert (opened.encoding.name, opened.profile) == ("adobe-rgb", "Adobe RGB (1998), by EXIF")
    srgb = matrix_profile(d50_colorants("sRGB"), [SRGB_CURVE] * 3)
    both = encode(grid(), "JPEG", exif=exif, icc_profile=srgb)
    assert opened_from(tmp_path, both, "a.jpg").encoding.name == "srgb"  # a profile goes first


@pytest.mark.parametrize(
    ("primaries", "transfer", "known_as", "notes"),
    [(1, 13, "srgb", 0), (2, 2, "srgb", 0), (12, 13, "display-p3", 0), (9, 16, "srgb", 1)],
)
def test_a_heic_code_is_followed(
    tmp_path: Path, primaries: int, transfer: int, known_as: str, notes: int
) -> None:
    # ITU-T H.273: primaries 1 BT.709, 12 P3 with D65, 9 BT.2020; transfers 13 sRGB, 16 PQ.
    data = encode(
        four_corners(), "HEIC", color_primaries=primaries, transfer_characteristics=transfer,
        matrix_coefficients=6, full_range_flag=1,
    )  # fmt: skip
    opened = opened_from(tmp_path, data, "a.heic")
    assert opened.encoding.name == known_as
    assert len(opened.notes) == notes


@pytest.mark.parametrize(
    "icc", [b"nonsense", matrix_profile(np.ones((3, 3)), [SRGB_CURVE] * 3), b"\0" * 500]
)
def test_a_broken_profile_is_said_and_srgb_assumed(tmp_path: Path, icc: bytes) -> None:
    opened = opened_from(tmp_path, encode(grid(), "PNG", icc_profile=icc))
    assert opened.encoding.name == "srgb"
    assert opened.profile == BROKEN
    assert opened.notes == (BROKEN,)
    assert np.array_equal(opened.rgb, patch_grid())


def test_a_profile_of_another_kind_of_picture_is_broken(tmp_path: Path) -> None:
    icc = grey_profile(curv(563))
    assert opened_from(tmp_path, encode(grid(), "PNG", icc_profile=icc)).notes == (BROKEN,)


def test_a_grey_picture_becomes_rgb(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(grid("L"), "PNG"))
    assert np.array_equal(opened.rgb, np.asarray(grid("L").convert("RGB")))
    assert (opened.encoding.name, opened.notes) == ("srgb", ())


@pytest.mark.parametrize("exponent", [1.0, 1.8, 2.2])
def test_a_grey_profile_is_followed(tmp_path: Path, exponent: float) -> None:
    ramp = Image.fromarray(np.arange(256, dtype=np.uint8)[None])
    icc = grey_profile(curv(round(exponent * 256)))
    opened = opened_from(tmp_path, encode(ramp, "PNG", icc_profile=icc))
    assert opened.notes == ()
    light = (np.arange(256) / 255) ** (round(exponent * 256) / 256)
    srgb = colour.RGB_COLOURSPACES["sRGB"].cctf_encoding(light) * 255
    published = rgb_to_srgb8(opened.rgb, opened.encoding)
    assert np.abs(published[0] - srgb[:, None]).max() < HALF_A_LEVEL


def test_a_grey_profile_by_lightness_is_converted(tmp_path: Path) -> None:
    ramp = Image.fromarray(np.arange(256, dtype=np.uint8)[None])
    icc = grey_profile(curv(), connection=b"Lab ")  # the value is L* itself
    opened = opened_from(tmp_path, encode(ramp, "PNG", icc_profile=icc))
    assert opened.encoding.name == "srgb"
    lab = np.column_stack([np.linspace(0, 100, 256), np.zeros(256), np.zeros(256)])
    light = colour.Lab_to_XYZ(lab, np.array([0.3127, 0.3290]))[:, 1]
    srgb = colour.RGB_COLOURSPACES["sRGB"].cctf_encoding(light) * 255
    assert np.abs(opened.rgb[0] - srgb[:, None]).max() <= TWO_LEVELS


def test_a_grey_picture_with_an_rgb_profile_follows_it(tmp_path: Path) -> None:
    icc = matrix_profile(d50_colorants("Display P3"), [SRGB_CURVE] * 3)
    opened = opened_from(tmp_path, encode(grid("L"), "TIFF", icc_profile=icc), "a.tif")
    assert opened.encoding.name == "display-p3"


def corners(channels: int) -> NDArray[np.float64]:
    """L*a*b* at the corners of a coarse table, well inside sRGB."""
    lab = np.random.default_rng(channels).uniform((30, -20, -20), (80, 20, 20), (2**channels, 3))
    # Engines make the lightest a profile has their white: paper, or all three lamps.
    lab[0 if channels == 4 else -1] = (100, 0, 0)
    return lab


@pytest.mark.parametrize("space", [b"CMYK", b"RGB "])
def test_ink_and_table_profiles_give_their_tables_colours(tmp_path: Path, space: bytes) -> None:
    channels = {b"RGB ": 3, b"CMYK": 4}[space]
    lab = corners(channels)
    icc = table_profile(space, lab)
    bits = (np.arange(2**channels)[:, None] >> np.arange(channels)[::-1]) & 1
    values = (bits * 255).astype(np.uint8)[None]
    image = Image.frombytes(space.decode().strip(), (2**channels, 1), values.tobytes())
    opened = opened_from(tmp_path, encode(image, "TIFF", icc_profile=icc), "a.tif")
    assert opened.encoding.name == "srgb"
    assert len(opened.notes) == 1
    # The table's L*a*b* has a D50 white; colour-science leads it to sRGB.
    d50 = np.array([0.3457, 0.3585])
    xyz = colour.Lab_to_XYZ(lab, d50)
    rgb = colour.XYZ_to_RGB(xyz, full_precision("sRGB"), d50, "Bradford", apply_cctf_encoding=True)
    assert np.abs(opened.rgb[0] - rgb * 255).max() < TWO_LEVELS


def test_ink_without_a_profile_is_converted_plainly_and_said(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(grid("CMYK"), "JPEG"), "a.jpg")
    assert opened.encoding.name == "srgb"
    assert len(opened.notes) == 1
    assert "without colour management" in opened.notes[0]


def test_lab_pictures_are_converted_and_said(tmp_path: Path) -> None:
    image = Image.frombytes("LAB", (1, 1), bytes((round(0.5 * 255), 0, 0)))
    opened = opened_from(tmp_path, encode(image, "TIFF"), "a.tif")
    assert np.abs(opened.rgb.astype(int) - MID_GREY).max() <= TWO_LEVELS
    assert len(opened.notes) == 1


@pytest.mark.parametrize("mode", ["RGBA", "LA", "PA"])
def test_transparent_parts_lie_on_neutral_mid_grey(tmp_path: Path, mode: str) -> None:
    image = grid("RGBA" if mode == "PA" else mode)
    image.putalpha(Image.fromarray(np.where(np.arange(64) < 32, 0, 255).astype(np.uint8)[None]
                                   .repeat(64, axis=0)))  # fmt: skip
    kind = "PNG" if mode != "PA" else "WebP"
    opened = opened_from(tmp_path, encode(image, kind), f"a.{kind.lower()}")
    assert (opened.rgb[:, :32] == MID_GREY).all()
    assert len(opened.notes) == 1
    assert not (opened.rgb[:, 32:] == MID_GREY).all()


def test_full_cover_is_no_transparency(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(grid("RGBA"), "PNG"))
    assert opened.notes == ()
    assert np.array_equal(opened.rgb, patch_grid())


def test_a_palette_is_looked_up(tmp_path: Path) -> None:
    palette = four_corners().quantize(8)
    opened = opened_from(tmp_path, encode(palette, "PNG"))
    assert np.array_equal(opened.rgb, np.asarray(palette.convert("RGB")))


def png_of_depth_16(values: NDArray[np.uint16]) -> bytes:
    """Source: ISO/IEC 15948 (PNG), IHDR and IDAT with no filter."""
    h, w = values.shape[:2]
    colour_type = 2 if values.ndim == 3 else 0
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in values)
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", w, h, 16, colour_type, 0, 0, 0)),
        (b"IDAT", zlib.compress(rows)),
        (b"IEND", b""),
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in chunks
    )


@pytest.mark.parametrize("shape", [(5, 7, 3), (5, 7)])
def test_sixteen_bits_are_read_at_eight_and_said(tmp_path: Path, shape: tuple[int, ...]) -> None:
    values = np.random.default_rng(2).integers(0, 65536, shape, dtype=np.uint16)
    opened = opened_from(tmp_path, png_of_depth_16(values))
    eight = values / 257 if values.ndim == 3 else (values / 257)[..., None].repeat(3, axis=2)
    assert np.abs(opened.rgb - eight).max() <= 1.0
    assert opened.notes == ("16 bits a channel: read at 8",)


def test_values_that_are_no_colours_are_refused(tmp_path: Path) -> None:
    image = Image.fromarray(np.ones((4, 4), dtype=np.float32))
    with pytest.raises(PictureError, match="measurements"):
        opened_from(tmp_path, encode(image, "TIFF"), "a.tif")
