"""Pictures without what does not show: the same pixels, and nothing else."""

from __future__ import annotations

import io
from datetime import datetime

import exifread
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps

from builder.bare_copies import bare_copy
from builder.look.srgb_tag import srgb_profile
from tests.leaks.doors import open_every_door
from tests.leaks.tokens import Tokens, find_tokens

PICTURE = Image.linear_gradient("L").resize((48, 32)).convert("RGB")
FORMATS = ("JPEG", "PNG", "WEBP")


def written(kind: str, orientation: int = 1, **more: object) -> bytes:
    exif = Image.Exif()
    exif[0x010E], exif[0x0112] = "zq111x", orientation
    exif[0x8825] = {1: "N", 2: (51.0, 23.0, 17.0)}
    held = io.BytesIO()
    options = {"exif": exif, "icc_profile": srgb_profile(), "xmp": b"<x>zq112x</x>", **more}
    PICTURE.save(held, kind, **options)  # type: ignore[arg-type]
    return held.getvalue()


@pytest.mark.parametrize("kind", FORMATS)
def test_the_pixels_and_the_profile_stay_and_nothing_else(kind: str) -> None:
    data = written(kind)
    bare = bare_copy(data)
    assert bare is not None
    assert find_tokens(data) and not find_tokens(bare)
    assert not exifread.process_file(io.BytesIO(bare))
    with Image.open(io.BytesIO(data)) as one, Image.open(io.BytesIO(bare)) as two:
        assert one.tobytes() == two.tobytes()
        assert two.info["icc_profile"] == srgb_profile()


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("progressive", [False, True])
def test_a_picture_stays_the_right_way_up(orientation: int, progressive: bool) -> None:
    data = written("JPEG", orientation, progressive=progressive)
    bare = bare_copy(data)
    assert bare is not None and not find_tokens(bare)
    with Image.open(io.BytesIO(data)) as one, Image.open(io.BytesIO(bare)) as two:
        assert ImageOps.exif_transpose(one).tobytes() == ImageOps.exif_transpose(two).tobytes()


def test_every_door_is_shut_and_what_lies_behind_the_end_is_gone() -> None:
    tokens = Tokens()
    data = open_every_door(written("JPEG"), datetime(2024, 10, 1), "a", tokens) + b"zq999x"
    assert find_tokens(data) >= set(tokens.places)
    bare = bare_copy(data)
    assert bare is not None
    assert not find_tokens(bare)


def test_what_is_no_picture_or_half_of_one_is_refused() -> None:
    assert bare_copy(b"GIF89a") is None
    for kind in ("JPEG", "PNG"):
        data = written(kind)
        assert bare_copy(data[: len(data) // 2]) is None


@given(st.sampled_from([written(kind) for kind in FORMATS]), st.data())
def test_no_bytes_whatever_make_it_fail(data: bytes, draw: st.DataObject) -> None:
    broken = bytearray(data)
    for _ in range(draw.draw(st.integers(1, 6))):
        broken[draw.draw(st.integers(0, len(data) - 1))] = draw.draw(st.integers(0, 255))
    bare = bare_copy(bytes(broken[: draw.draw(st.integers(0, len(data)))]))
    assert bare is None or len(bare) <= len(data) + 40
