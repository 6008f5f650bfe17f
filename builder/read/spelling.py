"""Keys as makers spell them, to the keys of the vocabulary."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

#: Other spellings and short forms of keys. Each means one thing wherever it may stand.
KEY_SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "color_words": "colour_words",
        "colors": "colour_words",
        "colours": "colour_words",
        "colour": "colour_words",
        "color": "colour_words",
        "temperature": "temperature_c",
        "temp": "temperature_c",
        "temp_c": "temperature_c",
        "humidity": "humidity_pct",
        "rh": "humidity_pct",
        "coverage": "coverage_pct",
        "size": "size_mm",
        "liters": "litres",
        "above": "above_mm",
        "buffed_after": "buffed_after_min",
        "sealer": "sealant",
        "sealing": "sealant",
        "drying": "dry",
        "curing": "cure",
        "finish_date": "finished",
        "start": "started",
        "number": "piece",
        "id": "piece",
        "note": "notes",
        "photographs": "photos",
        "shared": "share",
        "shares": "share",
        "sharing": "share",
    }
)


def spell_key(key: str) -> str:
    """The usual spelling of ``key``: small letters, ``_`` for spaces and hyphens, British."""
    plain = re.sub(r"[\s-]+", "_", key.strip().casefold())
    return KEY_SPELLINGS.get(plain, plain)
