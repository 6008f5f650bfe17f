"""Every orientation is applied once, whoever has to do it."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageOps

from builder.look.heic_boxes import turned_by_container
from builder.look.opening import open_original
from builder.look.upright import turn_upright
from builder.records.settings import Limits
from tests.look.pictures import (
    ORIENTATION,
    STORED_BY,
    corner_colours,
    encode,
    exif_with,
    four_corners,
)

ENDINGS = {"JPEG": "jpg", "PNG": "png", "TIFF": "tif", "WebP": "webp", "HEIC": "heic"}


def stored_lying(orientation: int) -> Image.Image:
    turn = STORED_BY[orientation]
    return four_corners() if turn is None else four_corners().transpose(turn)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_turning_agrees_with_pillow(orientation: int) -> None:
    # Pillow's exif_transpose, an independent reading of tag 0112.H.
    image = Image.fromarray(np.asarray(stored_lying(orientation)))
    image.getexif()[ORIENTATION] = orientation
    expected = np.asarray(ImageOps.exif_transpose(image))
    turned = np.asarray(turn_upright(stored_lying(orientation), orientation))
    assert np.array_equal(turned, expected)
    assert np.array_equal(turned, np.asarray(four_corners()))


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP", "HEIC"])
def test_a_picture_stands_upright_in_every_kind(
    tmp_path: Path, kind: str, orientation: int
) -> None:
    exif = exif_with(main={ORIENTATION: orientation})
    name = f"turned.{ENDINGS[kind]}"
    (tmp_path / name).write_bytes(encode(stored_lying(orientation), kind, exif=exif))
    opened = open_original(tmp_path, name, Limits())
    assert (opened.width, opened.height) == four_corners().size
    assert corner_colours(opened.rgb) == corner_colours(np.asarray(four_corners()))
    assert opened.exif.orientation == orientation
    assert opened.notes == ()


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_compressed_tiff_is_turned_once_too(tmp_path: Path, orientation: int) -> None:
    # The decoder takes another way through its code for compressed files.
    exif = exif_with(main={ORIENTATION: orientation})
    data = encode(stored_lying(orientation), "TIFF", exif=exif, compression="tiff_lzw")
    (tmp_path / "a.tif").write_bytes(data)
    opened = open_original(tmp_path, "a.tif", Limits())
    assert corner_colours(opened.rgb) == corner_colours(np.asarray(four_corners()))


def test_a_heic_that_only_exif_calls_turned_is_shown_as_its_container_says(tmp_path: Path) -> None:
    # ISO/IEC 23008-12: irot and imir turn a picture, its EXIF orientation does not.
    exif = exif_with(main={ORIENTATION: 6})
    data = encode(stored_lying(6), "HEIC", exif=exif)
    assert turned_by_container(data)
    unturned = data.replace(b"irot", b"free")  # the box is there, but turns nothing
    assert not turned_by_container(unturned)
    (tmp_path / "a.heic").write_bytes(unturned)
    opened = open_original(tmp_path, "a.heic", Limits())
    assert corner_colours(opened.rgb) == corner_colours(np.asarray(stored_lying(6)))
    assert any("container does not" in note for note in opened.notes)


def test_a_heic_that_only_its_container_turns_is_turned(tmp_path: Path) -> None:
    data = encode(stored_lying(8), "HEIC", exif=exif_with(main={ORIENTATION: 8}))
    tag = ORIENTATION.to_bytes(2, "big") + b"\0\3\0\0\0\1\0"
    little = ORIENTATION.to_bytes(2, "little") + b"\3\0\1\0\0\0"
    assert (tag + b"\x08" in data) or (little + b"\x08" in data)
    silenced = data.replace(tag + b"\x08", tag + b"\x01").replace(
        little + b"\x08", little + b"\x01"
    )
    (tmp_path / "a.heic").write_bytes(silenced)
    opened = open_original(tmp_path, "a.heic", Limits())
    assert opened.exif.orientation == 1
    assert corner_colours(opened.rgb) == corner_colours(np.asarray(four_corners()))


@pytest.mark.parametrize("orientation", [0, 9, 77])
def test_an_orientation_that_is_none_turns_nothing(tmp_path: Path, orientation: int) -> None:
    stream = io.BytesIO()
    four_corners().save(stream, "JPEG", exif=exif_with(main={ORIENTATION: orientation}))
    (tmp_path / "a.jpg").write_bytes(stream.getvalue())
    opened = open_original(tmp_path, "a.jpg", Limits())
    assert opened.exif.orientation == 1
    assert corner_colours(opened.rgb) == corner_colours(np.asarray(four_corners()))
