"""The trade's words for metals, methods, states and faults, and the spellings taken for them.

Terms: common practice, no source. A word outside a list is kept as written; only a state, an
outcome, a severity, a light or an audience outside its list is pointed out, since the pages sort
by them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

METALS = (
    "copper", "brass", "gilding metal", "phosphor bronze", "silicon bronze", "cast bronze",
    "mild steel", "tinplate", "silver", "aluminium",
)  # fmt: skip
METHODS = (
    "fume", "dip", "soak", "bury", "spray", "brush", "stipple", "torch", "heat colour", "wrap",
    "weathering",
)  # fmt: skip
FORMS = ("plate blank", "bell blank", "disc", "offcut", "finished work")
TEMPERS = ("annealed", "half hard", "hard", "as cast")
SURFACES = (
    "as rolled", "mill scale", "abraded", "satin", "polished", "hammered", "planished", "blasted",
    "etched", "textured",
)  # fmt: skip
SHEENS = ("dead matt", "matt", "eggshell", "satin", "semi-gloss", "gloss")
OUTCOMES = ("success", "part success", "failure", "stripped", "lost")
CAUSES = (
    "none", "grease", "fingerprint", "too long", "too hot", "too strong", "spent",
    "damp at sealing", "wrong metal", "unknown",
)  # fmt: skip
CONDITIONS = (
    "abrasion", "accretion", "blanching", "bleeding", "blister", "bloom", "blush", "chalking",
    "corrosion", "crazing", "crust", "dulling", "efflorescence", "fingerprint", "flaking",
    "freckling", "friable", "ghosting", "halo", "lifting", "loss", "mottling", "pitting",
    "powdering", "run", "scratch", "spalling", "staining", "streak", "tarnish", "tide line",
    "weeping", "yellowing",
)  # fmt: skip
EXTENTS = ("trace", "5-25", "25-50", "over 50")
SEVERITIES = ("slight", "moderate", "severe")
MOVING = ("active", "stable")
SEALANTS = (
    "none", "microcrystalline wax", "beeswax", "acrylic lacquer", "nitrocellulose lacquer",
    "shellac", "oil varnish", "linseed and beeswax", "finish is the sealant",
)  # fmt: skip
STATES = (
    "bare", "cleaned", "during", "wet", "dry", "before seal", "after seal", "recheck", "event",
    "failure detail",
)  # fmt: skip
LIGHTS = ("plain", "cross-polarised", "raking")
SIDES = ("front", "back", "edge", "inside", "outside")
AUDIENCES = ("public", "everyone", "class", "students", "clients", "private")

#: Other spellings of words in the lists above.
SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "aluminum": "aluminium", "color": "colour", "gray": "grey",
        "sulfide": "sulphide", "sulfur": "sulphur", "polarized": "polarised", "mat": "matt",
        "half-hard": "half hard", "semigloss": "semi-gloss",
    }
)  # fmt: skip
#: Other names for one thing.
SAME_AS: Mapping[str, str] = MappingProxyType(
    {
        "xpol": "cross-polarised",
        "x-pol": "cross-polarised",
        "crosspol": "cross-polarised",
        "cross polarised": "cross-polarised",
        "rake": "raking",
        "partial success": "part success",
        "failed": "failure",
        "fail": "failure",
    }
)


def choose_word(words: tuple[str, ...]) -> Callable[[str], str]:
    """A conversion to the word of ``words`` that the text is, whatever its capitals, hyphens and
    spelling; a text that is none of them stays as written."""
    known = {_plain(word): word for word in words}
    others = {_plain(name): word for name, word in SAME_AS.items() if word in words}

    def convert(text: str) -> str:
        plain = _plain(text)
        return known.get(plain) or others.get(plain) or " ".join(text.split())

    return convert


def _plain(text: str) -> str:
    spelled = [SPELLINGS.get(word, word) for word in text.casefold().split()]
    return re.sub(r"[\s_-]+", " ", " ".join(spelled))
