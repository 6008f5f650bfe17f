"""Metals by the symbols of their elements.

Source: IUPAC, periodic table of the elements; names in British spelling.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Names by symbols in small letters.
METAL_SYMBOLS: Mapping[str, str] = MappingProxyType(
    {
        "ag": "silver", "al": "aluminium", "au": "gold", "co": "cobalt", "cr": "chromium",
        "cu": "copper", "fe": "iron", "mg": "magnesium", "mn": "manganese", "mo": "molybdenum",
        "nb": "niobium", "ni": "nickel", "pb": "lead", "pd": "palladium", "pt": "platinum",
        "sn": "tin", "ta": "tantalum", "ti": "titanium", "w": "tungsten", "zn": "zinc",
        "zr": "zirconium",
    }
)  # fmt: skip
