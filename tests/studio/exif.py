"""EXIF written by hand, so that a picture can carry exactly the tags a fault needs.

Source of tags and types: Exif 2.32 (CIPA DC-008), TIFF 6.0.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass

from PIL import Image

from tests.studio.camera import Pixels
from tests.studio.diary import Shot

ASCII, SHORT, LONG, RATIONAL, UNDEFINED, BYTE = 2, 3, 4, 5, 7, 1
_WIDTHS = {ASCII: 1, SHORT: 2, LONG: 4, RATIONAL: 8, UNDEFINED: 1, BYTE: 1}
_EXIF_POINTER, _GPS_POINTER, _THUMB_AT, _THUMB_LENGTH = 0x8769, 0x8825, 0x0201, 0x0202


@dataclass(frozen=True)
class Tag:
    number: int
    kind: int
    value: bytes

    @property
    def count(self) -> int:
        return len(self.value) // _WIDTHS[self.kind]


def words(number: int, text: str) -> Tag:
    return Tag(number, ASCII, text.encode("ascii") + b"\0")


def short(number: int, value: int) -> Tag:
    return Tag(number, SHORT, struct.pack("<H", value))


def long(number: int, value: int) -> Tag:
    return Tag(number, LONG, struct.pack("<L", value))


def rational(number: int, *values: tuple[int, int]) -> Tag:
    return Tag(number, RATIONAL, b"".join(struct.pack("<LL", *value) for value in values))


def _directory(tags: list[Tag], start: int, following: int = 0) -> bytes:
    """One IFD placed at ``start``, with its long values behind it; ``following`` is the offset of
    the next IFD."""
    ordered = sorted(tags, key=lambda tag: tag.number)
    data_at = start + 2 + 12 * len(ordered) + 4
    head, data = struct.pack("<H", len(ordered)), b""
    for tag in ordered:
        value = tag.value
        if len(value) > 4:
            field = struct.pack("<L", data_at + len(data))
            data += value + b"\0" * (len(value) % 2)
        else:
            field = value.ljust(4, b"\0")
        head += struct.pack("<HHL", tag.number, tag.kind, tag.count) + field
    return head + struct.pack("<L", following) + data


def assemble(
    main: list[Tag], camera: list[Tag], position: list[Tag], thumbnail: bytes = b""
) -> bytes:
    """The EXIF block, beginning ``Exif\\0\\0``."""
    pointers = [long(_EXIF_POINTER, 0)] + ([long(_GPS_POINTER, 0)] if position else [])
    camera_at = 8 + len(_directory(main + pointers, 8))
    position_at = camera_at + len(_directory(camera, camera_at))
    thumb_at = position_at + (len(_directory(position, position_at)) if position else 0)
    pointers = [long(_EXIF_POINTER, camera_at)]
    if position:
        pointers.append(long(_GPS_POINTER, position_at))
    body = _directory(main + pointers, 8, thumb_at if thumbnail else 0)
    body += _directory(camera, camera_at)
    if position:
        body += _directory(position, position_at)
    if thumbnail:
        tags = [short(0x0103, 6), long(_THUMB_AT, 0), long(_THUMB_LENGTH, len(thumbnail))]
        data_at = thumb_at + len(_directory(tags, thumb_at))
        tags[1] = long(_THUMB_AT, data_at)
        body += _directory(tags, thumb_at) + thumbnail
    return b"Exif\0\0" + struct.pack("<2sHL", b"II", 42, 8) + body


def null_island() -> list[Tag]:
    """A made-up position, 0\N{DEGREE SIGN} N 0\N{DEGREE SIGN} E."""
    zero = ((0, 1), (0, 1), (0, 1))
    return [
        Tag(0, BYTE, bytes((2, 3, 0, 0))), words(1, "N"), rational(2, *zero),
        words(3, "E"), rational(4, *zero),
    ]  # fmt: skip


def describe(
    shot: Shot,
    orientation: int = 1,
    wide: bool = False,
    position: bool = False,
    thumbnail: bytes = b"",
) -> bytes:
    """The EXIF of a shot: when, with what, how."""
    taken = shot.taken.strftime("%Y:%m:%d %H:%M:%S")
    hours, minutes = divmod(shot.offset_minutes, 60)
    offset = f"+{hours:02d}:{minutes:02d}"
    first = shot.camera == "B1"
    main = [
        words(0x010F, "Barnlight"), words(0x0110, shot.camera), short(0x0112, orientation),
        rational(0x011A, (72, 1)), rational(0x011B, (72, 1)), short(0x0128, 2),
        words(0x0132, taken),
    ]  # fmt: skip
    camera = [
        rational(0x829A, (1, 60 if first else 50)), rational(0x829D, (18 if first else 17, 10)),
        short(0x8827, 80 if first else 64), Tag(0x9000, UNDEFINED, b"0232"),
        words(0x9003, taken), words(0x9004, taken), words(0x9010, offset), words(0x9011, offset),
        rational(0x920A, (42 if first else 57, 10)), short(0xA001, 0xFFFF if wide else 1),
        long(0xA002, 1600), long(0xA003, 1200), short(0xA402, 1), short(0xA403, 1),
        words(0xA431, f"{shot.camera}-000417"), words(0xA434, f"Barnlight {shot.camera} 26 mm"),
    ]  # fmt: skip
    return assemble(main, camera, null_island() if position else [], thumbnail)


def thumbnail_with_position(pixels: Pixels) -> bytes:
    """A small JPEG that carries a position of its own, as some apps leave behind."""
    small = Image.fromarray(pixels).resize((160, 120), Image.Resampling.BOX)
    held = io.BytesIO()
    block = assemble([words(0x010F, "Barnlight")], [short(0xA001, 1)], null_island())
    small.save(held, "JPEG", quality=60, subsampling=2, exif=block)
    return held.getvalue()
