"""Which kind of picture a file is, told by its first bytes and never by its name.

Sources of the signatures: JPEG, ITU-T T.81; PNG, ISO/IEC 15948; TIFF 6.0; WebP, RFC 9649; HEIF,
ISO/IEC 23008-12 (its brands); the refused kinds ``from memory``.
"""

from __future__ import annotations

from pathlib import PurePosixPath

#: The endings each kind is commonly given. Common practice, no source.
ENDINGS: dict[str, tuple[str, ...]] = {
    "JPEG": (".jpg", ".jpeg", ".jpe", ".jfif"),
    "PNG": (".png",),
    "TIFF": (".tif", ".tiff"),
    "WebP": (".webp",),
    "HEIC": (".heic", ".heif", ".hif"),
}

_HEVC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
_REFUSED = (
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"%PDF", "a PDF document"),
    (b"8BPS", "an image editor's layered file"),
    (b"PK\x03\x04", "a ZIP archive"),
)
_SHOWN_AS_TEXT = 512


def tell_format(data: bytes) -> str | None:
    """``JPEG``, ``PNG``, ``TIFF``, ``WebP`` or ``HEIC``; None for anything else."""
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data[:4] in (b"II*\x00", b"MM\x00*"):
        return "TIFF"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WebP"
    if data[4:8] == b"ftyp" and data[8:12] in _HEVC_BRANDS:
        return "HEIC"
    return None


def describe_stranger(data: bytes) -> str:
    """In words, what a file is that :func:`tell_format` does not know."""
    for signature, words in _REFUSED:
        if data.startswith(signature):
            return words
    if data[4:12] in (b"ftypavif", b"ftypavis"):
        return "an AVIF picture"
    if data[4:8] == b"ftyp":
        return "a film or a picture in a film's container"
    try:
        start = data[:_SHOWN_AS_TEXT].decode("utf-8", errors="strict")
    except UnicodeDecodeError:
        return "in no picture format that is known here"
    if all(character.isprintable() or character in "\r\n\t\f" for character in start):
        return "text, not a picture"
    return "in no picture format that is known here"


def fits_ending(path: str, kind: str) -> bool:
    """Whether the file name's ending is one of its kind's."""
    return PurePosixPath(path).suffix.lower() in ENDINGS[kind]


def declared_webp_size(data: bytes) -> tuple[int, int]:
    """Width and height a WebP file declares, before any decoder sets memory aside for them.

    (0, 0) where the header is none. Source: RFC 9649, section 2.
    """
    chunk, body = data[12:16], data[20:30]
    if len(body) < 10:
        return 0, 0
    if chunk == b"VP8X":
        return (
            1 + int.from_bytes(body[4:7], "little"),
            1 + int.from_bytes(body[7:10], "little"),
        )
    if chunk == b"VP8L":
        bits = int.from_bytes(body[1:5], "little")
        return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
    if chunk == b"VP8 ":
        return (
            int.from_bytes(body[6:8], "little") & 0x3FFF,
            int.from_bytes(body[8:10], "little") & 0x3FFF,
        )
    return 0, 0
