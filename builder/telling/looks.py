"""Photographs, looks and strands as an audience is told them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, TypeVar

from builder.records.audiences import KEPT_PRIVATE, Audience
from builder.records.photo import (
    CardReport,
    DateFrom,
    Exif,
    Observation,
    PhotoFile,
    Picture,
    Reading,
    State,
)
from builder.records.piece import Entry
from builder.relate.findings import (
    ChangeMap,
    Coverage,
    Difference,
    Look,
    Strand,
    Verdict,
    VisibleChange,
)
from builder.relate.synonyms import BARE, FINISH_SEALS
from builder.telling.pieces import KEPT, name_zones

R = TypeVar(
    "R", ChangeMap, Coverage, Difference, Exif, Look, Observation, PhotoFile, Picture, Reading
)

#: States in which a piece is as it was meant to be.
FINISHED = frozenset({State.DRY, State.BEFORE_SEAL, State.AFTER_SEAL, State.RECHECK})
_NOT_COMPARED = "not compared"
_NO_DAY = dt.date.min  # a picture's file has a day or other; this one says nothing


def shows_finish(look: Look, strays: Mapping[str, str]) -> bool:
    """Whether a look shows the finished piece, its front, and no other piece."""
    file = look.observation.file
    return look.state in FINISHED and file.side == "front" and file.path not in strays


@dataclass
class Teller:
    """Tells one entry's photographs and strands. ``hidden`` is what its audience is not shown of
    it, ``told`` the entry as it is told; ``paths`` what each photograph is called; ``gone`` are
    numbers of pieces that are not told of."""

    entry: Entry
    told: Entry
    hidden: frozenset[str]
    audience: Audience
    paths: Mapping[str, str]
    strays: Mapping[str, str]
    gone: frozenset[str] = frozenset()
    _observations: dict[int, Observation] = field(default_factory=dict)
    _looks: dict[int, Look] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._zones = {"": "", **name_zones(self.entry, self.hidden, self.audience)}

    def hides(self, name: str) -> bool:
        return name in self.hidden

    @property
    def _hides_setup(self) -> bool:
        return any(map(self.hides, ("set-ups", "setup", "photos.setup")))

    @property
    def _ages_tell_colouring(self) -> bool:
        """Whether an age beside a day would tell a day of the work that is kept back; where the
        time it took is kept back as well it tells no more than when it was lifted out."""
        if self.hides("days") or self.hides("exposure"):
            return False
        return self.hides("started") or self.hides("finished")

    @property
    def _ages_tell_sealing(self) -> bool:
        return not self.hides("days") and self.hides("sealant.date")

    def tell_observation(self, seen: Observation) -> Observation:
        """The photograph; the same one for the same one."""
        known = self._observations.get(id(seen))
        if known is None:
            known = self._observations[id(seen)] = self._tell_observation(seen)
        return known

    def tell_strand(self, strand: Strand) -> Strand:
        """The strand with the looks that are told."""
        sealed, sealant = self._tell_sealant(strand)
        looks = tuple(self.tell_look(look) for look in strand.looks if self._keeps(look))
        told = replace(
            strand, entry=self.told, zone=self._zones[strand.zone], sealed=sealed,
            sealant=sealant, looks=looks,
        )  # fmt: skip
        if self.hides("photographs"):
            return _without_figures(told)
        return replace(
            told,
            fresh=self._maybe(strand.fresh),
            baseline=self._maybe(strand.baseline),
            latest=self._maybe(strand.latest),
            seal_cost=self.tell_difference(strand.seal_cost),
            drifts=tuple(d for d in map(self.tell_difference, strand.drifts) if d),
            missing=() if self.hides("problems") else strand.missing,
            change=self._tell_change(strand.change),
            change_withheld="" if self.hides("set-ups") else strand.change_withheld,
        )

    def tell_look(self, look: Look) -> Look:
        """The look; the same one for the same one."""
        known = self._looks.get(id(look))
        if known is None:
            known = self._looks[id(look)] = self._tell_look(look)
        return known

    def tell_difference(self, difference: Difference | None) -> Difference | None:
        """A difference between two looks of this entry that are both told; else None."""
        if difference is None or not all(
            self._keeps(look) for look in (difference.first, difference.second)
        ):
            return None
        return _as_told(
            difference,
            first=self.tell_look(difference.first),
            second=self.tell_look(difference.second),
            notes=() if self._hides_setup else difference.notes,
        )

    def _keeps(self, look: Look) -> bool:
        if self.hides("photographs"):
            return False
        return not self.hides("photographs at work") or shows_finish(look, self.strays)

    def _maybe(self, look: Look | None) -> Look | None:
        return self.tell_look(look) if look is not None and self._keeps(look) else None

    def _tell_look(self, look: Look) -> Look:
        days = self.hides("days")
        excluded = look.excluded
        if excluded and (self.hides("set-ups") or _names_any(excluded, self.gone)):
            excluded = _NOT_COMPARED
        return _as_told(
            look,
            observation=self.tell_observation(look.observation),
            zone=self._zones[look.zone],
            taken=None if days else look.taken,
            taken_from=DateFrom.NOTHING if days else look.taken_from,
            day_told=not days,
            days_since_coloured=None if self._ages_tell_colouring else look.days_since_coloured,
            days_since_sealed=None if self._ages_tell_sealing else look.days_since_sealed,
            state_from=None if self.hides("file names") else look.state_from,
            reading=self._tell_reading(look.reading) if look.reading else None,
            coverage=self._tell_coverage(look.coverage),
            excluded=excluded,
        )

    def _tell_reading(self, reading: Reading) -> Reading:
        zone = self._zones.get(reading.zone, "")
        if zone != reading.zone:
            reading = _as_told(reading, zone=zone)
        if not self.hides("set-ups"):
            return reading
        return _as_told(reading, flags=(), withheld=_NOT_COMPARED if reading.withheld else "")

    def _tell_coverage(self, coverage: Coverage | None) -> Coverage | None:
        if coverage is None or not coverage.against:
            return coverage
        return _as_told(coverage, against=self.paths.get(coverage.against, ""))

    def _tell_change(self, change: ChangeMap | None) -> ChangeMap | None:
        difference = self.tell_difference(change.difference) if change else None
        return _as_told(change, difference=difference) if change and difference else None

    def _tell_sealant(self, strand: Strand) -> tuple[bool | None, str]:
        """Whether it is sealed, and with what. A kind that is no word of the trade's says only
        that it is."""
        place = "zones.sealant.kind" if strand.zone else "sealant.kind"
        if self.hides(place):
            return None, KEPT_PRIVATE
        zones = {zone.name: zone for zone in self.told.piece.zones}
        zone = zones.get(self._zones[strand.zone])
        kind = zone.sealant.kind if zone else self.told.piece.sealant.kind
        if kind == KEPT and strand.sealant not in (BARE, FINISH_SEALS):
            return strand.sealed, "sealed" if strand.sealed else KEPT_PRIVATE
        return strand.sealed, strand.sealant

    def _tell_observation(self, seen: Observation) -> Observation:
        file, setups = seen.file, self._hides_setup
        names, days = self.hides("file names"), self.hides("days")
        return _as_told(
            seen,
            file=_as_told(
                file,
                path=self.paths.get(file.path, ""),
                attempt=self.told.piece.attempt if self.hides("attempt") else file.attempt,
                named_piece="" if names else file.named_piece,
                written=None if days or self.hides("photos.date") else file.written,
                setup="" if setups else file.setup,
                caption="" if self.hides("photos.caption") else file.caption,
                blur=(),
            ),
            picture=self._tell_picture(seen.picture),
            card=_tell_card(seen.card) if setups else seen.card,
            readings=tuple(self._tell_reading(reading) for reading in seen.readings),
            sheet=None if setups else seen.sheet,
        )

    def _tell_picture(self, picture: Picture) -> Picture:
        whole, camera = self.hides("whole photographs"), self.hides("camera")
        names, days = self.hides("file names"), self.hides("days")
        exif = Exif() if camera else _without_doors(picture.exif)
        return _as_told(
            picture,
            path=self.paths.get(picture.path, ""),
            sha256="" if self.hides("digests") else picture.sha256,
            exif=_as_told(exif, taken=None, offset=None) if days else exif,
            profile="" if camera else picture.profile,
            webs=() if whole else picture.webs,
            card_strip=None if whole else picture.card_strip,
            file_day=_NO_DAY if days else picture.file_day,
            labels=() if names else tuple(n for n in picture.labels if n not in self.gone),
            notes=() if camera else picture.notes,
            thumbnail="" if whole else picture.thumbnail,
            lettering=(),
        )


def _as_told(record: R, **told: Any) -> R:
    """The record with these values. Where it has them already it is the very same: most of what is
    told of a photograph is as it was found, and a large library is not held twice."""
    values = ((getattr(record, name), value) for name, value in told.items())
    return record if all(a is b or a == b for a, b in values) else replace(record, **told)


@lru_cache(maxsize=2**12)  # the same few sentences, and all tellers have the same names
def _names_any(words: str, numbers: frozenset[str]) -> bool:
    return any(number in words for number in numbers)


def _without_doors(exif: Exif) -> Exif:
    """Nor is anybody told that there was anything behind them."""
    return _as_told(exif, position_in=(), has_serial=False, has_owner=False, has_makers_note=False)


def name_photos(
    observations: Iterable[Observation], hidden: Mapping[str, frozenset[str]]
) -> dict[str, str]:
    """What each photograph is called, by its path: its path, or where file names are hidden the
    number of its piece and its place among that piece's."""
    counts: dict[str, int] = {}
    names = {}
    for seen in sorted(observations, key=lambda seen: seen.file.path):
        file = seen.file
        counts[file.piece] = counts.get(file.piece, 0) + 1
        secret = "file names" in hidden[file.piece]
        names[file.path] = f"{file.piece}/{counts[file.piece]}" if secret else file.path
    return names


def _tell_card(card: CardReport | None) -> CardReport | None:
    """That a card served, and how well; not which."""
    if card is None:
        return None
    return CardReport("", card.error, rejected=_NOT_COMPARED if card.rejected else "")


def _without_figures(strand: Strand) -> Strand:
    """A strand whose photographs are kept back, and with them all that was read from them."""
    words = "The photographs are kept private by the maker."
    return replace(
        strand, looks=(), fresh=None, baseline=None, latest=None, seal_cost=None, drifts=(),
        verdict=Verdict.CANNOT_TELL, verdict_words=words,
        visible=VisibleChange(None, None, None, ""), missing=(), change=None, change_withheld="",
    )  # fmt: skip
