"""A photograph with something behind every door that metadata have: EXIF with position, serial
numbers, owner, maker's notes and a thumbnail of its own, XMP, IPTC and a comment.

Tags: Exif 2.32 (CIPA DC-008); segments: ISO/IEC 10918-1, XMP part 3, IPTC-IIM 4.2.
"""

from __future__ import annotations

import io
from datetime import datetime

import segno
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from tests.leaks.tokens import Tokens

#: Degrees, minutes and a second that nothing else here has.
LATITUDE, LONGITUDE = (51, 23, 17.73), (11, 37, 43.91)
_WORDS = {
    "ImageDescription": 0x010E, "Make": 0x010F, "Model": 0x0110, "Software": 0x0131,
    "Artist": 0x013B, "HostComputer": 0x013C, "Copyright": 0x8298, "XPTitle": 0x9C9B,
    "XPComment": 0x9C9C, "XPAuthor": 0x9C9D, "XPKeywords": 0x9C9E,
}  # fmt: skip
_CAMERA_WORDS = {
    "MakerNote": 0x927C, "UserComment": 0x9286, "ImageUniqueID": 0xA420, "CameraOwnerName": 0xA430,
    "BodySerialNumber": 0xA431, "LensMake": 0xA433, "LensModel": 0xA434, "LensSerialNumber": 0xA435,
}  # fmt: skip
_BYTES = {"MakerNote", "UserComment", "XPTitle", "XPComment", "XPAuthor", "XPKeywords"}


def open_every_door(jpeg: bytes, taken: datetime, owner: str, tokens: Tokens) -> bytes:
    """The same picture with a mark behind each door; ``owner`` is whose marks they are."""
    exif = Image.Exif()
    for name, tag in _WORDS.items():
        exif[tag] = _write(name, tokens.core(owner, name))
    camera = {tag: _write(name, tokens.core(owner, name)) for name, tag in _CAMERA_WORDS.items()}
    exif[0x8769] = {**camera, 0x9003: f"{taken:%Y:%m:%d %H:%M:%S}"}
    exif[0x8825] = {
        1: "N", 2: tuple(map(IFDRational, LATITUDE)), 3: "E", 4: tuple(map(IFDRational, LONGITUDE)),
        0x1B: tokens.core(owner, "GPSProcessingMethod").encode(),
        0x1C: tokens.core(owner, "GPSAreaInformation").encode(),
    }  # fmt: skip
    xmp = (
        "<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF "
        "xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description "
        "xmlns:exif='http://ns.adobe.com/exif/1.0/' exif:GPSLatitude='51,23.2955N' "
        f"xmlns:aux='http://ns.adobe.com/exif/1.0/aux/' aux:OwnerName='{tokens.core(owner, 'XMP')}'"
        "/></rdf:RDF></x:xmpmeta>"
    )
    segments = (
        (0xE1, exif.tobytes() + _thumbnail(tokens.core(owner, "thumbnail"))),
        (0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp.encode()),
        (0xED, _iptc(tokens.core(owner, "IPTC"))),
        (0xFE, tokens.core(owner, "comment").encode()),
    )
    return b"\xff\xd8" + b"".join(map(_segment, segments)) + _without_metadata(jpeg)


def lay_code(jpeg: bytes, text: str) -> bytes:
    """The same picture with a QR code on the white paper between piece and card."""
    code = io.BytesIO()
    segno.make_qr(text).save(code, kind="png", scale=4, border=2)
    held = io.BytesIO()
    with Image.open(io.BytesIO(jpeg)) as picture, Image.open(code) as mark:
        laid = picture.convert("RGB")
        laid.paste(mark.convert("RGB"), (834, 800))
        laid.save(held, "JPEG", quality=92)
    return held.getvalue()


def _write(name: str, token: str) -> str | bytes:
    return (
        token.encode("utf-16-le" if name.startswith("XP") else "ascii") if name in _BYTES else token
    )


def _thumbnail(token: str) -> bytes:
    """A picture behind the block, as some cameras leave one, with a comment of its own."""
    held = io.BytesIO()
    Image.new("RGB", (16, 16), (90, 90, 90)).save(held, "JPEG", comment=token.encode())
    return held.getvalue()


def _iptc(token: str) -> bytes:
    record = b"\x1c\x02\x50" + len(token).to_bytes(2, "big") + token.encode()
    return b"Photoshop 3.0\x008BIM\x04\x04\0\0" + len(record).to_bytes(4, "big") + record


def _segment(segment: tuple[int, bytes]) -> bytes:
    marker, data = segment
    return bytes((0xFF, marker)) + (len(data) + 2).to_bytes(2, "big") + data


def _without_metadata(jpeg: bytes) -> bytes:
    """All behind the start of a picture, but for its own EXIF."""
    at, kept = 2, b""
    while jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        end = at + 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
        kept += b"" if jpeg[at + 1] == 0xE1 else jpeg[at:end]
        at = end
    return kept + jpeg[at:]
