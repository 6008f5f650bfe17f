"""What the camera wrote beside its picture, and what of it is kept."""

from __future__ import annotations

import datetime as dt
import io
import struct
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ExifTags, Image
from PIL.TiffImagePlugin import IFDRational

from builder.look import exif as exif_module
from builder.look.exif import CameraFacts, read_exif
from builder.look.opening import open_original
from builder.records.settings import Limits
from tests.look.pictures import (
    CHANGED,
    DIGITISED,
    MAKE,
    MODEL,
    OFFSET_DIGITISED,
    OFFSET_ORIGINAL,
    ORIGINAL,
    encode,
    exif_with,
    four_corners,
    plant_segment,
)

NOON = "2024:10:01 12:00:00"
NULL_ISLAND: dict[int, Any] = {1: "N", 2: (0.0, 0.0, 0.0), 3: "E", 4: (0.0, 0.0, 0.0)}


def facts_of(exif: Image.Exif, extra: bytes = b"", xmp: bytes = b"") -> CameraFacts:
    block = exif.tobytes().removeprefix(b"Exif\x00\x00")
    return read_exif(block, block + extra, xmp)


def test_the_original_time_is_taken_with_its_offset() -> None:
    facts = facts_of(exif_with(camera={ORIGINAL: NOON, OFFSET_ORIGINAL: "+01:00"}))
    assert facts.exif.taken == dt.datetime(2024, 10, 1, 12)
    assert facts.exif.offset == 60


@pytest.mark.parametrize(
    ("written", "minutes"),
    [("+00:00", 0), ("-05:30", -330), ("+14:00", 840), ("   :  ", None), ("", None),
     ("+99:00", None), ("noon", None)],
)  # fmt: skip
def test_an_offset_is_read_or_left_unknown(written: str, minutes: int | None) -> None:
    facts = facts_of(exif_with(camera={ORIGINAL: NOON, OFFSET_ORIGINAL: written}))
    assert facts.exif.offset == minutes
    assert facts.exif.taken is not None


@pytest.mark.parametrize("written", ["    :  :     :  :  ", " " * 19, "0000:00:00 00:00:00", ""])
def test_a_blank_time_is_not_known_and_no_fault(written: str) -> None:
    # Exif 2.32: unknown times are filled with blanks. Zeros: common practice, no source.
    facts = facts_of(exif_with(camera={ORIGINAL: written}))
    assert facts.exif.taken is None
    assert facts.notes == ()


def test_the_time_of_digitising_serves_where_the_original_is_blank() -> None:
    camera = {ORIGINAL: " " * 19, DIGITISED: NOON, OFFSET_DIGITISED: "+02:00"}
    facts = facts_of(exif_with(camera=camera))
    assert (facts.exif.taken, facts.exif.offset) == (dt.datetime(2024, 10, 1, 12), 120)


def test_the_time_of_the_last_change_is_no_time_of_taking() -> None:
    assert facts_of(exif_with(main={CHANGED: NOON})).exif.taken is None


@pytest.mark.parametrize("written", ["2024:13:45 12:00:00", "yesterday", "2024:02:30 10:00:00"])
def test_a_time_that_is_none_is_said(written: str) -> None:
    facts = facts_of(exif_with(camera={ORIGINAL: written}))
    assert facts.exif.taken is None
    assert len(facts.notes) == 1
    assert written in facts.notes[0]


def test_no_exif_is_no_fault() -> None:
    facts = read_exif(b"", encode(four_corners(), "JPEG"))
    assert (facts.exif.taken, facts.exif.orientation, facts.notes) == (None, 1, ())


def test_the_camera_is_kept_in_words() -> None:
    exif = exif_with(
        main={MAKE: "Barnlight", MODEL: "B1"},
        camera={
            ExifTags.Base.LensModel: "26 mm",
            ExifTags.Base.ExposureTime: IFDRational(1, 60),
            ExifTags.Base.FNumber: IFDRational(28, 10),
            ExifTags.Base.ISOSpeedRatings: 100,
            ExifTags.Base.WhiteBalance: 1,
        },
    )
    kept = facts_of(exif).exif
    assert (kept.make, kept.model, kept.lens) == ("Barnlight", "B1", "26 mm")
    assert (kept.exposure, kept.aperture, kept.iso) == ("1/60", "2.8", "100")
    assert kept.white_balance == "manual"  # Exif 2.32, tag A403.H: 1 is manual


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP", "HEIC"])
def test_facts_agree_with_pillow_in_every_kind(kind: str, tmp_path: Any) -> None:
    exif = exif_with(main={MAKE: "Barnlight", MODEL: "B1"}, camera={ORIGINAL: NOON})
    name = f"a.{kind.lower()}"
    (tmp_path / name).write_bytes(encode(four_corners(), kind, exif=exif))
    kept = open_original(tmp_path, name, Limits()).exif
    assert (kept.make, kept.model) == (exif[MAKE], exif[MODEL])
    assert kept.taken == dt.datetime.strptime(NOON, "%Y:%m:%d %H:%M:%S")


@pytest.mark.parametrize("tag", [0xA431, 0xA435])  # body's and lens's number
def test_a_serial_number_is_noted_and_not_kept(tag: int) -> None:
    facts = facts_of(exif_with(camera={tag: "ZX-99817"}))
    assert facts.exif.has_serial
    assert "99817" not in repr(facts)


def test_a_name_of_owner_or_artist_is_noted_and_not_kept() -> None:
    for exif in (exif_with(camera={0xA430: "Hebe T."}), exif_with(main={0x013B: "Hebe T."})):
        facts = facts_of(exif)
        assert facts.exif.has_owner and not facts.exif.has_serial
        assert "Hebe" not in repr(facts)
    assert not facts_of(exif_with(main={0x013B: "   "})).exif.has_owner  # blank-filled


# Positions as NMEA 0183, ISO 6709 and in degrees write them; letters of one byte and of two.
@pytest.mark.parametrize(
    "written",
    ["$GPGGA,123519,4807.038,N", "+51.3882+011.6289/", "51.38826, 11.62886", "51° 23' N",
     "51.38826, 11.62886".encode("utf-16-le").decode("latin-1")],
)  # fmt: skip
def test_a_position_in_the_makers_note_is_found(written: str) -> None:
    note = b"Barnlight\0\1\2" + written.encode("latin-1") + b"\0\0"
    kept = facts_of(exif_with(camera={0x927C: note})).exif
    assert kept.position_in == ("maker’s note",)
    assert kept.has_makers_note and "51" not in repr(kept)


def test_a_makers_note_of_no_place_is_only_noted() -> None:
    kept = facts_of(exif_with(camera={0x927C: b"Barnlight\0 v1.2 12.5 mm Serial No"})).exif
    assert (kept.position_in, kept.has_makers_note, kept.has_serial) == ((), True, True)


def test_where_a_position_stands_is_said() -> None:
    assert facts_of(exif_with(position=NULL_ISLAND)).exif.position_in == ("EXIF",)
    packet = b'<rdf:Description exif:GPSLatitude="0,0.0N" aux:SerialNumber="7" aux:OwnerName="H"/>'
    kept = read_exif(b"", packet).exif
    assert (kept.position_in, kept.has_serial, kept.has_owner) == (("XMP",), True, True)
    city = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x09\x1c\x02\x5a\0\4Town"
    assert read_exif(b"", city).exif.position_in == ("IPTC",)  # IPTC-IIM 4.2, 2:90


@given(st.binary(max_size=400))
def test_no_block_of_bytes_breaks_the_search_for_doors(data: bytes) -> None:
    for start in (b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08"):
        assert isinstance(read_exif(start + data, start + data).exif.position_in, tuple)


def test_words_of_a_stranger_are_cut_and_cleaned() -> None:
    kept = facts_of(exif_with(main={MAKE: "A\x1b[31m\nB", MODEL: "x" * 5000})).exif
    assert kept.make.isprintable()
    assert len(kept.model) == 80


def test_a_position_in_the_pictures_exif_is_noted_and_not_kept() -> None:
    facts = facts_of(exif_with(position=NULL_ISLAND))
    assert facts.exif.has_position
    assert "0.0" not in repr(facts)


def test_a_position_only_in_the_thumbnail_is_found() -> None:
    thumbnail = encode(four_corners(16, 12), "JPEG", exif=exif_with(position=NULL_ISLAND))
    outer = exif_with(main={MAKE: "Barnlight"}).tobytes().removeprefix(b"Exif\x00\x00")
    assert not read_exif(outer, outer).exif.has_position
    assert read_exif(outer, outer + thumbnail).exif.has_position


def test_a_position_in_the_thumbnails_directory_is_found() -> None:
    # IFD 0 with nothing, IFD 1 with a GPS pointer to a directory with a latitude.
    ifd0 = struct.pack("<HI", 0, 14)
    ifd1 = struct.pack("<HHHIII", 1, 0x8825, 4, 1, 32, 0)
    gps = struct.pack("<HHHIII", 1, 2, 5, 3, 50, 0) + struct.pack("<6I", 0, 1, 0, 1, 0, 1)
    block = b"II*\0" + struct.pack("<I", 8) + ifd0 + ifd1 + gps
    assert block.index(gps) == 32
    assert read_exif(block, block).exif.position_in == ("thumbnail",)


@pytest.mark.parametrize("name", ["GPSLatitude", "GPSLongitude"])
def test_a_position_in_xmp_is_found(name: str) -> None:
    packet = f'<rdf:Description exif:{name}="0,0.0N"/>'.encode()
    jpeg = plant_segment(
        encode(four_corners(), "JPEG"), 0xE1, b"http://ns.adobe.com/xap/1.0/\0" + packet
    )
    assert read_exif(b"", jpeg).exif.has_position
    assert read_exif(b"", b"compressed", xmp=packet).exif.has_position


def test_a_picture_without_position_has_none() -> None:
    exif = exif_with(main={MAKE: "Barnlight"}, position={0: b"\2\3\0\0"})
    assert not facts_of(exif).exif.has_position  # a bare version of the GPS tags is no place


def test_adobe_rgb_is_known_by_its_interoperability_index() -> None:
    # DCF 2.0: R03 is the optional colour space, R98 the basic file with sRGB.
    assert facts_of(exif_with(camera={0xA001: 0xFFFF, 0xA005: {1: "R03"}})).adobe_rgb
    assert not facts_of(exif_with(camera={0xA001: 0xFFFF, 0xA005: {1: "R98"}})).adobe_rgb
    assert not facts_of(exif_with(camera={0xA001: 1, 0xA005: {1: "R03"}})).adobe_rgb


@pytest.mark.parametrize("block", [b"no header", b"II*\0", b"MM\0*\0\0\0\x08\0\0"])
def test_damaged_exif_is_a_note(block: bytes) -> None:
    assert read_exif(block, block).notes == (exif_module.DAMAGED,)


def test_a_block_that_points_into_itself_a_thousand_times_is_given_up() -> None:
    entries = struct.pack(">HHII", 0x8825, 4, 1, 8) * 3000
    block = b"MM\0*" + struct.pack(">IH", 8, 3000) + entries + b"\0\0\0\0"
    stream = exif_module._CountedBytes(block)
    with pytest.raises(exif_module._TooManyReadsError):
        for _ in range(exif_module.MOST_READS + 1):
            stream.read(1)
    assert read_exif(block, block).notes == (exif_module.DAMAGED,)


def test_nothing_is_logged_or_printed(capfd: Any, caplog: Any) -> None:
    read_exif(b"II*\0\xff\xff\xff\xff", b"")
    read_exif(b"not exif at all", b"")
    captured = capfd.readouterr()
    assert (captured.out, captured.err, caplog.text) == ("", "", "")


def valid_block() -> bytes:
    exif = exif_with(
        main={MAKE: "Barnlight", MODEL: "B1"}, camera={ORIGINAL: NOON}, position=NULL_ISLAND
    )
    return exif.tobytes().removeprefix(b"Exif\x00\x00")


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_no_block_of_any_kind_raises(data: st.DataObject) -> None:
    block = bytearray(valid_block())
    for _ in range(data.draw(st.integers(0, 12))):
        block[data.draw(st.integers(0, len(block) - 1))] = data.draw(st.integers(0, 255))
    cut = bytes(block[: data.draw(st.integers(0, len(block)))])
    facts = read_exif(cut, cut)
    assert 1 <= facts.exif.orientation <= 8


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_after_a_header_raise(tail: bytes) -> None:
    for start in (b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08"):
        read_exif(start + tail, io.BytesIO(start + tail).getvalue())
