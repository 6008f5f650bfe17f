"""Files from strangers: whatever their bytes, a picture comes out or a PictureError."""

from __future__ import annotations

import contextlib
import io
import struct
from pathlib import Path

import exifread
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from builder.errors import PictureError
from builder.look.exif import DAMAGED, _CountedBytes, read_exif
from builder.look.heic_boxes import UnsoundBoxesError, check_names
from builder.look.icc import BrokenProfileError, open_profile
from builder.look.opening import open_original
from builder.look.views import write_view
from builder.look.web import write_web_sizes
from builder.records.settings import Limits
from tests.fuzz.pictures import write_directories
from tests.look.icc_writing import curv, matrix_profile
from tests.look.pictures import encode, exif_with
from tests.look.test_icc import d50_colorants

# Small enough that a mutated size cannot cost minutes.
SMALL = Limits(pixels=4_000_000)


def whole_picture(kind: str) -> bytes:
    noise = np.random.default_rng(8).integers(0, 256, (24, 32, 3), dtype=np.uint8)
    exif = exif_with(main={0x0112: 6, 0x010F: "Barnlight"}, camera={0x9003: "2024:10:01 12:00:00"})
    icc = matrix_profile(d50_colorants("Display P3"), [curv(563)] * 3)
    return encode(Image.fromarray(noise), kind, exif=exif, icc_profile=icc)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP", "HEIC"])
@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_mutated_picture_opens_or_is_refused(
    tmp_path: Path, kind: str, data: st.DataObject
) -> None:
    picture = bytearray(whole_picture(kind))
    # The headers of all kinds lie at the start: half of the damage goes there.
    head = st.integers(0, min(200, len(picture) - 1))
    anywhere = st.integers(0, len(picture) - 1)
    for _ in range(data.draw(st.integers(1, 20))):
        picture[data.draw(head | anywhere)] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(picture)) | st.just(len(picture)))
    (tmp_path / "a.jpg").write_bytes(bytes(picture[:cut]))
    try:
        opened = open_original(tmp_path, "a.jpg", SMALL)
    except PictureError:
        return
    assert opened.rgb.dtype == np.uint8
    assert opened.rgb.shape[2] == 3


def test_a_jpeg_of_scans_without_end_is_refused_before_it_is_decoded(tmp_path: Path) -> None:
    stream = io.BytesIO()
    Image.new("RGB", (64, 64)).save(stream, "JPEG", progressive=True)
    whole = stream.getvalue()
    scan = b"\xff\xda\x00\x08\x01\x01\x00\x3f\x3f\x00\x00"
    (tmp_path / "a.jpg").write_bytes(whole[:-2] + scan * 10_000 + whole[-2:])
    with pytest.raises(PictureError, match="damaged"):
        open_original(tmp_path, "a.jpg", SMALL)
    (tmp_path / "a.jpg").write_bytes(whole)
    assert open_original(tmp_path, "a.jpg", SMALL).width == 64


def test_tags_that_each_claim_the_whole_file_are_read_no_further_than_so_many_bytes() -> None:
    tags, whole = 2000, 1_000_000
    entry = struct.pack("<HHII", 0x010F, 2, whole, 0)
    block = b"II*\x00" + struct.pack("<IH", 8, tags) + entry * tags + b"\x00" * 4
    counted = _CountedBytes(block.ljust(whole, b"x"))
    with contextlib.suppress(Exception):
        exifread.process_file(counted, details=False, extract_thumbnail=False)
    assert -whole <= counted._bytes < whole
    assert read_exif(block.ljust(whole, b"x"), b"").notes == (DAMAGED,)


def test_directories_that_point_at_each_other_come_to_an_end() -> None:
    for following in (8, 26, 0):
        block = write_directories("<", [([(0x8769, 4, 1, 8)], following)] * 2)
        assert read_exif(block, block).exif.make == ""


def test_of_a_profile_that_claims_itself_two_hundred_times_little_is_kept() -> None:
    size = 1_000_000
    head = bytearray(matrix_profile(d50_colorants("Display P3"), [curv(563)] * 3)[:128])
    names = [b"desc"] * 190 + [b"rXYZ", b"gXYZ", b"bXYZ"]
    table = b"".join(struct.pack(">4sII", name, 0, size) for name in names)
    profile = bytes(head) + struct.pack(">I", len(names)) + table
    assert set(open_profile(profile.ljust(size, b"\x00")).tags) == {b"rXYZ", b"gXYZ", b"bXYZ"}
    with pytest.raises(BrokenProfileError, match="far larger"):
        open_profile(profile.ljust(20_000_000, b"\x00"))


@pytest.mark.parametrize("size", [2000 + 1, 100_000])
def test_an_item_of_a_heic_file_with_a_name_without_end_is_refused(size: int) -> None:
    items = (size.to_bytes(4, "big") + b"infe" + b"\x02" * 8) * 20_000
    data = (len(items) + 8).to_bytes(4, "big") + b"meta" + items
    with pytest.raises(UnsoundBoxesError, match="without end"):
        check_names(data)


@pytest.mark.parametrize("size", [(1, 3000), (3000, 1), (1, 70_000)])
def test_a_sliver_of_a_picture_makes_no_picture_as_high_as_a_house(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    (tmp_path / "a.png").write_bytes(encode(Image.new("RGB", size, (90, 140, 120)), "PNG"))
    opened = open_original(tmp_path, "a.png", SMALL)
    for web in write_web_sizes(opened, (480, 960), tmp_path / "made"):
        assert web.height <= 65_500
    view = write_view(opened.rgb / 255.0, tmp_path / "made", 500)
    assert view.width * view.height <= 25_000_000
    assert max(view.width, view.height) <= 10_000
