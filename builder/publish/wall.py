"""The wall: every piece as a tile, with what it is filtered and sorted by.

The page holds the first tiles; the script that hangs the others, those in view and no more, is
given all of them as data.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from builder.measure.spaces import chroma, hue_degrees
from builder.publish.history import VERDICT_TITLES
from builder.publish.page_data import as_data_script
from builder.publish.pictures import FOLDER, Shown
from builder.publish.subjects import Subject
from builder.publish.tile_pictures import PREFIX
from builder.records.audiences import KEPT_PRIVATE, PRIVATE, Audience
from builder.records.facts import Fact, Known
from builder.records.photo import Lab
from builder.relate.colour_names import name_colour

SCRIPT = "patinarium/wall-data.js"
FIRST = 12  # tiles in the page itself: two rows of the widest wall
MOST_PRINTED = 300  # tiles, some 25 sheets of paper
NO_HUE_BELOW = 8.0  # C*: below it a hue is noise; common practice, no source
_NO_HUE = 1000.0  # greys and blacks stand after every hue
_AGES = ((30, "up to a month"), (183, "one to six months"), (364, "six months to a year"))
_OLDEST = "a year or more"
_ABSENT = "not recorded"
_BEFORE, _AFTER = f"{FOLDER}/{PREFIX}", ".jpg"


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


def hang_small(tiles: Iterable[Tile], small: Mapping[str, Shown]) -> tuple[Tile, ...]:
    """The tiles with those of their pictures, by address, that there are small ones of."""
    return tuple(
        replace(tile, shown=small.get(tile.shown.src, tile.shown)) if tile.shown else tile
        for tile in tiles
    )


def wall_script(tiles: Sequence[Tile], audience: Audience = PRIVATE) -> str:
    """All the wall's script goes by, of what the audience is shown.

    ``words`` are all phrases, the commonest first, so that their places are short; ``frames``
    width, height and width on the mat in per cent of pictures. ``rows`` hold a tile each, in the
    order of numbers: number; picture (its name, without ``before`` and ``after``, its address where
    it is not so named, "" for none); place of its frame; place of the metal under it; places of
    the words under it, and of its picture's words after the number; its place by hue, lightness
    and date; and for each of ``facets`` the place of its value, or a list of several.
    """
    orders = [_places(tiles, order) for order in (sort_by_hue, _sort_by_lightness, _sort_by_date)]
    phrases: Counter[str] = Counter()
    frames: dict[tuple[int, int, float], int] = {}
    names = [name for name, _ in FACET_LABELS if _is_told(name, audience)]
    for tile in tiles:
        phrases.update(_phrases(tile, names))
    words = [word for word, _ in sorted(phrases.items(), key=lambda item: (-item[1], item[0]))]
    place = {word: at for at, word in enumerate(words)}
    rows: list[list[Any]] = []
    for tile in tiles:
        frame = _frame(tile.shown)
        facets = [[place[value] for value in dict(tile.facets)[name]] for name in names]
        rows.append(
            [
                tile.subject.number,
                _name_picture(tile.shown),
                frames.setdefault(frame, len(frames)),
                place[tile.subject.metal],
                [place[part] for part in tile.words.split(", ")],
                [place[part] for part in _told(tile)],
                *(order[tile.place] for order in orders),
                *(values[0] if len(values) == 1 else values for values in facets),
            ]
        )
    return as_data_script(
        "patWall",
        {
            "mostPrinted": MOST_PRINTED,
            "before": _BEFORE,
            "after": _AFTER,
            "words": words,
            "frames": list(frames),
            "facets": names,
            "rows": rows,
        },
    )


def _phrases(tile: Tile, names: Sequence[str]) -> list[str]:
    values = [value for name in names for value in dict(tile.facets)[name]]
    return [tile.subject.metal, *tile.words.split(", "), *_told(tile), *values]


def _told(tile: Tile) -> list[str]:
    """The picture in words, phrase by phrase, without the number it begins with."""
    said = tile.shown.alt if tile.shown else ""
    return said.removeprefix(tile.subject.number).split(", ")


def _frame(shown: Shown | None) -> tuple[int, int, float]:
    return (shown.width, shown.height, round(shown.of_mat or 0, 1)) if shown else (0, 0, 0)


def _name_picture(shown: Shown | None) -> str:
    if shown is None:
        return ""
    if shown.src.startswith(_BEFORE) and shown.src.endswith(_AFTER):
        return shown.src.removeprefix(_BEFORE).removesuffix(_AFTER)
    return shown.src


def _places(
    tiles: Sequence[Tile], order: Callable[[Iterable[Tile]], tuple[Tile, ...]]
) -> dict[int, int]:
    """Where each tile, by its place, stands in the order."""
    return {tile.place: at for at, tile in enumerate(order(tiles))}


def _is_told(facet: str, audience: Audience) -> bool:
    return audience.sees(_FIELD_OF.get(facet, "photographs"))


def list_facets(tiles: Sequence[Tile], audience: Audience = PRIVATE) -> tuple[Facet, ...]:
    """The filters that would tell pieces apart, of what the audience is shown; one with a single
    value is no filter."""
    facets = []
    for name, label in FACET_LABELS:
        if not _is_told(name, audience):
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


def _sort_by_lightness(tiles: Iterable[Tile]) -> tuple[Tile, ...]:
    return tuple(sorted(tiles, key=lambda tile: (tile.lightness, tile.place)))


def _sort_by_date(tiles: Iterable[Tile]) -> tuple[Tile, ...]:
    """The latest photograph first; those of one day by number."""
    by_number = sorted(tiles, key=lambda tile: tile.place)
    return tuple(sorted(by_number, key=lambda tile: tile.day, reverse=True))


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
