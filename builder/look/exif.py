"""The facts a camera wrote beside its picture: EXIF, read by exifread.

What tells a home or a person (position, serial numbers, owner's name) is noted as present and not
kept. Source of the tags: Exif 2.32 (CIPA DC-008).
"""

from __future__ import annotations

import datetime as dt
import io
import logging
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import exifread

from builder.look.exif_doors import FURTHER, THUMBNAIL, find_doors
from builder.records.photo import Exif

# exifread tells its own log of every oddity in a file; what matters of it is said in notes.
logging.getLogger("exifread").setLevel(logging.CRITICAL + 1)

#: One reading of EXIF takes some hundred small reads; a hostile block that points into itself
#: would take millions.
MOST_READS = 20_000
#: Bytes in all: sixty thousand tags that each claim the whole file would read it as often.
MOST_READ_BYTES = 50_000_000
#: EXIF blocks looked through for a position, the thumbnail's own and those of hidden pictures.
MOST_BLOCKS = 16
DAMAGED = "the camera's facts (EXIF) are damaged and were not read"
_LONGEST_WORDS = 80
_FURTHEST_OFFSET = 14 * 60  # minutes; the widest civil time zone, IANA tz database

_BLOCK_STARTS = (b"Exif\x00\x00II*\x00", b"Exif\x00\x00MM\x00*")
_BLOCK_TOLD = 64  # bytes by which a block is known again
_POSITION_TAGS = tuple(
    f"GPS GPS{word}" for word in ("Latitude", "Longitude", "DestLatitude", "DestLongitude")
)
_DATE = re.compile(
    r"(\d{4})[:\-/.](\d{2})[:\-/.](\d{2})[ T](\d{2}):(\d{2})(?::(\d{2}))?(?:[.,]\d+)?\s*\Z"
)
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})\Z")


@dataclass(frozen=True)
class CameraFacts:
    """``exif`` as it is kept; ``adobe_rgb`` whether the camera says so outside any profile (DCF 2.0
    optional colour space); ``notes`` plain sentences about what could not be read."""

    exif: Exif
    adobe_rgb: bool = False
    notes: tuple[str, ...] = ()


class _TooManyReadsError(Exception):
    pass


class _CountedBytes(io.BytesIO):
    """Bytes that can be read so many times, and so many of them, and no more."""

    def __init__(self, data: bytes) -> None:
        super().__init__(data)
        self._reads, self._bytes = MOST_READS, MOST_READ_BYTES

    def read(self, size: int | None = -1, /) -> bytes:
        self._reads -= 1
        if self._reads < 0 or self._bytes < 0:
            raise _TooManyReadsError
        data = super().read(size)
        self._bytes -= len(data)
        return data


def read_exif(block: bytes, whole: bytes, xmp: bytes = b"") -> CameraFacts:
    """The camera's facts. ``block`` is the EXIF block from its TIFF header on, ``whole`` the file,
    ``xmp`` its XMP packet as decoded (it may be compressed in the file). Never raises."""
    tags, notes = _read_tags(block)
    taken, offset, date_notes = _time_of(tags)
    doors = find_doors(tags, block, whole, xmp, _find_further(block, whole))
    exif = Exif(
        taken=taken,
        offset=offset,
        make=_words(tags, "Image Make"),
        model=_words(tags, "Image Model"),
        lens=_words(tags, "EXIF LensModel"),
        exposure=_words(tags, "EXIF ExposureTime"),
        aperture=_decimal(tags, "EXIF FNumber"),
        iso=_first(tags, "EXIF ISOSpeedRatings"),
        white_balance=_words(tags, "EXIF WhiteBalance").lower(),
        orientation=_orientation(tags),
        position_in=doors.position_in,
        has_serial=doors.has_serial,
        has_owner=doors.has_owner,
        has_makers_note=doors.has_makers_note,
    )
    return CameraFacts(exif, _says_adobe_rgb(tags), notes + date_notes)


def _read_tags(block: bytes) -> tuple[Mapping[str, Any], tuple[str, ...]]:
    if not block:
        return {}, ()
    try:
        tags = exifread.process_file(_CountedBytes(block), details=False, extract_thumbnail=False)
    except Exception:  # a stranger's block can break its reader in any way
        tags = {}
    return tags, () if tags else (DAMAGED,)


def _time_of(tags: Mapping[str, Any]) -> tuple[dt.datetime | None, int | None, tuple[str, ...]]:
    """Original time, else the time of digitising; never the time of the last change."""
    notes: tuple[str, ...] = ()
    for which in ("Original", "Digitized"):
        written = _words(tags, f"EXIF DateTime{which}")
        if not written.strip(" :0"):
            continue  # blank-filled or zero-filled means not known
        taken = _parse_date(written)
        if taken is None:
            notes += (f"the camera's time cannot be read as a date: “{written}”",)
            continue
        return taken, _parse_offset(_words(tags, f"EXIF OffsetTime{which}")), notes
    return None, None, notes


def _parse_date(written: str) -> dt.datetime | None:
    match = _DATE.match(written)
    if not match:
        return None
    year, month, day, hour, minute, second = (int(part or 0) for part in match.groups())
    try:
        return dt.datetime(year, month, day, hour, minute, second)
    except ValueError:
        return None


def _parse_offset(written: str) -> int | None:
    match = _OFFSET.match(written.strip())
    if not match:
        return None
    minutes = int(match[2]) * 60 + int(match[3])
    if minutes > _FURTHEST_OFFSET:
        return None
    return -minutes if match[1] == "-" else minutes


def _words(tags: Mapping[str, Any], name: str) -> str:
    tag = tags.get(name)
    if tag is None:
        return ""
    values = tag.values
    text = values if isinstance(values, str) else str(tag.printable)
    if isinstance(values, bytes):
        text = values.decode("latin-1")
    kept = "".join(character for character in text if character.isprintable())
    return kept.strip()[:_LONGEST_WORDS]


def _value(tags: Mapping[str, Any], name: str) -> Any:
    values = getattr(tags.get(name), "values", None)
    return values[0] if isinstance(values, list) and values else None


def _first(tags: Mapping[str, Any], name: str) -> str:
    value = _value(tags, name)
    return "" if value is None else str(value)[:_LONGEST_WORDS]


def _decimal(tags: Mapping[str, Any], name: str) -> str:
    value = _value(tags, name)
    try:
        return "" if value is None else f"{float(value):.3g}"
    except (TypeError, ValueError, ArithmeticError):
        return ""


def _orientation(tags: Mapping[str, Any]) -> int:
    value = _value(tags, "Image Orientation")
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _says_adobe_rgb(tags: Mapping[str, Any]) -> bool:
    """Interoperability index R03 is the optional colour space of DCF 2.0, Adobe RGB (1998)."""
    index = " ".join(_words(tags, name) for name in tags if name.endswith("InteroperabilityIndex"))
    return "R03" in index and _value(tags, "EXIF ColorSpace") != 1


def _find_further(block: bytes, whole: bytes) -> tuple[str, ...]:
    """Where in the file, besides its first EXIF block, an EXIF block with a position stands."""
    found = {
        THUMBNAIL if further[:_BLOCK_TOLD] in block else FURTHER
        for further in _further_blocks(whole, block)
        if any(name in _read_tags(further)[0] for name in _POSITION_TAGS)
    }
    return tuple(sorted(found))


def _further_blocks(whole: bytes, first: bytes) -> Iterator[bytes]:
    found = 0
    for start in _BLOCK_STARTS:
        at = whole.find(start)
        while at >= 0 and found < MOST_BLOCKS:
            found += 1
            # 64 KiB is the most a JPEG segment can hold (ITU-T T.81, B.1.1.4).
            if not first or not whole.startswith(first, at + 6):
                yield whole[at + 6 : at + 6 + 65536]
            at = whole.find(start, at + 1)
