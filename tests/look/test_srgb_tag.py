"""The one profile that published pictures carry."""

from __future__ import annotations

import hashlib
import io

import numpy as np
from PIL import Image, ImageCms

from builder.look.icc import open_profile, read_matrix, read_tables
from builder.look.spaces import encoding_of
from builder.look.srgb_tag import srgb_profile
from tests.look.pictures import patch_grid


def test_it_is_the_same_bytes_everywhere() -> None:
    # Held by its digest: built from figures, it must not differ by machine, time or release.
    assert hashlib.sha256(srgb_profile()).hexdigest()[:16] == "2f7e198fa5b31947"


def test_it_tells_no_time_and_no_maker() -> None:
    header = srgb_profile()[:128]
    assert header[24:36] == bytes(12)  # ICC.1:2010 header: date and time
    assert header[4:8] + header[48:56] + header[80:100] == bytes(32)  # makers, models, digest
    assert int.from_bytes(header[:4], "big") == len(srgb_profile())


def test_our_own_reader_knows_it_as_srgb() -> None:
    profile = open_profile(srgb_profile())
    assert encoding_of(read_tables(profile), read_matrix(profile)).name == "srgb"


def test_littlecms_finds_it_equal_to_its_own_srgb() -> None:
    image = Image.fromarray(patch_grid())
    profile = ImageCms.ImageCmsProfile(io.BytesIO(srgb_profile()))
    assert ImageCms.isIntentSupported(
        profile, ImageCms.Intent.RELATIVE_COLORIMETRIC, ImageCms.Direction.INPUT
    )
    led = ImageCms.profileToProfile(image, profile, ImageCms.createProfile("sRGB"))
    assert np.abs(np.asarray(led).astype(int) - patch_grid()).max() <= 1  # its fixed point
    assert profile.profile.profile_description == "sRGB"
