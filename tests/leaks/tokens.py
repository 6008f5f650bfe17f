"""Marks that are found again in any bytes, however they were written there."""

from __future__ import annotations

import base64
import binascii
import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field

_TOKEN = re.compile(rb"zq\d{3}x")
_CODED = re.compile(rb"[A-Za-z0-9+/_-]{8,}")
_ZIP, _GZIP = b"PK\x03\x04", b"\x1f\x8b"
_URL_SAFE = bytes.maketrans(b"-_", b"+/")


@dataclass
class Tokens:
    """Hands out marks, each for one place: (piece, path of the field) or (door, what)."""

    places: dict[str, tuple[str, str]] = field(default_factory=dict)

    def core(self, owner: str, path: str) -> str:
        """A mark of small letters and figures, which no way of writing text changes."""
        token = f"zq{len(self.places):03d}x"
        self.places[token] = (owner, path)
        return token

    def text(self, owner: str, path: str) -> str:
        """A mark among signs that HTML, JSON and addresses each write otherwise."""
        return f"Z{self.core(owner, path)[1:].upper()} & <b>ü</b> 'm'"

    def of(self, path: str, owner: str | None = None) -> set[str]:
        """The marks of a field."""
        return {
            token
            for token, (who, where) in self.places.items()
            if where == path and owner in (None, who)
        }


def find_tokens(data: bytes) -> set[str]:
    """The marks in ``data``: in any capitals, in base64 of any alignment, in archives."""
    found = {match.decode() for text in _unfold(data) for match in _TOKEN.findall(text)}
    for archived in _open_archive(data):
        found |= find_tokens(archived)
    return found


def _unfold(data: bytes) -> Iterator[bytes]:
    yield data.lower()
    yield data.replace(b"\0", b"").lower()  # UTF-16, as some metadata is written
    for run in _CODED.findall(data):
        plain = run.translate(_URL_SAFE)
        for start in range(4):
            part = plain[start:]
            try:
                yield base64.b64decode(part[: len(part) // 4 * 4]).lower()
            except binascii.Error:
                continue


def _open_archive(data: bytes) -> Iterator[bytes]:
    if data.startswith(_ZIP):
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            for name in archive.namelist():
                yield name.encode()
                yield archive.read(name)
    elif data.startswith(_GZIP):
        yield zlib.decompress(data, wbits=31)
