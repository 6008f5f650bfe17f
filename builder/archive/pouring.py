"""Bytes from one place to another, digested on the way: each file is read once."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import IO

_BLOCK = 1 << 20


@dataclass(frozen=True)
class Poured:
    """How many bytes there were, and their digests by algorithm, in lower-case hexadecimal."""

    bytes: int
    digests: Mapping[str, str]


def pour(
    stream: IO[bytes],
    algorithms: Iterable[str],
    into: Callable[[bytes], object] = lambda block: None,
) -> Poured:
    """Everything of ``stream`` handed ``into``, a block at a time. Raises ``OSError``."""
    running = {name: hashlib.new(name) for name in algorithms}
    count = 0
    while block := stream.read(_BLOCK):
        count += len(block)
        for digest in running.values():
            digest.update(block)
        into(block)
    return Poured(count, {name: digest.hexdigest() for name, digest in running.items()})
