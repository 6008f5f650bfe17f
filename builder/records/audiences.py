"""Who is shown what: a rule for every field of a sidecar, for what else a library holds, and for
every page.

A field without a rule here is a fault that the tests find. Whom a rule names sees the field, and so
do all who see more: clients see least, then students; private sees everything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from types import MappingProxyType

from builder.records.facts import Known

KEPT_PRIVATE = str(Known.WITHHELD)


class Rule(StrEnum):
    """The first who is shown something; ``READ`` and ``AGE`` say in what shape clients are."""

    CLIENTS = "clients"
    READ = "clients, a known word or a number"  # never the maker's own words
    AGE = "clients, as an age"  # never the day
    STUDENTS = "students"
    PRIVATE = "private"
    NOBODY = "nobody"  # never kept at all


_C, _R, _A, _S, _P, _N = Rule


def _in(field: str, **rules: Rule) -> dict[str, Rule]:
    return {f"{field}.{name.rstrip('_')}": rule for name, rule in rules.items()}


#: Every field of a sidecar, by the names it is written with.
FIELDS: Mapping[str, Rule] = MappingProxyType(
    {
        "piece": _C, "same_as": _S, "change": _S, "why": _S, "form": _S, "size_mm": _S,
        "thickness": _S, "metal": _C, "alloy": _S, "temper": _S, "surface": _S, "blank_from": _S,
        **_in("prep", step=_S, with_=_S, grit=_S, strength=_S, minutes=_S, temperature_c=_S,
              result=_S, notes=_S),
        "method": _S,
        **_in("ingredients", name=_S, amount=_S, strength=_S, as_written=_S, brand_note=_S),
        **_in("batch", mixed=_S, opened=_S, name=_S),
        **_in("container", kind=_S, litres=_S, lid=_S),
        **_in("position", face=_S, above_mm=_S, touching=_S),
        "temperature_c": _S, "humidity_pct": _S, "started": _S, "finished": _S, "exposure": _S,
        "cycles": _S, "stop": _S,
        **_in("dry", how=_S, for_=_S),
        **_in("sealant", kind=_R, coats=_S, date=_S, how=_S, buffed_after_min=_S, notes=_S),
        **_in("cure", how=_S, for_=_S),
        **_in("storage", place=_P, light=_S, humidity_pct=_S, handled=_S),
        "coverage_pct": _R, "colour_words": _S, "sheen": _R, "outcome": _S, "cause": _S,
        "notes": _S,
        **_in("zones", name=_R, at=_C, notes=_S),
        **_in("zones.sealant", kind=_R, coats=_S, date=_S, how=_S, buffed_after_min=_S, notes=_S),
        "attempt": _S, "sister": _S, "setup": _S,
        **_in("checks", date=_A, state=_R, notes=_S, by=_P),
        **_in("checks.seen", what=_R, where=_S, extent=_R, severity=_R, moving=_R),
        **_in("photos", file=_S, date=_S, state=_S, side=_S, light=_S, setup=_S, piece_at=_S,
              card_at=_S, blur=_P, attempt=_S, caption=_S),
        "made_by": _P, "starred": _S, "share": _P,
    }
)  # fmt: skip

#: What a library holds besides, with what it is in words.
THINGS: Mapping[str, tuple[Rule, str]] = MappingProxyType(
    {
        "photographs": (_C, "the piece alone, cut out of its photographs"),
        "variation": (_C, "how often a finish was made, and how far apart it came out"),
        "whole photographs": (_S, "all that is in the frame: jig, card, label, bench"),
        "photographs at work": (_S, "bare, wet, during the work, backs, details of a failure"),
        "days": (_S, "the calendar; without it there are ages only"),
        "camera": (_S, "make, model, lens, exposure and colour profile"),
        "file names": (_S, "of photographs and sidecars"),
        "digests": (_S, "SHA-256 of the originals"),
        "ledger": (_S, "what it says of each file"),
        "set-ups": (_S, "stands, cards and sheets by name, and what is said of a reading"),
        "problems": (_S, "what is to be put right"),
        "earlier attempts": (_S, "of a blank that was coloured again"),
        "pieces that failed": (_S, "failure, stripped or lost"),
        "planned tests": (_S, "pieces that are written down and not begun, and next tests"),
        "comparisons": (_S, "pairs, series, effects and repeats"),
        "own pages": (_S, "pages and files in the docs folder"),
        "author": (_S, "the author and source addresses of mkdocs.yml"),
        "cost": (_P, "what a plate costs"),
        "place taken": (_N, "where a photograph was taken"),
        "serial numbers": (_N, "of camera and lens, and who owns them"),
    }
)

#: Every page the site may have, by its address. ``records``: the pages of the pieces tell the whole
#: record; without it they show a finish, and ``finishes`` lists them.
PAGES: Mapping[str, Rule] = MappingProxyType(
    {
        "index": _C, "wall": _C, "finishes": _C, "find-a-colour": _C, "sealed-against-bare": _C,
        "ageing": _C, "glossary": _C, "records": _S, "what-one-change-does": _S, "repeats": _S,
        "due": _S, "did-not-work": _S, "next-tests": _S, "how-we-measure": _S, "safety": _S,
        "data": _S,
    }
)  # fmt: skip

_RECIPE = (
    "ingredients", "batch", "container", "position", "temperature_c", "humidity_pct", "exposure",
    "cycles", "stop",
    # With the day it was lifted out, which ages are counted from, it would tell the time.
    "started", "finished",
)  # fmt: skip
#: Names for several fields or things at once, in ``share`` and in the settings.
PARTS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "recipe": _RECIPE,
        "photos": ("photos", "photographs", "whole photographs"),
        "sealant": ("sealant", "zones.sealant"),
        "thickness": ("thickness", "size_mm"),  # whose third side it is
    }
)
#: Other names of an audience.
ALIASES: Mapping[str, str] = MappingProxyType({"class": "students", "everyone": "public"})
PUBLIC, STUDENTS, CLIENTS, PRIVATE_NAME = "public", "students", "clients", "private"

_RULES: Mapping[str, Rule] = {**FIELDS, **{name: r for name, (r, _) in THINGS.items()}, **PAGES}
_SEES: Mapping[str, frozenset[Rule]] = {
    CLIENTS: frozenset({_C, _R, _A}),
    STUDENTS: frozenset({_C, _R, _A, _S}),
    PRIVATE_NAME: frozenset({_C, _R, _A, _S, _P}),
}


@dataclass(frozen=True)
class Audience:
    """Those a site is made for. ``shown``: every field, thing and page they see; ``guarded``: those
    of them that they see in the shape of ``READ`` or ``AGE`` alone. ``like``: the built-in one it
    began as."""

    name: str
    shown: frozenset[str]
    guarded: frozenset[str] = frozenset()
    like: str = PRIVATE_NAME

    def sees(self, name: str) -> bool:
        """Whether a field, thing or page is shown, whatever a single piece says of it."""
        return name in self.shown

    @property
    def everything(self) -> bool:
        """Whether it is the maker's own."""
        return self.name == PRIVATE_NAME


@cache
def expand(name: str) -> frozenset[str]:
    """The fields, things or page that a name stands for: ``recipe``, ``storage``,
    ``storage.place``, ``days``, ``due``; nothing for a name that is none."""
    found: set[str] = set()
    for part in PARTS.get(name, (name,)):
        found |= {one for one in _RULES if one == part or one.startswith(f"{part}.")}
    return frozenset(found)


def make_audience(
    name: str, like: str, show: Iterable[str] = (), hide: Iterable[str] = ()
) -> Audience:
    """An audience that begins as a built-in one; what it is shown besides it sees as written, and
    what is hidden goes before what is shown."""
    rules = _SEES[like]
    besides = frozenset().union(*map(expand, show))
    shown = {one for one, rule in _RULES.items() if rule in rules} | besides
    shown = {one for one in shown if _RULES[one] is not _N}
    guarded = {one for one in shown - besides if _RULES[one] in (_R, _A)} if like == CLIENTS else ()
    hidden = frozenset().union(*map(expand, hide))
    return Audience(name, frozenset(shown) - hidden, frozenset(guarded) - hidden, like)


PRIVATE = make_audience(PRIVATE_NAME, PRIVATE_NAME)
BUILT_IN: tuple[Audience, ...] = (
    make_audience(STUDENTS, STUDENTS),
    make_audience(CLIENTS, CLIENTS),
    PRIVATE,
)
