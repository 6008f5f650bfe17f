"""A finish as a client is told it: the range it may come out in, new and at a year, sealed and
bare, what to expect, how to look after it. Plain words and ages; no record, no method, no day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from builder.publish.pictures import Shown
from builder.publish.sister_pages import SisterSet, sets_by_piece
from builder.publish.subjects import Subject, say_sealant
from builder.publish.swatches import encode_chip
from builder.publish.words import EVIDENCE_WORDS, say_list, say_number, say_title
from builder.records.audiences import KEPT_PRIVATE
from builder.records.care import say_care
from builder.relate.colour_names import name_colour
from builder.relate.findings import Difference, Findings, Look, Strand, Variation, Verdict
from builder.relate.strands import name_strand
from builder.relate.synonyms import BARE, FINISH_SEALS
from builder.relate.variation import Band, draw_bands

#: Days after which a look counts as one at a year; the nearest to a year of them is shown.
YEAR, YEAR_FROM, YEAR_TO = 365, 300, 430
_WEEKS_FROM, _MONTHS_FROM, _YEARS_FROM = 14, 60, 700  # days: below, in days, weeks, months
_MONTH = 365.25 / 12
#: How a visible change is called, up to so many times what can just be seen. Common practice, no
#: source.
_SIZES = ((1.5, "just to be seen, side by side"), (5.0, "plain to see"))
_GREATEST = "so great that it is another colour"
#: A part of the change that sealing held back, from so many per cent. Common practice, no source.
_PARTS = ((90, "nearly all"), (65, "most"), (40, "about half"), (15, "a little"))


@dataclass(frozen=True)
class RangeBand:
    """One colour of a finish as a strip from its lightest to its darkest, ``wide`` per cent of the
    whole: ``steps`` are colours for the screen."""

    name: str
    share: float
    steps: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """One part of a finish (most have one): what lies over it, its range, what to expect of it in
    sentences, ``expect``, the one that says most first; ``drift`` is what that rests on."""

    zone: str
    sealing: str
    bands: tuple[RangeBand, ...]
    verdict: str
    kind: str
    expect: tuple[str, ...]
    drift: Difference | None


@dataclass(frozen=True)
class Beside:
    """Sealed and bare beside each other, at one age; ``within`` one piece, where both are parts of
    it."""

    sealed: Shown | None
    bare: Shown | None
    sealed_words: str
    bare_words: str
    words: tuple[str, ...]
    href: str
    within: bool


@dataclass(frozen=True)
class FinishPage:
    """All that the page of a finish shows."""

    subject: Subject
    sealing: str
    new: Shown | None
    aged: Shown | None
    aged_words: str
    parts: tuple[Part, ...]
    made: tuple[str, ...]
    besides: tuple[Beside, ...]
    evidence: tuple[str, ...]
    care: tuple[tuple[str, tuple[str, ...]], ...]


_TITLES = {
    Verdict.HELD: ("Stays as it is", "held"),
    Verdict.MOVED: ("Changes", "moved"),
    Verdict.CANNOT_TELL: ("Too early to say", "unsure"),
}


def lay_out_finishes(
    findings: Findings, subjects: Iterable[Subject], sets: Sequence[SisterSet]
) -> tuple[FinishPage, ...]:
    """Every finish there is, in the order of their numbers."""
    varied = {id(variation.strand): variation for variation in findings.variations}
    sets_of = sets_by_piece(sets)
    return tuple(
        lay_out_finish(subject, findings, sets_of.get(subject.number, ()), varied)
        for subject in subjects
        if not subject.planned
    )


def lay_out_finish(
    subject: Subject,
    findings: Findings,
    sets: Sequence[SisterSet],
    varied: Mapping[int, Variation],
) -> FinishPage:
    """The page of one finish; ``sets`` are those it is in, ``varied`` is how far each strand may
    vary, by its identity."""
    lead = subject.strands[0] if subject.strands else None
    aged = _find_aged(lead)
    new = (lead.baseline or lead.fresh) if lead else None
    threshold = findings.library.settings.threshold
    kinds = dict.fromkeys(strand.sealant for strand in subject.strands)
    return FinishPage(
        subject,
        _say_sealings(subject.strands),
        subject.show(new or (aged is None and subject.leading) or None),
        subject.show(aged),
        f"After {say_lived(_age_of(lead, aged))}" if lead and aged else "",
        tuple(_part(strand, varied.get(id(strand)), threshold) for strand in subject.strands),
        _list_made(subject, varied),
        tuple(_beside(one, subject) for one in sets),
        _list_evidence(subject),
        tuple((_title_care(kind), say_care(kind)) for kind in kinds),
    )


def say_lived(days: int) -> str:
    """An age in the unit people would use: ``8 days``, ``6 weeks``, ``12 months``, ``3 years``."""
    for below, unit, length in (
        (_WEEKS_FROM, "day", 1.0),
        (_MONTHS_FROM, "week", 7.0),
        (_YEARS_FROM, "month", _MONTH),
    ):
        if days < below:
            number = round(days / length)
            return f"{number} {unit}{'' if number == 1 else 's'}"
    years = round(2 * days / 365.25) / 2
    return f"{years:g} years"


def _part(strand: Strand, variation: Variation | None, threshold: float) -> Part:
    title, kind = _TITLES[strand.verdict]
    bands = draw_bands(strand, variation.apart if variation else None)
    return Part(
        strand.zone,
        _say_sealing(strand),
        tuple(map(_band, bands)),
        title,
        kind,
        tuple(_expect(strand, threshold)),
        _at_a_year(strand) or strand.drift,
    )


def _band(band: Band) -> RangeBand:
    steps = (band.lighter, band.lab, band.darker)
    return RangeBand(name_colour(band.lab), band.share, tuple(map(encode_chip, steps)))


def _list_made(subject: Subject, varied: Mapping[int, Variation]) -> tuple[str, ...]:
    """How often it was made and what its range rests on, once where its parts have that alike."""
    told = [(s.zone, _say_made(varied[id(s)])) for s in subject.strands if id(s) in varied]
    if len({words for _, words in told}) == 1:
        return (told[0][1],)
    return tuple(f"{say_title(zone)}: {words[:1].lower()}{words[1:]}" for zone, words in told)


def _list_evidence(subject: Subject) -> tuple[str, ...]:
    """What the looks new were read with: ``grey card``."""
    looks = [strand.baseline or strand.fresh for strand in subject.strands]
    found = [look.reading.evidence for look in looks if look and look.reading]
    return tuple(dict.fromkeys(EVIDENCE_WORDS[evidence] for evidence in found))


def _say_made(variation: Variation) -> str:
    made = f"Made {_times(variation.made)}"
    if variation.own:
        how = variation.words.replace("repeats", "it repeats")
        return f"{made}: {how}. Expect anything in this range."
    if variation.apart is not None:
        return (
            f"{made} so far. Expect anything in this range: other finishes here, made again, came "
            "out so far apart."
        )
    return (
        f"{made} so far, and no finish here was made again: expect more than this range, which is "
        "only as wide as the reading is uncertain."
    )


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _expect(strand: Strand, threshold: float) -> Iterable[str]:
    """What a client may expect, in sentences, the one that says most first."""
    drift = strand.drift
    lived = say_lived(drift.days) if drift else ""
    if drift is None:
        yield "Nobody has looked at it again so far."
    elif strand.verdict is Verdict.HELD:
        yield f"In {lived} nothing changed that an eye would see: expect it to stay so."
    elif strand.verdict is Verdict.MOVED:
        size = next((w for most, w in _SIZES if drift.de00 < most * threshold), _GREATEST)
        yield f"Expect it to {_say_way(drift, 'go')}: in {lived} the change is {size}."
        if strand.visible.by is not None:
            yield _say_by_when(strand)
    else:
        yield f"In {lived} any change is about as small as photographs can tell."
    cost = strand.seal_cost
    if cost and cost.de00 >= max(threshold, cost.u) and cost.direction:
        yield f"{_say_cost(cost)}; it is shown as sealed."


def _say_by_when(strand: Strand) -> str:
    visible = strand.visible
    if not visible.after:
        return f"It begins to show within the first {say_lived(visible.by or 0)}."
    return f"It begins to show after about {say_lived(round(visible.about or visible.after))}."


def _say_way(change: Difference, go: str) -> str:
    """The way a colour went: ``go darker and turn from purple to brown``; ``went`` for the past."""
    told = [word for word in change.direction if " to " not in word]
    turns = [word for word in change.direction if " to " in word]
    turn, otherwise = ("turn", "change") if go == "go" else ("turned", "changed")
    parts = [f"{go} {say_list(told)}"] if told else []
    parts += [f"{turn} from {word}" for word in turns]
    return say_list(parts) if parts else otherwise


def _say_cost(cost: Difference) -> str:
    """``Sealing made it darker at once``."""
    told = [word for word in cost.direction if " to " not in word]
    parts = [f"made it {say_list(told)}"] if told else []
    parts += [f"turned it from {word}" for word in cost.direction if " to " in word]
    return f"Sealing {say_list(parts)} at once"


def _beside(one: SisterSet, subject: Subject) -> Beside:
    age = f", after {say_lived(one.sisters.days)}" if one.sisters.days else ""
    return Beside(
        one.sides[1].shown,
        one.sides[2].shown,
        f"{_say_sealing(one.sisters.sealed)}{age}",
        f"Bare{age}",
        tuple(_say_protection(one, subject)),
        one.href,
        one.sealed is one.bare,
    )


def _say_protection(one: SisterSet, subject: Subject) -> Iterable[str]:
    """What sealing does, by what is seen of both at the same age."""
    found = one.sisters
    yield f"{name_strand(found.sealed)} is sealed, {name_strand(found.bare)} the same unsealed."
    bare = found.bare_drift
    if bare is None or found.sealed_drift is None or found.held_pct is None:
        yield "What the sealing holds back cannot be said yet."
        return
    held = next((words for least, words in _PARTS if found.held_pct >= least), "next to nothing")
    way = _say_way(bare, "went")
    yield f"Bare, it {way} in {say_lived(bare.days)}; sealing held back {held} of that."
    cost = found.seal_cost
    if subject is not one.sealed and cost and cost.de00 > cost.u and cost.direction:
        yield f"{_say_cost(cost)}."


def _find_aged(strand: Strand | None) -> Look | None:
    """The look at a year; without one, the latest that is not the first."""
    if strand is None:
        return None
    drift = _at_a_year(strand)
    if drift:
        return drift.second
    new = strand.baseline or strand.fresh
    return strand.latest if strand.latest != new else None


def _at_a_year(strand: Strand) -> Difference | None:
    about = [drift for drift in strand.drifts if YEAR_FROM <= drift.days <= YEAR_TO]
    return min(about, key=lambda drift: abs(drift.days - YEAR), default=None)


def _age_of(strand: Strand, look: Look) -> int:
    """Days from the start of watch, else from colouring."""
    drift = next((drift for drift in strand.drifts if drift.second == look), None)
    return drift.days if drift else look.days_since_coloured or 0


def _say_sealing(strand: Strand) -> str:
    if strand.sealant == FINISH_SEALS:
        return "Its own seal"
    if strand.sealant == BARE:
        return "Bare"
    if strand.sealant in ("", KEPT_PRIVATE):
        return "Sealing not told"
    return "Sealed" if strand.sealant == "sealed" else f"Sealed with {say_sealant(strand)}"


def _say_sealings(strands: Iterable[Strand]) -> str:
    """``Sealed with shellac and bare``."""
    said = say_list(dict.fromkeys(_say_sealing(strand).lower() for strand in strands))
    return say_title(said)


def _title_care(sealant: str) -> str:
    if sealant in ("", KEPT_PRIVATE, "sealed"):
        return "In general"
    return {BARE: "Bare", FINISH_SEALS: "Its own seal"}.get(sealant, sealant)


def say_change(drift: Difference) -> str:
    """The figures of a change in a line: ``ΔE00 1.5 in 12 months, noise 1.3``."""
    return f"ΔE00 {say_number(drift.de00)} in {say_lived(drift.days)}, noise {say_number(drift.u)}"
