"""What one change does: every series as a row of pictures, and what it comes to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.relate.effects import say_shift
from builder.relate.factors import FACTORS
from builder.relate.findings import Effect, Findings, Series, Strand
from builder.relate.series import find_look
from builder.relate.strands import name_strand

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


@dataclass(frozen=True)
class Sample:
    """One piece of a row, with the value under it."""

    subject: Subject
    name: str
    shown: Shown | None
    value: str


@dataclass(frozen=True)
class SeriesRow:
    """One series. ``values`` in one line, "" where one of them is private; ``ordered`` by value."""

    anchor: str
    factor: str
    values: str
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
    """What one change comes to, and in how many sets; ``change`` is "15 s → 45 s"."""

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


def rows_by_piece(rows: tuple[SeriesRow, ...]) -> dict[str, tuple[SeriesRow, ...]]:
    """The rows each piece stands in, by its number."""
    found: dict[str, dict[str, SeriesRow]] = {}
    for row in rows:
        for sample in row.samples:
            found.setdefault(sample.subject.number, {})[row.anchor] = row
    return {number: tuple(some.values()) for number, some in found.items()}


def _lay_out(series: Series, anchor: str, subjects: Mapping[str, Subject]) -> SeriesRow:
    told = [
        (strand, value.words)
        for value in series.values
        for strand in value.strands
        if strand.entry.piece.piece in subjects
    ]
    return SeriesRow(
        anchor,
        series.factor,
        "\u00a0· ".join(value.words for value in series.values) if series.ordered else "",
        tuple(_sample(strand, words, series.factor, subjects) for strand, words in told),
        series.unrecorded,
        series.ordered,
    )


def _sample(strand: Strand, words: str, factor: str, subjects: Mapping[str, Subject]) -> Sample:
    subject = subjects[strand.entry.piece.piece]
    look = find_look(strand, factor)
    return Sample(subject, name_strand(strand), subject.show(look, zone_only=True), words)


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
    counts = tuple(map(say_shift, effect.shifts))
    return EffectLine(f"{effect.first} → {effect.second}", effect.words, effect.claimed, counts)
