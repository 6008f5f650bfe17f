"""What search finds: one lean entry a page, only words people look for.

The theme reads its index from `search/search_index.json` on a server and from
`search/search_index.js` where the site is opened as files.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from typing import Any

from builder.publish.history import VERDICT_TITLES
from builder.publish.piece_page import PiecePage
from builder.publish.safety_page import IN_WORDS
from builder.publish.sister_pages import SisterSet
from builder.publish.subjects import Subject
from builder.records.hazards import SUBSTANCES
from builder.relate.colour_names import name_colours, spell_both

_BOOST_PIECE = 2.0  # a piece before the pages that only mention it
_PAGE_WORDS = {
    "home": "library latest rechecks start",
    "wall": "every piece filter sort metal method ingredient sealant outcome age hue lightness",
    "list": "every piece by number plain list",
    "finishes": "range new year expect care ageing sealed bare print sheet client",
    "find": "colour color like nearest match CIEDE2000 hex Lab photograph twelve months",
    "sisters": "sealed bare sister seal cost held nearer comparison wax lacquer",
    "ageing": "drift moved held cannot tell yet film strip year days",
    "changes": "series one change effect factor time strength temperature metal sealant differs",
    "repeats": "repeat again spread reproducible single piece closely recognisably in kind",
    "due": "recheck schedule overdue due next missed late calendar when to look again",
    "failures": "failure part success cause did not work",
    "next": "next tests plan try untried square sister series repeat cut list blanks",
    "method": "camera card set-up light threshold noise u evidence CIEDE2000",
    "safety": "ventilation gloves goggles fumes ammonia bleach acid sulphide waste",
    "glossary": "words terms seal cost drift u held verdigris cuprite malachite bloom blush",
    "data": "download CSV JSON pieces readings verdicts sisters pairs series effects repeats",
}


@dataclass(frozen=True)
class SearchEntry:
    """Plain text; ``boost`` weighs it against other pages."""

    title: str
    words: tuple[str, ...]
    boost: float = 1.0


def describe_page(title: str, kind: str) -> SearchEntry:
    words = (_PAGE_WORDS.get(kind, ""),)
    return SearchEntry(title, (*words, *SUBSTANCES, *IN_WORDS) if kind == "safety" else words)


def describe_piece(page: PiecePage) -> SearchEntry:
    """A piece by its number, what it is made of and with, how it looks, how it came out."""
    subject = page.subject
    words: list[str] = []
    for life in page.lives:
        piece = life.entry.piece
        facts = (
            *(piece.metal, piece.alloy, piece.method),
            *(item.name for item in piece.ingredients),
            *(*piece.colour_words, piece.sheen, piece.outcome, piece.cause),
            *(seen.what for check in life.checks for seen in check.seen),
        )
        words += [fact.written for fact in facts if fact.given]
    words += _name_looks(subject)
    words += subject.sealants
    words += [VERDICT_TITLES[strand.verdict].lower() for strand in subject.strands]
    told = {subject.number.lower(), *subject.title.lower().split(", ")}  # found by the title
    fresh = (word for word in words if word.lower() not in told)
    return SearchEntry(f"{subject.number} {subject.title}", _once(fresh), _BOOST_PIECE)


def describe_planned(page: PiecePage) -> SearchEntry:
    """A piece that is not begun: found by its number and what it is of, and as planned."""
    subject = page.subject
    return SearchEntry(f"{subject.number} {subject.title}, planned", ("planned", "next tests"))


def _name_looks(subject: Subject) -> list[str]:
    """The colours of the chosen looks and of the latest, by name, and their words in the other
    spelling."""
    looks = [look for strand in subject.strands for look in (strand.fresh, strand.latest) if look]
    labs = [look.colour for look in looks if look.colour]
    labs += [c.lab for look in looks if look.reading for c in look.reading.colours]
    names = name_colours(list(dict.fromkeys(labs)))
    other = [word for name in names for word in spell_both(name).split() if word not in name]
    return [*names, " ".join(_once(other))]


def describe_set(one: SisterSet) -> SearchEntry:
    return SearchEntry(
        f"{one.sealed_name} sealed, {one.bare_name} bare",
        _once(("sealed against bare", one.sealed.metal, one.sealant, one.nearer)),
    )


def fill_index(index: str, pages: Iterable[tuple[str, SearchEntry]]) -> str:
    """The theme's index (JSON text) with an entry for each page (address, entry) put in; entries
    it made of those pages itself are taken out. Raises ``ValueError`` where it is no JSON."""
    data: dict[str, Any] = json.loads(index)
    ours = dict(pages)
    kept = [doc for doc in data["docs"] if doc["location"].partition("#")[0] not in ours]
    data["docs"] = [
        {
            "location": address,
            "title": escape(entry.title, quote=False),
            "text": escape(" · ".join(entry.words), quote=False),
            **({"boost": entry.boost} if entry.boost != 1.0 else {}),
        }
        for address, entry in ours.items()
    ] + kept
    # </ is broken up because the same text stands in a script as well
    return json.dumps(data, separators=(",", ":"), ensure_ascii=False).replace("</", "<\\/")


def as_script(index: str) -> str:
    """The index for a site opened as files, where a page may load scripts but read no files."""
    return f"var __index = {index}"


def _once(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for word in words if word))
