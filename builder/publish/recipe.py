"""What was done to a piece, in the order it was done, as rows for a page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from builder.publish.reckoned import NOTHING_RECKONED, Reckoning, reckon_published
from builder.publish.words import say_conversion, say_fact, say_title
from builder.reckon.gauges import say_thicknesses
from builder.records.facts import Fact, Known
from builder.records.piece import Entry, Ingredient, PrepStep, Sealant
from builder.records.settings import Price

_CLASS_OF = {
    Known.GIVEN: "given",
    Known.UNREAD: "unread",
    Known.UNKNOWN: "unknown",
    Known.NOT_MEASURED: "not-measured",
    Known.MISSING: "missing",
    Known.WITHHELD: "withheld",
}


#: Nobody asks after these where they are not given.
_NOT_MISSED = frozenset({"note", "batch", "cut from", "lifted out", "thickness"})


@dataclass(frozen=True)
class Row:
    """One fact: its words, what they were read as, which kind of absence, whose fact it is."""

    label: str
    words: str
    known: str = "given"
    read_as: str = ""
    inherited: str = ""  # number of the piece it was taken from


@dataclass(frozen=True)
class Part:
    """Rows under a name of their own: a zone of the piece, or the whole ("")."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Step:
    """One thing done. ``lines`` are steps in order, ``mixture`` rows of name, amount, strength;
    ``reckoned`` what these come to; ``absent`` names what the sidecar does not speak of;
    ``withheld`` what the maker keeps back."""

    title: str
    parts: tuple[Part, ...] = ()
    lines: tuple[str, ...] = ()
    mixture: tuple[tuple[Row, Row, Row], ...] = ()
    inherited: str = ""
    absent: tuple[str, ...] = ()
    withheld: bool = False
    reckoned: Reckoning = NOTHING_RECKONED


def list_steps(entry: Entry, prices: Sequence[Price] = ()) -> tuple[Step, ...]:
    """What was done, first to last; steps nothing at all is said of are left out. ``prices`` are
    the settings', for what a plate costs."""
    withheld = entry.withheld
    steps = (
        _blank(entry, withheld),
        _prep(entry, withheld),
        _colouring(entry, withheld, prices),
        _plain(entry, withheld, "Drying", "dry", (("how", "how"), ("for", "for_"))),
        _sealing(entry, withheld),
        _plain(entry, withheld, "Curing", "cure", (("how", "how"), ("for", "for_"))),
        _plain(
            entry,
            withheld,
            "Keeping",
            "storage",
            (
                ("place", "place"),
                ("light", "light"),
                ("humidity", "humidity_pct"),
                ("handled by", "handled"),
            ),
        ),
    )
    return tuple(
        _gather_marks(step)
        for step in steps
        if step.parts or step.lines or step.mixture or step.withheld or step.reckoned.figures
    )


def _gather_marks(step: Step) -> Step:
    """Where all of a step comes from one other piece, the step says so once."""
    sources = {row.inherited for part in step.parts for row in part.rows}
    if step.lines or step.mixture:
        sources.add(step.inherited)
    if len(sources) != 1:
        return step
    (source,) = sources
    plain = tuple(
        replace(part, rows=tuple(replace(row, inherited="") for row in part.rows))
        for part in step.parts
    )
    return replace(step, parts=plain, inherited=source)


def make_row(label: str, fact: Fact[Any], inherited: str = "") -> Row:
    return Row(label, say_fact(fact), _CLASS_OF[fact.known], say_conversion(fact), inherited)


def _rows(facts: Iterable[tuple[str, Fact[Any], str]]) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    """Rows of what is spoken of, and the names of what is not."""
    spoken, absent = [], []
    for label, fact, source in facts:
        if fact.known is Known.WITHHELD:
            continue
        if fact.known is not Known.MISSING:
            spoken.append(make_row(label, fact, source))
        elif label not in _NOT_MISSED:
            absent.append(label)
    return tuple(spoken), tuple(absent)


def _step(title: str, rows: tuple[Row, ...], absent: tuple[str, ...]) -> Step:
    return Step(title, (Part("", rows),) if rows else (), absent=absent)


def _blank(entry: Entry, withheld: frozenset[str]) -> Step:
    piece, source = entry.piece, dict(entry.inherited)
    size: Fact[Any] = Fact(
        " × ".join(say_fact(side) for side in piece.size_mm),
        None,
        Known.GIVEN if piece.size_mm else Known.MISSING,
    )
    named: tuple[tuple[str, str, Fact[Any]], ...] = (
        ("form", "form", piece.form),
        ("metal", "metal", piece.metal),
        ("alloy", "alloy", piece.alloy),
        ("size", "size_mm", size),
        ("thickness", "thickness", piece.thickness),
        ("temper", "temper", piece.temper),
        ("surface", "surface", piece.surface),
        ("cut from", "blank_from", piece.blank_from),
    )
    rows, absent = _rows(_published(named, source, withheld))
    gauge = say_thicknesses(piece.thickness)
    told = (
        replace(row, read_as=gauge) if row.label == "thickness" and gauge else row for row in rows
    )
    return _step("The blank", tuple(told), absent)


def _published(
    named: Iterable[tuple[str, str, Fact[Any]]],
    source: dict[str, str],
    withheld: frozenset[str],
) -> list[tuple[str, Fact[Any], str]]:
    return [
        (label, fact, source.get(field, ""))
        for label, field, fact in named
        if field not in withheld
    ]


def _prep(entry: Entry, withheld: frozenset[str]) -> Step:
    if "prep" in withheld:
        return Step("Preparing", withheld=True)
    lines = tuple(_say_prep(step) for step in entry.piece.prep)
    return Step("Preparing", lines=lines, inherited=dict(entry.inherited).get("prep", ""))


def _say_prep(step: PrepStep) -> str:
    said = say_title(say_fact(step.step))
    for word, fact in (
        ("with ", step.with_),
        ("", step.strength),
        ("grit ", step.grit),
        ("", step.temperature_c),
        ("", step.minutes),
        ("", step.result),
        ("", step.notes),
    ):
        if fact.known not in (Known.MISSING, Known.WITHHELD):
            joint = " " if word == "with " else ", "
            unit = " min" if fact is step.minutes and fact.written.isdigit() else ""
            said += f"{joint}{word}{say_fact(fact)}{unit}"
    return said


def _colouring(entry: Entry, withheld: frozenset[str], prices: Sequence[Price]) -> Step:
    piece, source = entry.piece, dict(entry.inherited)
    named: tuple[tuple[str, str, Fact[Any]], ...] = (
        ("method", "method", piece.method),
        ("temperature", "temperature_c", piece.temperature_c),
        ("humidity", "humidity_pct", piece.humidity_pct),
        ("started", "started", piece.started),
        ("lifted out", "finished", piece.finished),
        ("for", "exposure", piece.exposure),
        ("passes", "cycles", piece.cycles),
        ("stopped", "stop", piece.stop),
        ("container", "container", piece.container.kind),
        ("volume", "container", piece.container.litres),
        ("lid", "container", piece.container.lid),
        ("facing", "position", piece.position.face),
        ("height above", "position", piece.position.above_mm),
        ("touching", "position", piece.position.touching),
        ("mixed", "batch", piece.batch.mixed),
        ("bottle opened", "batch", piece.batch.opened),
        ("batch", "batch", piece.batch.name),
    )
    rows, absent = _rows(_published(named, source, withheld))
    hidden = "ingredients" in withheld
    mixture = () if hidden else tuple(_mix(item) for item in piece.ingredients)
    return Step(
        "Colouring",
        (Part("", rows),) if rows else (),
        mixture=mixture,
        inherited=source.get("ingredients", "") if mixture else "",
        absent=absent,
        withheld=hidden,
        reckoned=reckon_published(entry, withheld, prices),
    )


def _mix(item: Ingredient) -> tuple[Row, Row, Row]:
    amount = make_row("amount", item.amount)
    if item.as_written.given:
        amount = Row("amount", item.as_written.written, "given", say_fact(item.amount))
    strength = make_row("strength", item.strength)
    solid = item.amount.value is not None and item.amount.value.unit == "g"
    if solid and item.strength.known is Known.MISSING:
        strength = Row("strength", "")  # what is weighed out dry has none
    return make_row("what", item.name), amount, strength


def _sealing(entry: Entry, withheld: frozenset[str]) -> Step:
    piece, source = entry.piece, dict(entry.inherited).get("sealant", "")
    if "sealant" in withheld:
        return Step("Sealing", withheld=True)
    if piece.zones:
        parts = tuple(Part(zone.name, _seal(zone.sealant, "")[0]) for zone in piece.zones)
        return Step("Sealing, zone by zone", parts)
    return _step("Sealing", *_seal(piece.sealant, source))


def _seal(sealant: Sealant, source: str) -> tuple[tuple[Row, ...], tuple[str, ...]]:
    how: Fact[Any] = Fact(
        ", ".join(say_fact(word) for word in sealant.how),
        None,
        Known.GIVEN if sealant.how else Known.MISSING,
    )
    rows, absent = _rows(
        (label, fact, source)
        for label, fact in (
            ("sealant", sealant.kind),
            ("coats", sealant.coats),
            ("on", sealant.date),
            ("how", how),
            ("buffed after, min", sealant.buffed_after_min),
            ("note", sealant.notes),
        )
    )
    left_bare = sealant.kind.written.lower() == "none"
    return rows, () if left_bare else absent


def _plain(
    entry: Entry,
    withheld: frozenset[str],
    title: str,
    field: str,
    inner: tuple[tuple[str, str], ...],
) -> Step:
    if field in withheld:
        return Step(title, withheld=True)
    record = getattr(entry.piece, field)
    source = dict(entry.inherited).get(field, "")
    return _step(title, *_rows((label, getattr(record, name), source) for label, name in inner))
