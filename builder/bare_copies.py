"""A picture's own bytes without what does not show: position, serial numbers, owner, notes, the
small picture within, whatever lies behind its end. No pixel is touched.

Sources: ISO/IEC 10918-1 (segments of a JPEG file), Exif 2.32 (orientation), PNG third edition
(W3C 2025, chunks), RFC 9649 (WebP).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

_ICC, _EXIF = b"ICC_PROFILE\0", b"Exif\0\0"
_APP0, _APP1, _APP2, _APP14, _SCAN, _END = 0xE0, 0xE1, 0xE2, 0xEE, 0xDA, 0xD9
_NO_LENGTH = {0x01, *range(0xD0, 0xD8)}
_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = {
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sRGB", b"cICP",
    b"acTL", b"fcTL", b"fdAT",
}  # fmt: skip
_WEBP_DROPPED = {b"EXIF": 0x08, b"XMP ": 0x04}  # with their flag in VP8X


def bare_copy(data: bytes) -> bytes | None:
    """The picture without metadata, but for its profile and which way is up; None where it is no
    JPEG, PNG or WebP file, or a broken one."""
    try:
        if data.startswith(b"\xff\xd8"):
            return b"".join(_bare_jpeg(data))
        if data.startswith(_PNG):
            return _PNG + b"".join(_bare_png(data))
        if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
            return _bare_webp(data)
    except (IndexError, ValueError):
        pass
    return None


def _bare_jpeg(data: bytes) -> Iterator[bytes]:
    yield data[:2]
    turned = b""
    at = 2
    while True:
        while data[at] == 0xFF and data[at + 1] == 0xFF:  # padding
            at += 1
        if data[at] != 0xFF:
            raise ValueError
        marker = data[at + 1]
        if marker == _END:
            yield data[at : at + 2]
            return
        end = at + 2 if marker in _NO_LENGTH else at + 2 + _number(data, at + 2, 2)
        segment, body = data[at:end], data[at + 4 : end]
        if marker == _APP1 and body.startswith(_EXIF) and not turned:
            turned = _orientation(body[len(_EXIF) :])
            yield turned
        elif _is_kept(marker, body):
            yield segment
        if marker == _SCAN:
            after = _end_of_scan(data, end)
            yield data[end:after]
            end = after
        at = end


def _is_kept(marker: int, body: bytes) -> bool:
    if marker == _APP2:
        return body.startswith(_ICC)
    return marker in (_APP0, _APP14) or not (_APP1 <= marker <= 0xEF or marker == 0xFE)


def _end_of_scan(data: bytes, at: int) -> int:
    while True:
        at = data.index(0xFF, at)
        if data[at + 1] not in (0x00, *_NO_LENGTH):
            return at
        at += 2


def _orientation(block: bytes) -> bytes:
    """A segment with the orientation alone, b"" where there is none or it is upright."""
    order: Literal["little", "big"] = "little" if block[:2] == b"II" else "big"
    first = int.from_bytes(block[4:8], order)
    count = int.from_bytes(block[first : first + 2], order)
    for place in range(first + 2, first + 2 + 12 * min(count, 500), 12):
        if int.from_bytes(block[place : place + 2], order) == 0x0112:
            value = int.from_bytes(block[place + 8 : place + 10], order)
            if 2 <= value <= 8:
                tag = b"\x01\x12\0\3\0\0\0\1" + bytes((0, value, 0, 0))
                exif = _EXIF + b"MM\0\x2a\0\0\0\x08\0\x01" + tag + b"\0\0\0\0"
                return b"\xff\xe1" + (len(exif) + 2).to_bytes(2, "big") + exif
    return b""


def _bare_png(data: bytes) -> Iterator[bytes]:
    at = len(_PNG)
    while True:
        end = at + 12 + _number(data, at, 4)
        kind = data[at + 4 : at + 8]
        if len(kind) < 4 or end > len(data):
            raise ValueError
        if kind in _PNG_KEPT:
            yield data[at:end]
        if kind == b"IEND":
            return
        at = end


def _bare_webp(data: bytes) -> bytes:
    kept, flags, at = b"", 0, 12
    last = min(8 + int.from_bytes(data[4:8], "little"), len(data))
    while at + 8 <= last:
        kind, length = data[at : at + 4], int.from_bytes(data[at + 4 : at + 8], "little")
        end = at + 8 + length + length % 2
        if kind in _WEBP_DROPPED:
            flags |= _WEBP_DROPPED[kind]
        else:
            kept += data[at:end]
        at = end
    if kept[:4] == b"VP8X":
        kept = kept[:8] + bytes((kept[8] & ~flags,)) + kept[9:]
    return b"RIFF" + (len(kept) + 4).to_bytes(4, "little") + b"WEBP" + kept


def _number(data: bytes, at: int, size: int) -> int:
    if at + size > len(data):
        raise ValueError
    return int.from_bytes(data[at : at + size], "big")
