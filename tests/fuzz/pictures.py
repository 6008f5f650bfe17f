"""Photographs of strangers: real ones made small, spoiled at any byte, or taken apart and put
together wrongly."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy
from PIL import Image

from tests.fuzz.spoiling import spoiled
from tests.look.icc_writing import curv, matrix_profile
from tests.look.pictures import encode, exif_with, four_corners
from tests.look.test_icc import d50_colorants

ROOT = Path(__file__).parents[2]
KINDS = ("JPEG", "PNG", "TIFF", "WebP", "HEIC")
_SHAPES = ((1, 1), (1, 3000), (3000, 1), (2, 2), (33, 17))
_LONGEST = 65_000  # bytes of a JPEG segment's body

Part = tuple[int, int, int, bytes]


@cache
def list_pictures() -> tuple[bytes, ...]:
    """Small whole pictures of every kind, some of odd shape; a real photograph made small."""
    exif = exif_with(
        main={0x0112: 6, 0x010F: "Barnlight", 0x0110: "B-1"},
        camera={0x9003: "2024:10:01 12:00:00", 0x829A: (1, 60), 0x8827: 100},
        position={1: "N", 2: (52, 30, 0)},
    )
    icc = matrix_profile(d50_colorants("Display P3"), [curv(563)] * 3)
    noise = np.random.default_rng(8).integers(0, 256, (24, 32, 3), dtype=np.uint8)
    whole = [
        encode(Image.fromarray(noise), kind, exif=exif, icc_profile=icc, xmp=b"<x:xmpmeta/>")
        for kind in KINDS
    ]
    photograph = ROOT / "samples" / "SH-014" / "SH-014_2025-04-20_recheck_front.jpg"
    with Image.open(photograph) as opened:
        small = opened.resize((160, 120))
        block = opened.info["exif"]
    real = [_save(small, "JPEG", exif=block), _save(small, "JPEG", progressive=True, exif=block)]
    odd = [encode(Image.new("RGB", size, (90, 140, 120)), "PNG") for size in _SHAPES]
    grey = Image.fromarray(noise[..., 0])
    modes = [
        _save(grey, "PNG"),
        _save(Image.fromarray(noise[..., 0].astype(np.uint16) * 257), "PNG"),
        _save(four_corners().convert("P"), "PNG", transparency=0),
        _save(four_corners().convert("RGBA"), "PNG"),
        _save(four_corners().convert("CMYK"), "JPEG"),
        _save(four_corners().convert("LAB"), "TIFF"),
        _save(Image.fromarray(noise[..., 0].astype(np.float32)), "TIFF"),
        _save(grey.convert("1"), "TIFF", compression="group4"),
        _save(four_corners(), "TIFF", compression="tiff_lzw"),
        _save(four_corners(), "TIFF", compression="jpeg"),
        _save(four_corners(), "TIFF", save_all=True, append_images=[four_corners()] * 2),
        _save(four_corners(), "PNG", save_all=True, append_images=[grey.convert("RGB")] * 3),
        _save(four_corners(), "WEBP", save_all=True, append_images=[four_corners()] * 3),
    ]
    return (*whole, *real, *odd, *modes)


def _save(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = io.BytesIO()
    image.save(stream, kind, **options)  # type: ignore[arg-type]
    return stream.getvalue()


def photographs() -> SearchStrategy[bytes]:
    pictures = list_pictures()
    words = (
        b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00", b"\xff\xd8\xff\xe1", b"Exif\x00\x00II*\x00",
        b"infe", b"\xff\xff\xff\xff", b"\x00\x00\x00\x00", b"\x7f\xff\xff\xff", b"\x80\x00\x00\x00",
        b"GPSLatitude", b"ICC_PROFILE\x00", b"acsp", b"IDAT", b"acTL",
    )  # fmt: skip
    jpegs = [data for data in pictures if data.startswith(b"\xff\xd8")]
    pngs = [data for data in pictures if data.startswith(b"\x89PNG")]
    part = st.tuples(
        st.integers(0, 4), st.integers(0, 40), st.integers(0, 255), st.binary(max_size=40)
    )
    parts = st.lists(part, min_size=1, max_size=8)
    return (
        spoiled(pictures, words)
        | st.builds(operate_on_jpeg, st.sampled_from(jpegs), parts)
        | st.builds(operate_on_png, st.sampled_from(pngs), parts)
        | st.builds(with_exif, st.sampled_from(jpegs), tiff_blocks())
    )


# --------------------------------------------------------------------------- segments and chunks


def operate_on_jpeg(data: bytes, parts: Sequence[Part]) -> bytes:
    """A JPEG whose segments are dropped, doubled, swapped, retyped or stuffed. Source: ITU-T T.81,
    annex B."""
    segments, at = [], 2
    while data[at + 1] != 0xDA:
        size = int.from_bytes(data[at + 2 : at + 4], "big")
        segments.append((data[at + 1], data[at + 4 : at + 2 + size]))
        at += 2 + size
    for kind, place, byte, body in parts:
        if not segments:
            break
        place %= len(segments)
        marker, old = segments[place]
        match kind:
            case 0:
                del segments[place]
            case 1:
                segments[place:place] = [segments[place]] * (1 + byte % 20)
            case 2:
                segments[place] = (0xC0 + byte % 64, old)
            case 3:
                names = (
                    b"Exif\x00\x00",
                    b"ICC_PROFILE\x00\x01\x01",
                    b"http://ns.adobe.com/xap/1.0/\x00",
                )
                segments.insert(place, (0xE1 + byte % 2, names[byte % 3] + body * byte))
            case _:
                segments[place] = (marker, old[: byte * len(old) // 255] + body)
    made = b"".join(
        bytes((0xFF, marker)) + (min(len(body), _LONGEST) + 2).to_bytes(2, "big") + body[:_LONGEST]
        for marker, body in segments
    )
    return data[:2] + made + data[at:]


def operate_on_png(data: bytes, parts: Sequence[Part]) -> bytes:
    """A PNG likewise, its check sums right, so that its decoder goes on. Source: ISO/IEC 15948."""
    chunks, at = [], 8
    while at + 8 <= len(data):
        size = int.from_bytes(data[at : at + 4], "big")
        chunks.append((data[at + 4 : at + 8], data[at + 8 : at + 8 + size]))
        at += 12 + size
    names = (
        b"iCCP",
        b"eXIf",
        b"zTXt",
        b"iTXt",
        b"acTL",
        b"fcTL",
        b"PLTE",
        b"tRNS",
        b"IDAT",
        b"cHRM",
    )
    for kind, place, byte, body in parts:
        if not chunks:
            break
        place %= len(chunks)
        name, old = chunks[place]
        match kind:
            case 0:
                del chunks[place]
            case 1:
                chunks[place:place] = [chunks[place]] * (1 + byte % 20)
            case 2:
                chunks[place] = (names[byte % len(names)], old)
            case 3:
                swollen = b"x\x00\x00" + zlib.compress(body * 50_000)
                chunks.insert(place, (names[byte % len(names)], swollen if byte & 1 else body))
            case _:
                spot = byte * len(old) // 256
                chunks[place] = (name, old[:spot] + body[:8] + old[spot + len(body[:8]) :])
    return data[:8] + b"".join(write_chunk(name, body) for name, body in chunks)


def write_chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


# ------------------------------------------------------------------------------------------ EXIF


def tiff_blocks() -> SearchStrategy[bytes]:
    """TIFF directories that point anywhere, into themselves too, and count anything."""
    tags = (0x010F, 0x0112, 0x8769, 0x8825, 0xA005, 0x9003, 0x829A, 0x927C, 0x0201, 0x0202, 0xC62F,
            0x014A, 0x0111, 0xA500, 0x8827)  # fmt: skip
    counts = st.sampled_from((0, 1, 2, 8, 1000, 65535, 2**31, 2**32 - 1))
    entry = st.tuples(st.sampled_from(tags), st.integers(0, 13), counts, st.integers(0, 120))
    directory = st.tuples(st.lists(entry, max_size=6), st.sampled_from((0, 8, 10, 20, 2**31)))
    return st.builds(write_directories, st.sampled_from("<>"), st.lists(directory, max_size=4))


def write_directories(
    order: str, directories: Sequence[tuple[Sequence[tuple[int, int, int, int]], int]]
) -> bytes:
    """TIFF 6.0: header, then directories one after the other, each with where the next is said
    to be."""
    block = (b"II*\x00" if order == "<" else b"MM\x00*") + struct.pack(f"{order}I", 8)
    for entries, following in directories:
        block += struct.pack(f"{order}H", len(entries))
        for tag, kind, count, value in entries:
            block += struct.pack(f"{order}HHII", tag, kind, count, value)
        block += struct.pack(f"{order}I", following)
    return block


def with_exif(jpeg: bytes, block: bytes) -> bytes:
    body = (b"Exif\x00\x00" + block)[:_LONGEST]
    return jpeg[:2] + b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body + jpeg[2:]
