"""Opening: once, from the bytes and not the name, and every bad file with its reason."""

from __future__ import annotations

import datetime as dt
import hashlib
import io
import os
import struct
import sys
import warnings
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from builder.errors import PictureError, Weight
from builder.look import opening
from builder.look.opening import open_original
from builder.records.settings import Limits
from tests.look.pictures import encode, four_corners

KINDS = {"JPEG": "a.jpg", "PNG": "a.png", "TIFF": "a.tif", "WebP": "a.webp", "HEIC": "a.heic"}


def problem_of(folder: Path, data: bytes, name: str = "a.jpg", limits: Limits | None = None) -> Any:
    (folder / name).write_bytes(data)
    with pytest.raises(PictureError) as caught:
        open_original(folder, name, limits or Limits())
    (problem,) = caught.value.problems
    assert problem.file == name
    assert problem.weight is Weight.LEFT_OUT
    assert problem.found
    assert problem.expected
    assert problem.remedy
    assert str(folder) not in str(problem)
    return problem


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_opened_is_all_from_its_bytes(tmp_path: Path, kind: str) -> None:
    data = encode(four_corners(), kind)
    (tmp_path / KINDS[kind]).write_bytes(data)
    os.utime(tmp_path / KINDS[kind], (0, 86_400 * 3))
    opened = open_original(tmp_path, KINDS[kind], Limits())
    assert opened.sha256 == hashlib.sha256(data).hexdigest()
    assert (opened.bytes, opened.format) == (len(data), kind)
    assert (opened.width, opened.height) == (96, 64)
    assert (opened.rgb.dtype, opened.rgb.shape) == (np.uint8, (64, 96, 3))
    assert opened.file_day == dt.date(1970, 1, 4)
    assert opened.notes == ()


@pytest.mark.parametrize("kind", KINDS)
def test_an_original_is_opened_exactly_once(
    tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / KINDS[kind]).write_bytes(encode(four_corners(), kind))
    opened: list[str] = []
    watching = True

    def watch(event: str, arguments: tuple[Any, ...]) -> None:
        if watching and event == "open" and str(arguments[0]).endswith(KINDS[kind]):
            opened.append(str(arguments[0]))

    sys.addaudithook(watch)  # sees every opening Python knows of, by whatever library
    read = opening.read_bytes
    reads: list[Path] = []
    monkeypatch.setattr(
        opening, "read_bytes", lambda path, most: (reads.append(path), read(path, most))[1]
    )
    try:
        open_original(tmp_path, KINDS[kind], Limits())
    finally:
        watching = False
    assert len(opened) == 1
    assert reads == [tmp_path / KINDS[kind]]


@pytest.mark.parametrize(("kind", "name"), [("PNG", "a.jpg"), ("JPEG", "a.heic"), ("WebP", "a.x")])
def test_a_picture_under_another_ending_is_opened_and_said(
    tmp_path: Path, kind: str, name: str
) -> None:
    (tmp_path / name).write_bytes(encode(four_corners(), kind))
    opened = open_original(tmp_path, name, Limits())
    assert opened.format == kind
    assert len(opened.notes) == 1
    assert kind in opened.notes[0]


def test_an_empty_file_is_told(tmp_path: Path) -> None:
    assert "0 bytes" in problem_of(tmp_path, b"").found


def test_text_with_a_pictures_ending_is_told(tmp_path: Path) -> None:
    assert "text" in problem_of(tmp_path, "Grünspan, 3 Tage\n".encode()).found


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"GIF89a" + bytes(20), "GIF"),
        (b"%PDF-1.7\n" + bytes(range(256)), "PDF"),
        (b"\0\0\0\x20ftypavif" + bytes(20), "AVIF"),
        (b"\0\0\0\x20ftypqt  " + bytes(20), "film"),
        (b"PK\x03\x04" + bytes(40), "ZIP"),
        (bytes(range(256)), "no picture format"),
    ],
)
def test_a_stranger_is_called_by_its_kind(tmp_path: Path, data: bytes, word: str) -> None:
    assert word in problem_of(tmp_path, data).found


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("left", [0.3, 0.6, 0.9])
def test_a_truncated_picture_is_told(tmp_path: Path, kind: str, left: float) -> None:
    noise = np.random.default_rng(1).integers(0, 256, (64, 96, 3), dtype=np.uint8)
    data = encode(Image.fromarray(noise), kind)
    assert "damaged" in problem_of(tmp_path, data[: int(len(data) * left)], KINDS[kind]).found


@pytest.mark.parametrize("kind", KINDS)
def test_a_header_and_nothing_more_is_told(tmp_path: Path, kind: str) -> None:
    problem_of(tmp_path, encode(four_corners(), kind)[:16], KINDS[kind])


def png_bomb(width: int, height: int) -> bytes:
    """A PNG of some kilobytes that declares and holds ``width`` by ``height`` black pixels."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    packed = zlib.compress(bytes((width // 8 + 1) * 64), 9)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")
    )


def test_a_decompression_bomb_is_refused_before_it_opens(tmp_path: Path) -> None:
    problem = problem_of(tmp_path, png_bomb(60_000, 60_000), "a.png")
    assert "60000 × 60000" in problem.found
    assert "120 million" in problem.expected


@pytest.mark.parametrize("kind", KINDS)
def test_the_limit_of_pixels_holds_for_every_kind(tmp_path: Path, kind: str) -> None:
    data = encode(four_corners(), kind)
    limits = Limits(pixels=96 * 64 - 1)
    assert "96 × 64" in problem_of(tmp_path, data, KINDS[kind], limits).found
    assert open_original(tmp_path, KINDS[kind], Limits(pixels=96 * 64)).width == 96


def test_a_webp_that_declares_a_huge_canvas_is_refused(tmp_path: Path) -> None:
    # RFC 9649, extended header: 24-bit width and height, less one.
    body = b"\0\0\0\0" + (2**24 - 1).to_bytes(3, "little") * 2
    data = b"RIFF" + (30).to_bytes(4, "little") + b"WEBPVP8X" + (10).to_bytes(4, "little") + body
    assert "16777216 × 16777216" in problem_of(tmp_path, data, "a.webp").found


def test_a_picture_of_too_many_bytes_is_refused(tmp_path: Path) -> None:
    data = encode(four_corners(), "JPEG")
    problem = problem_of(tmp_path, data, limits=Limits(picture_bytes=len(data) - 1))
    assert "MB" in problem.expected
    assert open_original(tmp_path, "a.jpg", Limits(picture_bytes=len(data))).bytes == len(data)


def test_several_frames_give_the_first_and_a_note(tmp_path: Path) -> None:
    other = Image.new("RGB", (96, 64))
    stream = io.BytesIO()
    four_corners().save(stream, "WebP", save_all=True, append_images=[other], lossless=True)
    (tmp_path / "a.webp").write_bytes(stream.getvalue())
    opened = open_original(tmp_path, "a.webp", Limits())
    assert np.array_equal(opened.rgb, np.asarray(four_corners()))
    assert opened.notes == ("the file holds more than one picture: only the first is used",)


@pytest.mark.parametrize("name", ["gone.jpg", "../outside.jpg", "sub/../../outside.jpg"])
def test_a_name_that_leads_nowhere_good_is_told(tmp_path: Path, name: str) -> None:
    (tmp_path / "library").mkdir()
    (tmp_path / "outside.jpg").write_bytes(encode(four_corners(), "JPEG"))
    with pytest.raises(PictureError):
        open_original(tmp_path / "library", name, Limits())


def test_an_absolute_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(encode(four_corners(), "JPEG"))
    with pytest.raises(PictureError, match="leads out"):
        open_original(tmp_path, str(tmp_path / "a.jpg"), Limits())


def test_a_folder_with_a_pictures_name_is_told(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").mkdir()
    with pytest.raises(PictureError, match="no plain file"):
        open_original(tmp_path, "a.jpg", Limits())


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.jpg")
    with pytest.raises(PictureError, match="no plain file"):
        open_original(tmp_path, "a.jpg", Limits())


def test_a_large_picture_warns_of_nothing(tmp_path: Path) -> None:
    # Pillow by itself warns from some 90 million pixels on.
    width, height = 10_000, 9_000
    (tmp_path / "a.png").write_bytes(encode(Image.new("1", (width, height)), "PNG"))
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        assert open_original(tmp_path, "a.png", Limits()).width == width
    assert caught == []


def test_a_file_its_decoder_grumbles_at_warns_of_nothing(tmp_path: Path) -> None:
    # The value of tag 305, Software (TIFF 6.0), lies beyond the file's end.
    data = encode(four_corners(), "TIFF", software="x" * 40)
    far = struct.pack("<HHII", 305, 2, 41, 2**31)
    at = data.index(struct.pack("<HHI", 305, 2, 41))
    (tmp_path / "a.tif").write_bytes(data[:at] + far + data[at + 12 :])
    with pytest.warns(UserWarning, match="Truncated File Read"):
        Image.open(tmp_path / "a.tif").close()
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        opened = open_original(tmp_path, "a.tif", Limits())
    assert caught == []
    assert np.array_equal(opened.rgb, np.asarray(four_corners()))


def test_an_original_is_not_changed(tmp_path: Path) -> None:
    data = encode(four_corners(), "JPEG")
    (tmp_path / "a.jpg").write_bytes(data)
    before = (tmp_path / "a.jpg").stat()
    open_original(tmp_path, "a.jpg", Limits())
    after = (tmp_path / "a.jpg").stat()
    assert (tmp_path / "a.jpg").read_bytes() == data
    assert (before.st_mtime_ns, before.st_mode) == (after.st_mtime_ns, after.st_mode)
