"""How a finish is looked after, by what lies over it. Common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_ALWAYS = "Dust it with a soft dry cloth or brush. No metal polish, no scouring, no solvents."
_WAX = "Indoors, renew the wax once a year: a thin coat, left to dry, buffed with a soft cloth."
_LACQUER = (
    "Wipe it with a soft, barely damp cloth and never scrub: where the lacquer is scratched the "
    "metal goes on changing under it, in spots.",
    "Lacquer is not mended in places: a worn one is taken off and laid anew by the workshop.",
)

#: Sentences by the kind of sealant, in the guide's words; "" for one that is not told.
CARE: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "none": (
            "Nothing lies over the colour: it is left alone, or it goes on changing.",
            "Dust it with a soft dry brush; keep it dry. Fingers leave marks that stay, and polish "
            "takes the colour off.",
        ),
        "microcrystalline wax": (_ALWAYS, _WAX),
        "beeswax": (_ALWAYS, _WAX, "Beeswax softens where it is warm: no radiator, no full sun."),
        "acrylic lacquer": _LACQUER,
        "nitrocellulose lacquer": (
            *_LACQUER,
            "Keep it out of full sun, which yellows this lacquer.",
        ),
        "shellac": (
            "Dust it with a soft dry cloth. Water and hot cups leave white marks, and alcohol "
            "dissolves it.",
            "Keep it indoors; a worn coat is renewed by the workshop.",
        ),
        "oil varnish": (
            "Wipe it with a soft, barely damp cloth; no scouring, no solvents.",
            "It yellows a little over the years; a worn coat is renewed by the workshop.",
        ),
        "linseed and beeswax": (
            _ALWAYS,
            "Indoors, rub in a thin coat once a year and wipe off what stays wet. Spread the rag "
            "out to dry in the open: in a heap it can catch fire by itself.",
        ),
        "finish is the sealant": (
            "The finish is its own seal: dust it with a soft dry cloth, and keep it dry.",
            "No polish and no solvents; ask before anything is put over it.",
        ),
        "": (_ALWAYS, "Ask the workshop before anything is put over it."),
    }
)


def say_care(sealant: str) -> tuple[str, ...]:
    """How to look after a finish under ``sealant``; in general for one that is not in the list."""
    return CARE.get(sealant, CARE[""])
