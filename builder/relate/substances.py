"""The substances that words name, by :mod:`builder.records.hazards`: in an ingredient's name, and
in what a maker wrote freely.

Words that say a thing is not there ("ammonia-free", "no bleach", "kept away from acid") name none.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from builder.records.hazards import METALS, SUBSTANCES
from builder.records.plain_names import name_plainly

_CLAUSES = re.compile(r"[.;:!?,\n—–]+(?!\d)|\b(?:but|then|just|only)\b")
_QUOTES = re.compile('["“”„‚‘`]')
_NOT_BEFORE = re.compile(
    r"\s(?:no|not|non|never|nor|neither|without|avoid(?:ed|ing)?|minus|instead of|"
    r"rather than|free of|free from|away from|\w+n't)(?:\s\S+){0,3}\s$"
)
_NOT_AFTER = re.compile(r"^\s(?:free|less)\b")
_KEPT = re.compile(r"\b(?:keep|kept|keeping)\b")
_AWAY = re.compile(r"\baway\b")
_NEAR = 200  # characters: a "no" further off than this says nothing of a thing
_PER_CENT = re.compile(r"(\d{1,9}(?:[.,]\d+)?)\s*(?:%|per ?cent\b)")
_VOLUMES = re.compile(r"(\d{1,9})\s*vol(?:s|umes?)?\b")
_WASHED = re.compile(
    r"(?<!not )(?<!never )(?<!without )\b(?:rins\w+|wash\w+|water|detergent|soap\w*|scrub\w*|"
    r"flush\w+|neutrali[sz]\w+)"
)

_APART = re.compile(r"\b(?:and|water)\b")


@dataclass(frozen=True)
class Named:
    """A substance named in a text: its words in the table's spelling, its classes, the number of
    its clause, and whether the text says before it that something was rinsed off."""

    words: str
    kinds: frozenset[str]
    clause: int
    washed_before: bool


def classify(name: str) -> frozenset[str]:
    """The classes a name belongs to, synonyms and longer names included: "malt vinegar"."""
    return frozenset(kind for named in spot(name) for kind in named.kinds)


def classify_metal(name: str) -> frozenset[str]:
    """The same of the metal of a piece."""
    found = _pattern_of(_METAL_NAMES).finditer(_say_plainly(name))
    return frozenset(kind for match in found for kind in METALS[match[0]])


@lru_cache(maxsize=10_000)  # a library says the same few words over and over
def spot(text: str) -> tuple[Named, ...]:
    """Every substance that a text names, in order, but those it says are not there: once in a
    clause, or twice where something was rinsed between."""
    return tuple(_spot(text))


def says_washed(text: str) -> bool:
    """Whether a text says that something was rinsed or washed off."""
    return _WASHED.search(_say_plainly(text)) is not None


def strength_in(text: str) -> float | None:
    """A strength told within a name, %: "3 % peroxide". Ten volumes of peroxide are 3 %: common
    practice, no source."""
    plain = _say_plainly(text)
    if found := _PER_CENT.search(plain):
        return float(found[1].replace(",", "."))
    if found := _VOLUMES.search(plain):
        return float(found[1]) * 0.3
    return None


def strength_beside(words: str, text: str) -> float | None:
    """The strength, %, that stands next to the ``words`` of a text: right behind, or else right
    before. One that begins the text may be that of a thing named elsewhere, and is left open."""
    before, _, after = _say_plainly(text.lower()).partition(words)
    if found := re.match(rf"\W*(?:{_PER_CENT.pattern}|{_VOLUMES.pattern})", after):
        return strength_in(found[0])
    ahead = re.search(
        rf"(?:{_PER_CENT.pattern}|{_VOLUMES.pattern})\W*$", before[-_NEAR:].rjust(_NEAR)
    )
    begins = ahead is None or not before[: len(before) - len(ahead[0])].strip()
    return None if ahead is None or begins else strength_in(ahead[0])


def _spot(text: str) -> Iterator[Named]:
    washed = False
    for number, clause in enumerate(_CLAUSES.split(text.lower())):
        plain = _say_plainly(clause)
        clean = _washed_from(plain)
        kept_away = _is_kept_away(plain)
        said: set[tuple[str, bool]] = set()
        end = 0
        for match in _pattern_of(_SUBSTANCE_NAMES).finditer(plain):
            end = match.end()
            kinds = SUBSTANCES[match[0]]
            before = washed or clean <= match.start()
            if not kinds or kept_away or (match[0], before) in said or _is_denied(plain, match):
                continue
            said.add((match[0], before))
            yield Named(match[0], frozenset(kinds), number, before)
        washed = washed or clean <= len(plain) or says_washed(plain[end:])


def _washed_from(plain: str) -> int:
    """From where on something was washed before what follows, beyond the end where nothing was:
    "rinsed in vinegar" was not, "rinsed and wiped with vinegar" and "rinsed in water with vinegar"
    were."""
    found = _WASHED.search(plain)
    apart = _APART.search(plain, found.start()) if found else None
    return apart.end() if apart else len(plain) + 1


def _is_kept_away(plain: str) -> bool:
    kept = _KEPT.search(plain)
    return kept is not None and _AWAY.search(plain, kept.end()) is not None


def _is_denied(plain: str, match: re.Match[str]) -> bool:
    """Whether the few words beside it say that it is not there."""
    before = plain[max(0, match.start() - _NEAR) : match.start()]
    if match.start() <= _NEAR:
        before = f" {before}"
    after = plain[match.end() : match.end() + _NEAR]
    return bool(_NOT_BEFORE.search(before) or _NOT_AFTER.match(after))


def _say_plainly(text: str) -> str:
    """As the names of the table are written: lower case, British, no hyphens or quotes."""
    plain = _QUOTES.sub(" ", text.replace("’", "'"))
    return name_plainly(plain).replace("sulf", "sulph")


_SUBSTANCE_NAMES = tuple(SUBSTANCES)
_METAL_NAMES = tuple(METALS)


@lru_cache
def _pattern_of(names: Iterable[str]) -> re.Pattern[str]:
    """Any of the names, as whole words; a longer one before a shorter one within it."""
    longest_first = sorted(names, key=lambda name: (-len(name), name))
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w-])")
