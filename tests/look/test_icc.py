"""Matrix profiles, read by our own reader, against colour-science and littleCMS (ImageCms)."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageCms

from builder.look.icc import BrokenProfileError, open_profile, read_matrix, read_tables
from builder.look.spaces import encoding_of, rgb_to_srgb8
from builder.look.whites import BRADFORD, D50_PCS, D65, adapt
from tests.look.icc_writing import curv, grey_profile, matrix_profile, para, table_profile
from tests.reference import colour

# s15Fixed16 keeps colorants to 1/131072; adapting adds little to that.
FIXED_POINT = 5e-5
# littleCMS works 8-bit pictures in fixed point: one level to either side.
ONE_LEVEL = 1

SRGB_CURVE = para(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
ADOBE_CURVE = curv(563)  # 563/256, Adobe RGB (1998)


def d50_colorants(name: str) -> NDArray[np.float64]:
    """Colorants as a profile stores them: colour-science's matrix, adapted by its Bradford."""
    space = colour.RGB_COLOURSPACES[name]
    to_d50 = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        colour.xy_to_XYZ(space.whitepoint), D50_PCS, transform="Bradford"
    )
    return to_d50 @ space.matrix_RGB_to_XYZ


@pytest.mark.parametrize(
    ("name", "curve", "known_as"),
    [
        ("sRGB", SRGB_CURVE, "srgb"),
        ("Display P3", SRGB_CURVE, "display-p3"),
        ("Adobe RGB (1998)", ADOBE_CURVE, "adobe-rgb"),
    ],
)
def test_a_profile_gives_the_published_matrix_and_name(
    name: str, curve: bytes, known_as: str
) -> None:
    profile = open_profile(matrix_profile(d50_colorants(name), [curve] * 3))
    assert profile.has_matrix
    published = colour.RGB_COLOURSPACES[name].matrix_RGB_to_XYZ
    # colour-science rounds some published matrices to five decimals.
    assert np.abs(read_matrix(profile) - published).max() < FIXED_POINT + 1e-4
    encoding = encoding_of(read_tables(profile), read_matrix(profile))
    assert (encoding.name, encoding.decode) == (known_as, None)


def test_a_near_miss_is_no_named_encoding() -> None:
    # A plain power of 2.2 is not sRGB's curve: next to black it is half as light.
    profile = open_profile(matrix_profile(d50_colorants("sRGB"), [curv(round(2.2 * 256))] * 3))
    encoding = encoding_of(read_tables(profile), read_matrix(profile))
    assert encoding.name == "profile"
    assert encoding.decode is not None


def test_bradford_agrees_with_colour_science() -> None:
    d50 = colour.xy_to_XYZ(np.array([0.3457, 0.3585]))
    theirs = colour.adaptation.matrix_chromatic_adaptation_VonKries(d50, D65, "Bradford")
    assert np.allclose(adapt(d50), theirs, atol=1e-12)
    # Printed in profiles of version 4 as chad of D65. Source: ICC.1:2010 sRGB example, from memory.
    assert np.allclose(
        adapt(D65, D50_PCS),
        [[1.0478, 0.0229, -0.0502], [0.0295, 0.9905, -0.0171], [-0.0092, 0.0151, 0.7517]],
        atol=2e-4,
    )


def test_white_becomes_d65_whatever_the_rounding() -> None:
    # Colorants as widely printed, four to five decimals, whose sum misses D50 a little.
    printed = np.array(
        [[0.43607, 0.38515, 0.14307], [0.22249, 0.71687, 0.06061], [0.01392, 0.09708, 0.71410]]
    )
    matrix = read_matrix(open_profile(matrix_profile(printed, [SRGB_CURVE] * 3)))
    assert np.allclose(matrix.sum(axis=1), D65, atol=1e-9)
    assert encoding_of(np.tile(0.0, (3, 256)), matrix).name == "profile"  # by matrix and curve both


def test_another_change_of_white_is_gone_back_by_its_own_way() -> None:
    # A maker who adapted by CAT02 in place of Bradford says so in chad; the device's own primaries
    # must come out the same.
    space = colour.RGB_COLOURSPACES["Display P3"]
    white = colour.xy_to_XYZ(space.whitepoint)
    cat02 = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, D50_PCS, "CAT02")
    data = matrix_profile(cat02 @ space.matrix_RGB_to_XYZ, [SRGB_CURVE] * 3, change=cat02)
    assert np.abs(read_matrix(open_profile(data)) - space.matrix_RGB_to_XYZ).max() < FIXED_POINT
    unsaid = matrix_profile(cat02 @ space.matrix_RGB_to_XYZ, [SRGB_CURVE] * 3)
    assert np.abs(read_matrix(open_profile(unsaid)) - space.matrix_RGB_to_XYZ).max() > 1e-3


CURVES = {
    "straight": curv(),
    "one exponent": curv(round(1.8 * 256)),
    "points": curv(*(round(65535 * (i / 20) ** 2.1) for i in range(21))),
    "many points": curv(*(round(65535 * (i / 1023) ** 2.4) for i in range(1024))),
    "function 0": para(0, 2.1),
    "function 1": para(1, 2.2, 1.1, -0.1),
    "function 2": para(2, 2.2, 0.9, -0.05, 0.05),
    "function 3": SRGB_CURVE,
    "function 4": para(4, 2.4, 0.93, 0.05, 0.07, 0.04, 0.01, 0.002),
}


@pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES.keys())
def test_every_kind_of_curve_gives_what_littlecms_gives(curve: bytes) -> None:
    data = matrix_profile(d50_colorants("sRGB"), [curve] * 3)
    ramp = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    theirs = ImageCms.profileToProfile(
        Image.fromarray(ramp),
        ImageCms.ImageCmsProfile(io.BytesIO(data)),
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )
    profile = open_profile(data)
    ours = rgb_to_srgb8(ramp, encoding_of(read_tables(profile), read_matrix(profile)))
    assert np.abs(ours.astype(int) - np.asarray(theirs).astype(int)).max() <= ONE_LEVEL


@pytest.mark.parametrize(
    "damage",
    [
        lambda d: b"",
        lambda d: d[:100],
        lambda d: d[:200],
        lambda d: d[:-40],
        lambda d: d[:36] + b"what" + d[40:],
        lambda d: d[:128] + b"\xff\xff\xff\xff" + d[132:],
        lambda d: d.replace(b"para", b"huh?"),
        lambda d: d.replace(b"XYZ \0\0\0\0", b"XYY \0\0\0\0"),
    ],
)
def test_a_broken_profile_is_told(damage: object) -> None:
    data = matrix_profile(d50_colorants("sRGB"), [SRGB_CURVE] * 3)
    with pytest.raises(BrokenProfileError):
        profile = open_profile(damage(data))  # type: ignore[operator]
        read_matrix(profile)
        read_tables(profile)


@pytest.mark.parametrize(
    "colorants",
    [np.zeros((3, 3)), np.ones((3, 3)), -np.eye(3), np.eye(3) * 0.1, np.eye(3) * 5],
)
def test_colorants_that_make_no_white_are_told(colorants: NDArray[np.float64]) -> None:
    with pytest.raises(BrokenProfileError):
        read_matrix(open_profile(matrix_profile(colorants, [SRGB_CURVE] * 3)))


def test_only_profiles_of_colorants_have_a_matrix() -> None:
    assert not open_profile(grey_profile(curv(563))).has_matrix
    assert not open_profile(table_profile(b"RGB ", np.zeros((8, 3)))).has_matrix


@settings(max_examples=400, deadline=None)
@given(st.data())
def test_no_mutated_profile_raises_anything_else(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(list(CURVES.values())))
    profile = bytearray(matrix_profile(d50_colorants("sRGB"), [kind] * 3))
    for _ in range(data.draw(st.integers(1, 10))):
        profile[data.draw(st.integers(0, len(profile) - 1))] = data.draw(st.integers(0, 255))
    try:
        opened = open_profile(bytes(profile))
        if opened.has_matrix:
            assert np.isfinite(read_matrix(opened)).all()
            tables = read_tables(opened)
            assert ((tables >= 0) & (tables <= 1)).all()
    except BrokenProfileError:
        pass


def test_the_bradford_matrix_is_the_published_one() -> None:
    assert np.array_equal(BRADFORD, colour.adaptation.CAT_BRADFORD)
