"""The wall: every piece as a tile, with what it is filtered and sorted by."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from builder.measure.spaces import chroma, hue_degrees
from builder.publish.history import VERDICT_TITLES
from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.records.audiences import KEPT_PRIVATE, PRIVATE, Audience
from builder.records.facts import Fact, Known
from builder.records.photo import Lab
from builder.relate.colour_names import name_colour

NO_HUE_BELOW = 8.0  # C*: below it a hue is noise; common practice, no source
_NO_HUE = 1000.0  # greys and blacks stand after every hue
_AGES = ((30, "up to a month"), (183, "one to six months"), (364, "six months to a year"))
_OLDEST = "a year or more"
_ABSENT = "not recorded"


@dataclass(frozen=True)
class Tile:
    """One piece on the wall. ``facets`` are (name, values) it is found under; the sort keys are
    plain numbers, lowest first."""

    subject: Subject
    shown: Shown | None
    words: str
    facets: tuple[tuple[str, tuple[str, ...]], ...]
    place: int  # by number
    hue: float
    lightness: float
    day: str  # ISO, of the latest photograph used


@dataclass(frozen=True)
class Facet:
    """One filter: its values in order, with how many pieces each."""

    name: str
    label: str
    values: tuple[tuple[str, int], ...]


FACET_LABELS = (
    ("metal", "Metal"),
    ("method", "Method"),
    ("ingredient", "Ingredient"),
    ("sealant", "Sealant"),
    ("outcome", "Outcome"),
    ("verdict", "Colour since"),
    ("age", "Age in last photo"),
)


#: The field of a sidecar that a filter goes by, where it goes by one.
_FIELD_OF = {
    "metal": "metal",
    "method": "method",
    "ingredient": "ingredients.name",
    "sealant": "sealant.kind",
    "outcome": "outcome",
}


def hang_wall(subjects: Sequence[Subject]) -> tuple[Tile, ...]:
    return tuple(_tile(place, subject) for place, subject in enumerate(subjects))


def list_facets(tiles: Sequence[Tile], audience: Audience = PRIVATE) -> tuple[Facet, ...]:
    """The filters that would tell pieces apart, of what the audience is shown; one with a single
    value is no filter."""
    facets = []
    for name, label in FACET_LABELS:
        if not audience.sees(_FIELD_OF.get(name, "photographs")):
            continue
        counts: dict[str, int] = {}
        for tile in tiles:
            for value in dict(tile.facets)[name]:
                counts[value] = counts.get(value, 0) + 1
        if len(counts) > 1:
            facets.append(Facet(name, label, tuple(sorted(counts.items(), key=_order(name)))))
    return tuple(facets)


def sort_by_hue(tiles: Iterable[Tile]) -> tuple[Tile, ...]:
    return tuple(sorted(tiles, key=lambda tile: (tile.hue, tile.lightness, tile.place)))


def _order(name: str) -> Callable[[tuple[str, int]], tuple[bool, int, str]]:
    ages = [words for _, words in _AGES] + [_OLDEST]

    def key(item: tuple[str, int]) -> tuple[bool, int, str]:
        value = item[0]
        rank = ages.index(value) if name == "age" and value in ages else 0
        return (value == _ABSENT, rank, value.lower())

    return key


def _tile(place: int, subject: Subject) -> Tile:
    look = subject.leading
    lab = look.colour if look else None
    hue, lightness = _sort_colour(lab)
    piece = subject.entry.piece
    names = tuple(item.name.written.lower() for item in piece.ingredients if item.name.written)
    oldest = max(
        (
            look.days_since_coloured
            for strand in subject.strands
            for look in strand.looks
            if look.days_since_coloured is not None
        ),
        default=None,
    )
    facets = (
        ("metal", _or_absent(piece.metal)),
        ("method", _or_absent(piece.method)),
        ("ingredient", names or (_no_ingredients(subject),)),
        ("sealant", subject.sealants or (KEPT_PRIVATE if subject.strands else _ABSENT,)),
        ("outcome", _or_absent(piece.outcome)),
        (
            "verdict",
            tuple(dict.fromkeys(VERDICT_TITLES[s.verdict].lower() for s in subject.strands))
            or ("no reading",),
        ),
        ("age", (_say_age(oldest),)),
    )
    words = subject.look_words or (subject.outcome if piece.outcome.given else "")
    if not words and lab is not None and "colour_words" in subject.withheld:
        words = name_colour(lab)
    day = look.taken.isoformat() if look and look.taken else ""
    return Tile(subject, subject.show(look), words, facets, place, hue, lightness, day)


def _or_absent(fact: Fact[str]) -> tuple[str, ...]:
    if fact.known is Known.WITHHELD:
        return (KEPT_PRIVATE,)
    return (fact.written or _ABSENT,)


def _no_ingredients(subject: Subject) -> str:
    return KEPT_PRIVATE if "ingredients" in subject.withheld else "none, or not recorded"


def _sort_colour(lab: Lab | None) -> tuple[float, float]:
    """Sort keys of a colour: hue angle from red, greys after, unread last; and lightness."""
    if lab is None:
        return 2 * _NO_HUE, _NO_HUE
    if float(chroma(lab)) < NO_HUE_BELOW:
        return _NO_HUE, lab[0]
    return round(float(hue_degrees(lab)), 1), lab[0]


def _say_age(days: int | None) -> str:
    if days is None:
        return _ABSENT
    return next((words for most, words in _AGES if days <= most), _OLDEST)
