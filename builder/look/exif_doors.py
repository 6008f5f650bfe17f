"""What beside a picture tells a home or a person: where a position stands, and whether there are
serial numbers and owner's names. Only that they are there is said; none of it is kept.

Source of the tags: Exif 2.32 (CIPA DC-008), IPTC-IIM 4.2; of the words in XMP: XMP Specification
Part 2, Exif 2.32 metadata for XMP (CIPA DC-010).
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

EXIF, THUMBNAIL, FURTHER = "EXIF", "thumbnail", "a further picture in the file"
XMP, IPTC, MAKERS_NOTE = "XMP", "IPTC", "maker’s note"

_GPS, _CAMERA, _MAKERS_NOTE = 0x8825, 0x8769, 0x927C
_PLACES = frozenset({2, 4, 0x14, 0x16})  # latitude and longitude, of the camera and of its aim
_MOST_DIRECTORIES, _MOST_ENTRIES = 8, 512  # cameras write two of them, and some fifty
_MOST_NOTE = 1_000_000  # bytes of a maker's note that are looked through

_XMP_PLACES = (
    b"GPSLatitude", b"GPSLongitude", b"GPSDestLatitude", b"GPSDestLongitude", b"photoshop:City",
    b"Iptc4xmpCore:Location",
)  # fmt: skip
_XMP_SERIALS = (b"SerialNumber",)  # aux: and exifEX:, of camera and lens
_XMP_OWNERS = (b"OwnerName", b"dc:creator", b"tiff:Artist")
_IPTC_BLOCK, _IPTC_MOST = b"Photoshop 3.0\x00", 65_536
_IPTC_PLACES = (b"\x1c\x02\x5a", b"\x1c\x02\x5c")  # city, place in it
_IPTC_OWNER = b"\x1c\x02\x50"  # by-line
_SERIAL_TAGS = ("BodySerialNumber", "LensSerialNumber", "Tag 0xC62F")  # the last of DNG 1.4
_OWNER_TAGS = ("CameraOwnerName", "Image Artist", "Image Copyright", "Image XPAuthor")
#: How a position may stand in a maker's note, whose form is nobody's standard: NMEA 0183, ISO 6709,
#: two decimal fractions, degrees and minutes.
_NOTED_PLACE = re.compile(
    rb"\$G[NPL](?:GGA|RMC|GLL),|[+-]\d{2,6}\.\d{2,}[+-]\d{3,7}\.\d{2,}"
    rb"|\d{1,3}\.\d{4,12}[,; ]{1,3}-?\d{1,3}\.\d{4,12}|\d{1,3}(?:\xc2?\xb0| ?deg) ?\d{1,2}"
    rb"|GPSLatitude|GPSLongitude"
)
_NOTED_SERIAL = re.compile(rb"serial ?n", re.IGNORECASE)


@dataclass(frozen=True)
class Doors:
    """``position_in``: where a position stands, in words; the rest is whether there is any."""

    position_in: tuple[str, ...] = ()
    has_serial: bool = False
    has_owner: bool = False
    has_makers_note: bool = False


def find_doors(
    tags: Mapping[str, Any], block: bytes, whole: bytes, xmp: bytes, further: tuple[str, ...]
) -> Doors:
    """``tags`` as exifread names them, of the EXIF ``block`` of the file ``whole``; ``xmp`` its
    packet as decoded; ``further``: where in further EXIF blocks a position was found. Never
    raises."""
    directories = tuple(_list_directories(block))
    note = _find_note(block, directories[:1])
    iptc = _find_iptc(whole)
    places = {
        EXIF: any(_tells_place(block, one) for one in directories[:1]),
        THUMBNAIL: any(_tells_place(block, one) for one in directories[1:]) or THUMBNAIL in further,
        FURTHER: FURTHER in further,
        XMP: _has_words(_XMP_PLACES, whole, xmp, note),
        IPTC: any(mark in iptc for mark in _IPTC_PLACES),
        MAKERS_NOTE: _NOTED_PLACE.search(note) is not None,
    }
    return Doors(
        tuple(where for where, there in places.items() if there),
        any(_is_filled(tags[name]) for name in tags if name.endswith(_SERIAL_TAGS))
        or _has_words(_XMP_SERIALS, whole, xmp)
        or _NOTED_SERIAL.search(note) is not None,
        any(_is_filled(tags[name]) for name in tags if name.endswith(_OWNER_TAGS))
        or _has_words(_XMP_OWNERS, whole, xmp)
        or _IPTC_OWNER in iptc,
        bool(note.strip()),
    )


def _is_filled(tag: Any) -> bool:
    return bool(str(tag.printable).strip(" 0[],"))


def _has_words(words: tuple[bytes, ...], whole: bytes, xmp: bytes, note: bytes = b"") -> bool:
    """Whether any stands in the packet, or in the file outside the maker's note."""
    return any(word in xmp or whole.count(word) > note.count(word) for word in words)


def _find_iptc(whole: bytes) -> bytes:
    at = whole.find(_IPTC_BLOCK)
    return whole[at : at + _IPTC_MOST] if at >= 0 else b""


def _tells_place(block: bytes, directory: Mapping[int, int]) -> bool:
    return _GPS in directory and not _PLACES.isdisjoint(_read_directory(block, directory[_GPS])[0])


def _find_note(block: bytes, main: tuple[Mapping[int, int], ...]) -> bytes:
    """The maker's note, without the noughts that two-byte letters have."""
    for directory in main:
        if _CAMERA not in directory:
            continue
        at = _find_entry(block, directory[_CAMERA], _MAKERS_NOTE)
        if at is not None:
            size, offset = at
            return block[offset : offset + min(size, _MOST_NOTE)].replace(b"\0", b"")
    return b""


def _find_entry(block: bytes, directory: int, wanted: int) -> tuple[int, int] | None:
    """Count and value of an entry."""
    order = _order_of(block)
    for number in range(_MOST_ENTRIES):
        start = directory + 2 + 12 * number
        if len(block) < start + 12:
            return None
        tag, _, size, value = struct.unpack_from(order + "HHII", block, start)
        if tag == wanted:
            return (size, value) if size > 4 else (size, start + 8)
    return None


def _list_directories(block: bytes) -> Iterator[Mapping[int, int]]:
    """The directories of a block one after the other, the picture's own first: values by tag."""
    if block[:4] not in (b"II*\0", b"MM\0*") or len(block) < 8:
        return
    (at,) = struct.unpack_from(_order_of(block) + "I", block, 4)
    for _ in range(_MOST_DIRECTORIES):
        if not at:
            return
        directory, at = _read_directory(block, at)
        yield directory


def _read_directory(block: bytes, at: int) -> tuple[Mapping[int, int], int]:
    """Values (or where they stand) by tag, and where the next directory begins, 0 for none."""
    order = _order_of(block)
    if len(block) < at + 2:
        return {}, 0
    (count,) = struct.unpack_from(order + "H", block, at)
    end = at + 2 + 12 * count
    if count > _MOST_ENTRIES or len(block) < end:
        return {}, 0
    entries = struct.iter_unpack(order + "HHII", block[at + 2 : end])
    directory = {tag: value for tag, _, _, value in entries}
    following = struct.unpack_from(order + "I", block, end)[0] if len(block) >= end + 4 else 0
    return directory, following


def _order_of(block: bytes) -> str:
    return "<" if block.startswith(b"II") else ">"
