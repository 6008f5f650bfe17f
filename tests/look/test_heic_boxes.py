"""What is read of a HEIC file before its decoder may see it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import PictureError
from builder.look.heic_boxes import UnsoundBoxesError, check_names, turned_by_container
from builder.look.opening import open_original
from builder.records.settings import Limits
from tests.look.pictures import encode, exif_with, four_corners


def heic_with_words() -> bytes:
    exif = exif_with(main={0x0112: 6})
    return encode(four_corners(), "HEIC", exif=exif, xmp=b"<x:xmpmeta></x:xmpmeta>")


def test_a_sound_file_passes() -> None:
    check_names(heic_with_words())


@pytest.mark.parametrize("word", [b"Exif\0", b"mime\0", b"application/rdf+xml\0"])
def test_an_item_whose_name_is_no_text_never_reaches_the_decoder(
    tmp_path: Path, word: bytes
) -> None:
    # Each of these ends the whole program inside pi-heif 1.4 where it is let through.
    data = heic_with_words()
    assert word in data
    broken = data.replace(word, b"\xd0" + word[1:], 1)
    with pytest.raises(UnsoundBoxesError, match="no text"):
        check_names(broken)
    (tmp_path / "a.heic").write_bytes(broken)
    with pytest.raises(PictureError, match="damaged"):
        open_original(tmp_path, "a.heic", Limits())


def test_an_item_larger_than_its_box_is_told() -> None:
    data = heic_with_words()
    at = data.index(b"infe")
    with pytest.raises(UnsoundBoxesError, match="larger"):
        check_names(data[: at - 4] + b"\0\xff\xff\xff" + data[at:])


def test_names_are_found_behind_long_and_open_sizes() -> None:
    # ISO/IEC 14496-12: size 1 is followed by a long size, size 0 reaches to the end of the file.
    item = (20).to_bytes(4, "big") + b"infe\2\0\0\0\0\1\0\0Ex\xfff"
    for head in ((8 + len(item)).to_bytes(4, "big"), b"\0\0\0\0"):
        with pytest.raises(UnsoundBoxesError, match="no text"):
            check_names(head + b"meta" + item)
    long = b"\0\0\0\1meta" + (16 + len(item)).to_bytes(8, "big") + item
    with pytest.raises(UnsoundBoxesError, match="no text"):
        check_names(long)


def test_chance_bytes_of_the_picture_are_no_boxes() -> None:
    body = b"infe\xff\xff irot imir"
    data = b"\0\0\0\x08ftyp" + (8 + len(body)).to_bytes(4, "big") + b"mdat" + body
    check_names(data)
    assert not turned_by_container(data)


@given(st.binary(max_size=300))
def test_any_bytes_are_passed_or_told(data: bytes) -> None:
    for start in (b"", b"\0\0\0\0meta", b"\0\0\0\0metainfe"):
        turned_by_container(start + data)
        try:
            check_names(start + data)
        except UnsoundBoxesError as error:
            assert str(error)
