"""What one change does: every series as a row of pictures, and what it comes to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.records.audiences import KEPT_PRIVATE
from builder.relate.effects import say_shift, sets_to_claim
from builder.relate.factors import FACTORS
from builder.relate.findings import Effect, Findings, Series, Strand
from builder.relate.next_words import say_briefly
from builder.relate.series import find_look
from builder.relate.strands import name_strand
from builder.relate.synonyms import BARE
from builder.relate.wording import NOT_RECORDED
from builder.telling import hides

ADDRESS = "what-one-change-does.html"
FACTOR_TITLES = {
    "sealant": "What was put over it",
    "time": "How long",
    "metal": "The metal",
    "prep": "How it was prepared",
    "recipe": "The mixture",
    "dry": "How long it dried",
    "temp": "The temperature",
    "temper": "How hard the metal was",
    "surface": "The surface",
    "thickness": "The thickness",
    "method": "The method",
    "container": "What it was done in",
    "position": "How it lay or hung",
    "humidity": "The humidity",
    "stop": "How it was stopped",
    "light": "The light it is kept in",
    "": "Nothing recorded: repeats",
}

#: What parts the steps of a value from each other, of those that are told in steps.
_MARKS = {"prep": "; ", "recipe": ", "}
_HELD = ("metal", "method", "recipe", "temp", "time", "sealant")
NOTHING_ELSE = "nothing else"
_NO_RECIPE = "none"


@dataclass(frozen=True)
class Sample:
    """One piece of a row, with the value under it."""

    subject: Subject
    name: str
    shown: Shown | None
    value: str


@dataclass(frozen=True)
class SeriesRow:
    """One series. ``values``: what changed alone, in one line, "" where one of them is private;
    ``same``: what does not, of the value and of the rest; ``ordered`` by value."""

    anchor: str
    factor: str
    values: str
    same: str
    samples: tuple[Sample, ...]
    unrecorded: tuple[str, ...]
    ordered: bool

    @property
    def href(self) -> str:
        return f"{ADDRESS}#{self.anchor}"

    @property
    def title(self) -> str:
        return FACTOR_TITLES[self.factor]

    @property
    def pieces(self) -> str:
        return f"{self.samples[0].name} to {self.samples[-1].name}"


@dataclass(frozen=True)
class EffectLine:
    """What one change comes to; ``change`` is "15 s → 45 s", ``counts`` in how many sets, of what
    is claimed alone: how many of a few sets went which way is chance."""

    change: str
    words: str
    claimed: bool
    counts: tuple[str, ...]


@dataclass(frozen=True)
class Section:
    """One factor: its effects, those claimed first; how many changes have too few sets; rows."""

    factor: str
    title: str
    effects: tuple[EffectLine, ...]
    too_few: int
    private: int
    rows: tuple[SeriesRow, ...]


def lay_out_rows(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[SeriesRow, ...]:
    """Every series, by factor and then in the library's order."""
    counts: dict[str, int] = {}
    rows = []
    for series in findings.series:
        counts[series.factor] = counts.get(series.factor, 0) + 1
        row = _lay_out(series, f"{series.factor}-{counts[series.factor]}", subjects)
        if row.samples:
            rows.append(row)
    return tuple(rows)


def lay_out_sections(findings: Findings, rows: tuple[SeriesRow, ...]) -> tuple[Section, ...]:
    """One section a factor that has a series."""
    return tuple(
        _section(factor, findings, tuple(row for row in rows if row.factor == factor))
        for factor in FACTORS
        if any(row.factor == factor for row in rows)
    )


def count_to_claim(findings: Findings) -> int:
    """How many sets, all going one way, it takes here before anything is claimed."""
    return sets_to_claim(shift for effect in findings.effects for shift in effect.shifts)


def rows_by_piece(rows: tuple[SeriesRow, ...]) -> dict[str, tuple[SeriesRow, ...]]:
    """The rows each piece stands in, by its number."""
    found: dict[str, dict[str, SeriesRow]] = {}
    for row in rows:
        for sample in row.samples:
            found.setdefault(sample.subject.number, {})[row.anchor] = row
    return {number: tuple(some.values()) for number, some in found.items()}


def _lay_out(series: Series, anchor: str, subjects: Mapping[str, Subject]) -> SeriesRow:
    values = [name_bare(series.factor, value.words) for value in series.values]
    alike, changed = part_alike(values, _MARKS.get(series.factor, ""))
    told = [
        (strand, words)
        for value, words in zip(series.values, changed, strict=True)
        for strand in value.strands
        if strand.entry.piece.piece in subjects
    ]
    return SeriesRow(
        anchor,
        series.factor,
        "" if KEPT_PRIVATE in values else "\u00a0· ".join(_say_heads(series, changed)),
        "; ".join(filter(None, (_say_held(series), alike))),
        tuple(_sample(strand, words, series.factor, subjects) for strand, words in told),
        series.unrecorded,
        series.ordered,
    )


def part_alike(values: Sequence[str], mark: str) -> tuple[str, list[str]]:
    """What stands in all of the values between the ``mark`` that parts them, and the rest of each;
    NOTHING_ELSE where nothing is left of one. Without a mark nothing is parted."""
    if not mark:
        return "", list(values)
    parts = [value.split(mark) for value in values]
    alike = [part for part in parts[0] if all(part in others for others in parts[1:])]
    rests = [mark.join(part for part in own if part not in alike) for own in parts]
    return mark.join(alike), [rest or NOTHING_ELSE for rest in rests]


def _say_heads(series: Series, changed: list[str]) -> list[str]:
    """The values as briefly as tells them apart."""
    brief = [say_briefly(value.strands[0], series.factor) for value in series.values]
    short = series.factor in ("metal", "sealant") and len(set(brief)) == len(brief)
    return brief if short else changed


def name_bare(factor: str, words: str) -> str:
    """The words of a value, a piece without a sealant called bare."""
    return "bare" if factor == "sealant" and words == BARE else words


def _say_held(series: Series) -> str:
    """What all have in common of that which says most of a piece."""
    held: list[str] = []
    for factor in _HELD:
        told = {say_briefly(strand, factor) for strand in series.strands}
        private = any(hides(factor, strand.entry.withheld) for strand in series.strands)
        if factor != series.factor and len(told) == 1 and not private:
            held += told - {NOT_RECORDED, _NO_RECIPE}
    return "; ".join(held)


def _sample(strand: Strand, words: str, factor: str, subjects: Mapping[str, Subject]) -> Sample:
    subject = subjects[strand.entry.piece.piece]
    look = find_look(strand, factor)
    return Sample(
        subject, name_strand(strand), subject.show_any(strand, look, zone_only=True), words
    )


def _section(factor: str, findings: Findings, rows: tuple[SeriesRow, ...]) -> Section:
    effects = [effect for effect in findings.effects if effect.factor == factor]
    public = [effect for effect in effects if not effect.private]
    told = sorted((e for e in public if e.shifts), key=lambda effect: not effect.claimed)
    return Section(
        factor,
        FACTOR_TITLES[factor],
        tuple(map(_tell, told)),
        len(public) - len(told),
        len(effects) - len(public),
        rows,
    )


def _tell(effect: Effect) -> EffectLine:
    counts = tuple(say_shift(shift) for shift in effect.shifts if shift.claimed)
    first, second = (name_bare(effect.factor, words) for words in (effect.first, effect.second))
    return EffectLine(f"{first} → {second}", effect.words, effect.claimed, counts)
