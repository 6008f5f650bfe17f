"""How a piece looked over time: one row a photograph, with its reading and what it rests on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from builder.publish.ages import say_age, say_moment, say_taken
from builder.publish.closely import list_doubts
from builder.publish.pictures import Shown, show_photo, show_piece
from builder.publish.plots import PlotSet, plot_drift
from builder.publish.subjects import Subject, say_sealant
from builder.publish.swatches import encode_chip
from builder.publish.words import say_day
from builder.records.photo import Observation
from builder.relate.findings import Difference, Findings, Look, Sisters, Strand, Verdict
from builder.relate.strands import name_strand

VERDICT_TITLES = {
    Verdict.MOVED: "Moved",
    Verdict.HELD: "Held",
    Verdict.CANNOT_TELL: "Cannot tell yet",
}
VERDICT_CLASSES = {
    Verdict.MOVED: "moved",
    Verdict.HELD: "held",
    Verdict.CANNOT_TELL: "unsure",
}


@dataclass(frozen=True)
class Sighting:
    """One look as a row: the picture, the day, the reading, the drift up to it; ``note`` says why
    it serves no comparison, where it does not."""

    look: Look
    shown: Shown | None
    day: str
    age: str
    chip: str
    role: str  # "chosen look", "start of watch", "latest"
    drift: Difference | None
    note: str
    doubtful: bool


@dataclass(frozen=True)
class Story:
    """One zone of one attempt, told."""

    strand: Strand
    zone: str
    sealant: str
    verdict: str
    verdict_class: str
    drift: Difference | None
    sightings: tuple[Sighting, ...]
    strip: tuple[Sighting, ...]  # those that may be compared, with a picture
    plot: PlotSet | None
    to_mind: tuple[str, ...]  # what makes the drift, or a reading it rests on, doubtful


@dataclass(frozen=True)
class Spare:
    """A photograph that no story uses: the back, a detail."""

    shown: Shown
    caption: str


def tell_story(
    subject: Subject, strand: Strand, findings: Findings, zone_only: bool = False
) -> Story:
    """The story of a strand; its frames show its zone alone where ``zone_only``."""
    sighted = tuple(_sight(subject, strand, look, zone_only) for look in strand.looks)
    sister = _sisters_of(strand, findings)
    threshold = findings.library.settings.threshold
    return Story(
        strand,
        strand.zone,
        say_sealant(strand),
        VERDICT_TITLES[strand.verdict],
        VERDICT_CLASSES[strand.verdict],
        strand.drift,
        sighted,
        tuple(s for s in sighted if s.shown and not s.look.excluded and _is_dated(s.look)),
        plot_drift(
            strand,
            threshold,
            sister.bare if sister else None,
            name_strand(strand),
            f"{name_strand(sister.bare)}, bare sister" if sister else "",
        ),
        _list_to_mind(strand),
    )


def _is_dated(look: Look) -> bool:
    return look.taken is not None or not look.day_told


def _list_to_mind(strand: Strand) -> tuple[str, ...]:
    """Of the drift that the verdict rests on, and of its two photographs."""
    last = strand.drift
    if last is None:
        return ()
    doubts = (
        f"{say_moment(look)}: {doubt}"
        for look in (last.first, last.second)
        for doubt in list_doubts(look)
    )
    return (*last.notes, *doubts)


def list_spares(subject: Subject) -> tuple[Spare, ...]:
    """Photographs of a piece that no strand of any attempt looks at."""
    used = {
        look.observation.file.path
        for strand in (*subject.strands, *subject.earlier)
        for look in strand.looks
    }
    spares = (_spare(seen) for seen in subject.observations if seen.file.path not in used)
    return tuple(spare for spare in spares if spare)


def _spare(seen: Observation) -> Spare | None:
    file = seen.file
    taken = seen.picture.exif.taken
    day = say_day(file.written or (taken.date() if taken else None))
    caption = file.caption or ", ".join(
        part for part in (file.side, str(file.state or ""), day) if part
    )
    alt = f"{file.piece}, {caption}"
    shown = show_photo(seen, alt) if file.side != "front" else show_piece(seen, alt)
    return Spare(shown, caption) if shown else None


def _sisters_of(strand: Strand, findings: Findings) -> Sisters | None:
    own = findings.sisters_of(strand.entry.piece.piece)
    return next((pair for pair in own if pair.sealed == strand), None)


def _sight(subject: Subject, strand: Strand, look: Look, zone_only: bool) -> Sighting:
    roles: Iterable[tuple[str, Look | None]] = (
        ("latest", strand.latest),
        ("start of watch", strand.baseline),
        ("chosen look", strand.fresh),
    )
    role = next((name for name, other in roles if other == look), "")
    withheld = look.reading.withheld if look.reading else ""
    return Sighting(
        look,
        subject.show(look, zone_only),
        say_taken(look),
        say_age(look),
        encode_chip(look.colour),
        role,
        next((drift for drift in strand.drifts if drift.second == look), None),
        look.excluded or withheld,
        bool(list_doubts(look)),
    )
