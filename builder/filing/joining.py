"""Which piece a picture shows, told from a table: by the name of its file, or by its day alone."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import PurePath

from builder.filing.matching import Because, Match
from builder.observing.glimpsing import Glimpse
from builder.read.photo_names import Numbering, learn_numbering, read_photo_name

#: What is known of a picture from elsewhere than itself, its name and its folder; None for nothing.
Tell = Callable[[Glimpse], Match | None]


def tell_nothing(seen: Glimpse) -> Match | None:
    """Nothing is known from elsewhere."""
    return None


@dataclass(frozen=True)
class Joined:
    """What a table says of one piece's pictures: names of files as written, and its days."""

    number: str
    files: tuple[str, ...] = ()
    days: tuple[dt.date, ...] = ()


@dataclass(frozen=True)
class Join:
    """Tells the piece of a picture by what a table says; ``twice`` are names that two pieces
    claim."""

    numbering: Numbering
    by_name: Mapping[str, str]
    by_day: Mapping[dt.date, frozenset[str]]
    twice: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def __call__(self, seen: Glimpse) -> Match | None:
        name = seen.source.name.casefold()
        listed = self.by_name.get(name) or self.by_name.get(_stem(name))
        if listed:
            return Match(listed, Because.TABLE)
        picture = seen.picture
        said = read_photo_name(seen.source.name, self.numbering).number
        own = said or self.numbering.begin(seen.source.stem)
        folder = self.numbering.begin(seen.source.parent.name)
        if picture is None or picture.labels or own or folder:
            return None  # these tell the piece themselves
        taken = picture.exif.taken
        pieces = self.by_day.get(taken.date(), frozenset()) if taken else frozenset()
        return Match(next(iter(pieces)), Because.DAY) if len(pieces) == 1 else None

    def finds(self, file: str, names: Iterable[str]) -> bool:
        """Whether a file written in the table is among the ``names`` (small letters)."""
        low = PurePath(file.replace("\\", "/")).name.casefold()
        return any(low in (name, _stem(name)) for name in names)


def join_table(pieces: Iterable[Joined], others: Iterable[str] = ()) -> Join:
    """What a table says of its pieces' pictures; ``others`` are numbers of the library's pieces
    that it does not speak of."""
    claims: dict[str, list[str]] = defaultdict(list)
    days: dict[dt.date, set[str]] = defaultdict(set)
    numbers = list(others)
    for piece in pieces:
        numbers.append(piece.number)
        for file in piece.files:
            name = PurePath(file.replace("\\", "/")).name.casefold()
            if piece.number not in claims[name]:
                claims[name].append(piece.number)
        for day in piece.days:
            days[day].add(piece.number)
    return Join(
        learn_numbering(numbers),
        {name: claim[0] for name, claim in claims.items() if len(claim) == 1},
        {day: frozenset(of) for day, of in days.items()},
        {name: tuple(claim) for name, claim in claims.items() if len(claim) > 1},
    )


def _stem(name: str) -> str:
    return name.rpartition(".")[0] or name
