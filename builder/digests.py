"""The one digest of the house: SHA-256 (FIPS 180-4), streamed so that size does not matter."""

from __future__ import annotations

import hashlib
from pathlib import Path

_BLOCK = 1 << 20


def digest_bytes(data: bytes) -> str:
    """SHA-256 of ``data`` in lower-case hexadecimal (64 characters)."""
    return hashlib.sha256(data).hexdigest()


def digest_file(path: Path) -> str:
    """SHA-256 of a file's bytes, read a block at a time. Raises ``OSError``."""
    digest = hashlib.sha256()
    with path.open("rb") as stream:
        while block := stream.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()
