"""Published pictures: sizes, colours, and nothing in them but the picture."""

from __future__ import annotations

import dataclasses
import hashlib
import io
from pathlib import Path
from typing import Any

import exifread
import numpy as np
import pytest
from PIL import Image

from builder.errors import SiteError
from builder.look.opening import Opened, open_original
from builder.look.spaces import rgb_to_srgb8
from builder.look.srgb_tag import srgb_profile
from builder.look.web import encode_jpeg, store_picture, write_web_sizes
from builder.records.photo import Encoding
from builder.records.settings import Limits
from tests.look.icc_writing import curv, matrix_profile
from tests.look.pictures import (
    encode,
    exif_with,
    four_corners,
    jpeg_segments,
    plant_segment,
)
from tests.look.test_icc import d50_colorants

SECRET = b"51.5007-SECRET"
# Quality 82 with halved colour: flat areas keep their colour within this many levels.
LOSSY = 4


def opened_from(folder: Path, data: bytes, name: str = "a.jpg") -> Opened:
    (folder / name).write_bytes(data)
    return open_original(folder, name, Limits())


def full_of_secrets() -> bytes:
    """A JPEG with a position in EXIF, in its thumbnail's EXIF, in XMP, a comment and a maker's
    profile with words."""
    position: dict[int, Any] = {1: "N", 2: (0.0, 0.0, 0.0), 3: "E", 4: (0.0, 0.0, 0.0)}
    exif = exif_with(
        main={0x010F: SECRET.decode(), 0x0112: 6},
        camera={0xA431: SECRET.decode()},
        position=position | {29: "2024:10:01"},
    )
    icc = matrix_profile(d50_colorants("Display P3"), [curv(563)] * 3).replace(b"test", SECRET[:4])
    data = encode(four_corners(320, 240), "JPEG", exif=exif, icc_profile=icc, comment=SECRET)
    thumbnail = encode(four_corners(16, 12), "JPEG", exif=exif)
    data = plant_segment(data, 0xED, b"Photoshop 3.0\0" + SECRET)
    data = plant_segment(data, 0xE1, b"http://ns.adobe.com/xap/1.0/\0<GPSLatitude>" + SECRET)
    return plant_segment(data, 0xE2, b"MPF\0" + thumbnail)


def test_nothing_of_the_original_but_its_look_is_published(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, full_of_secrets())
    assert opened.exif.has_position
    assert opened.exif.has_serial
    site = tmp_path / "site"
    webs = write_web_sizes(opened, (80, 160, 240), site)
    assert sorted(path.name for path in site.iterdir()) == sorted(web.name for web in webs)
    for web in webs:
        data = (site / web.name).read_bytes()
        markers = [marker for marker, _ in jpeg_segments(data)]
        # ITU-T T.81: tables, frame and scan; application data 0 (JFIF) and 2 (the profile) only.
        assert set(markers) == {0xE0, 0xE2, 0xDB, 0xC0, 0xC4, 0xDA}
        (profile,) = [body for marker, body in jpeg_segments(data) if marker == 0xE2]
        assert profile == b"ICC_PROFILE\0\1\1" + srgb_profile()
        for word in (SECRET, b"Exif", b"http", b"GPS", b"Photoshop", b"MPF", b"SECR"):
            assert word not in data
        assert exifread.process_file(io.BytesIO(data)) == {}
        with Image.open(io.BytesIO(data)) as image:
            assert len(image.getexif()) == 0
            assert not set(image.info) & {"exif", "xmp", "comment", "photoshop", "mp"}


def test_widths_are_those_asked_and_heights_in_proportion(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(four_corners(400, 300), "PNG"), "a.png")
    webs = write_web_sizes(opened, (200, 100, 320), tmp_path / "site")
    assert [(web.width, web.height) for web in webs] == [(100, 75), (200, 150), (320, 240)]
    for web in webs:
        with Image.open(tmp_path / "site" / web.name) as image:
            assert image.size == (web.width, web.height)
        assert (tmp_path / "site" / web.name).stat().st_size == web.bytes


@pytest.mark.parametrize(
    ("own", "widths", "given"),
    [(400, (480, 960, 1600), [400]), (500, (480, 960), [480, 500]), (480, (480, 960), [480])],
)
def test_no_picture_is_enlarged(
    tmp_path: Path, own: int, widths: tuple[int, ...], given: list[int]
) -> None:
    opened = opened_from(tmp_path, encode(four_corners(own, 30), "PNG"), "a.png")
    assert [web.width for web in write_web_sizes(opened, widths, tmp_path / "site")] == given


def test_a_name_is_the_digest_of_the_published_bytes(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(four_corners(), "PNG"), "a.png")
    for web in write_web_sizes(opened, (48, 96), tmp_path / "site"):
        data = (tmp_path / "site" / web.name).read_bytes()
        assert web.name == hashlib.sha256(data).hexdigest()[:16] + ".jpg"


def test_the_same_picture_gives_the_same_bytes(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, full_of_secrets())
    first = write_web_sizes(opened, (80, 160), tmp_path / "one")
    assert write_web_sizes(opened, (80, 160), tmp_path / "two") == first
    for web in first:
        one, two = tmp_path / "one" / web.name, tmp_path / "two" / web.name
        assert one.read_bytes() == two.read_bytes()


def test_a_wide_picture_is_published_in_srgb(tmp_path: Path) -> None:
    icc = matrix_profile(d50_colorants("Adobe RGB (1998)"), [curv(563)] * 3)
    opened = opened_from(tmp_path, encode(four_corners(), "PNG", icc_profile=icc), "a.png")
    (web,) = write_web_sizes(opened, (96,), tmp_path / "site")
    with Image.open(tmp_path / "site" / web.name) as image:
        seen = np.asarray(image).astype(int)
    wanted = rgb_to_srgb8(np.asarray(four_corners()), Encoding("adobe-rgb")).astype(int)
    for place in ((16, 24), (16, 72), (48, 72), (48, 24)):  # the quarters' centres
        assert np.abs(seen[place] - wanted[place]).max() <= LOSSY
    assert np.abs(wanted - np.asarray(four_corners())).max() > 3 * LOSSY


def test_a_picture_that_is_there_is_left_alone(tmp_path: Path) -> None:
    image = four_corners()
    web = store_picture(image, tmp_path)
    before = (tmp_path / web.name).stat().st_mtime_ns
    assert store_picture(image, tmp_path) == web
    assert (tmp_path / web.name).stat().st_mtime_ns == before


def test_a_cut_off_picture_is_written_anew(tmp_path: Path) -> None:
    web = store_picture(four_corners(), tmp_path)
    (tmp_path / web.name).write_bytes(b"half")
    store_picture(four_corners(), tmp_path)
    assert (tmp_path / web.name).stat().st_size == web.bytes


def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "site").write_text("a file in the way")
    with pytest.raises(SiteError) as caught:
        store_picture(four_corners(), tmp_path / "site")
    assert str(tmp_path) not in str(caught.value)


def test_a_failed_write_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises(SiteError, match="No space left"):
        store_picture(four_corners(), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_small_views_keep_full_colour() -> None:
    # Sampling factors of the frame header: luma 2 × 2 halves colour, 1 × 1 does not (T.81, B.2.2).
    def luma_sampling(data: bytes) -> int:
        return next(body[7] for marker, body in jpeg_segments(data) if marker == 0xC0)

    assert luma_sampling(encode_jpeg(four_corners())) == 0x22
    assert luma_sampling(encode_jpeg(four_corners(), full_colour=True)) == 0x11


def test_an_originals_name_does_not_reach_the_published_name(tmp_path: Path) -> None:
    opened = opened_from(tmp_path, encode(four_corners(), "PNG"), "12 Mill Lane.png")
    renamed = dataclasses.replace(opened, path="other.png")
    one = write_web_sizes(opened, (96,), tmp_path / "site")
    assert write_web_sizes(renamed, (96,), tmp_path / "site") == one
