"""The patches of a card as each came to when left out of the fit, packed into a short text."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np

from builder.measure.arrays import Floats
from builder.records.photo import Lab

_KIND = np.dtype("<f8")


def pack_left_out(names: Sequence[str], labs: Floats) -> str:
    """The ``names`` of patches, none with a space in it, and their L*a*b* (n, 3), to the last bit;
    "" for none."""
    if not len(labs):
        return ""
    packed = np.ascontiguousarray(labs, dtype=_KIND).tobytes()
    return " ".join((*names, base64.b85encode(packed).decode("ascii")))


@lru_cache(maxsize=2**8)  # a photograph is held against several others
def read_left_out(text: str) -> Mapping[str, Lab]:
    """L*a*b* by the name of its patch. Raises ValueError where the text is broken."""
    if not text:
        return {}
    *names, packed = text.split(" ")
    try:
        labs = np.frombuffer(base64.b85decode(packed), dtype=_KIND).reshape(len(names), 3)
    except binascii.Error as error:
        raise ValueError(f"the text of the patches is broken: {error}") from error
    return dict(zip(names, map(_as_lab, labs.tolist()), strict=True))


def _as_lab(values: list[float]) -> Lab:
    L, a, b = values
    return L, a, b
