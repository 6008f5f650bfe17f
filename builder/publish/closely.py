"""Looking closely at a piece: its colours and their areas, how much is covered, how even it is, and
where it changed. Figures are found elsewhere; here they are laid out and worded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.publish.ages import say_moment
from builder.publish.pictures import Shown
from builder.publish.subjects import Subject
from builder.publish.swatches import encode_chip
from builder.publish.words import say_number
from builder.records.photo import ColourShare, Reading, SheetReport
from builder.relate.findings import ChangeMap, Coverage, Look, Rim, Strand
from builder.relate.strands import name_strand


@dataclass(frozen=True)
class Bar:
    """One colour of a look: its chip, L*a*b* and share (0 to 1), and what it is."""

    hex: str
    colour: ColourShare
    words: str


@dataclass(frozen=True)
class CloseLook:
    """One look, closely. ``coverage_how`` says what the coverage was told against; ``doubts`` are
    the reading's sentences that make it doubtful."""

    look: Look
    title: str
    bars: tuple[Bar, ...]
    coverage: Coverage | None
    coverage_how: str
    mottle: str
    rim: Rim | None
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class Step:
    """One line of the map's legend: its sign and what it means."""

    sign: str
    words: str


@dataclass(frozen=True)
class ChangeFigure:
    """The change map between both its views."""

    change: ChangeMap
    map: Shown
    first: Shown | None
    second: Shown | None
    first_words: str
    second_words: str
    legend: tuple[Step, ...]


def look_closely(strand: Strand) -> tuple[CloseLook, ...]:
    """The chosen look and the latest, once where they are one."""
    roles = (("Chosen look", strand.fresh), ("Latest", strand.latest))
    looks: dict[int, CloseLook] = {}
    for role, look in roles:
        if look is not None and look.reading is not None and look.colour is not None:
            looks.setdefault(id(look), _close(look, look.reading, role, strand))
    return tuple(looks.values())


def show_change(subject: Subject, strand: Strand, maps: Mapping[str, Shown]) -> ChangeFigure | None:
    """The strand's change map with its two views; None where there is none to show."""
    change, drawn = strand.change, maps.get(name_strand(strand))
    if change is None or drawn is None:
        return None
    first, second = change.difference.first, change.difference.second
    return ChangeFigure(
        change,
        drawn,
        subject.show(first, zone_only=True),
        subject.show(second, zone_only=True),
        f"Start of watch, {say_moment(first)}",
        f"Latest, {say_moment(second)}",
        list_legend(change),
    )


def list_legend(change: ChangeMap) -> tuple[Step, ...]:
    """What the map's signs mean; only those that are on it."""
    middle, far = (say_number(step) for step in change.steps)
    meanings = (
        ("0", "plain: no change that can be told"),
        ("1", f"small dot: changed, by less than ΔE00 {middle}"),
        ("2", f"large dot: changed by ΔE00 {middle} to {far}"),
        ("3", f"full square: changed by ΔE00 {far} or more"),
        ("?", "stroke: colours meet here; only a greater change would show"),
        ("-", "mat: not compared"),
    )
    there = set(change.levels)
    return tuple(Step(sign, words) for sign, words in meanings if sign in there)


def say_sheet(sheet: SheetReport | None) -> tuple[str, ...]:
    """How the jig sheet lay in a photograph, in short sentences; () where there was none."""
    if sheet is None:
        return ()
    if sheet.rejected:
        return (sheet.rejected,)
    return (
        f"{sheet.size}, sheet {sheet.number}: {sheet.marks} of 4 marks, "
        f"{say_number(sheet.mm_per_px, 2)} mm a pixel, flat to {say_number(sheet.off_mm)} mm",
        f"light uneven by {say_number(sheet.uneven_pct, 0)} %, "
        f"{say_number(sheet.left_pct)} % left when put right",
    )


def list_doubts(look: Look) -> tuple[str, ...]:
    """The sentences that make the look's reading doubtful."""
    return look.reading.doubts if look.reading else ()


def _close(look: Look, reading: Reading, role: str, strand: Strand) -> CloseLook:
    return CloseLook(
        look,
        f"{role}, {say_moment(look)}",
        tuple(_bar(colour, look) for colour in reading.colours),
        look.coverage,
        _say_how(look, strand),
        say_number(reading.mottle),
        look.rim,
        list_doubts(look),
    )


def _bar(colour: ColourShare, look: Look) -> Bar:
    words = []
    if colour.lab == look.colour:
        words.append("followed")
    if look.coverage and look.coverage.share is not None:
        words.append("bare metal" if colour.lab in look.coverage.bare else "patina")
    return Bar(encode_chip(colour.lab), colour, ", ".join(words))


def _say_how(look: Look, strand: Strand) -> str:
    coverage = look.coverage
    if coverage is None or not coverage.against:
        return ""
    bare = next((o for o in strand.looks if o.observation.file.path == coverage.against), None)
    day = f" of {say_moment(bare)}" if bare else ""
    return (
        f"Coverage is told against the photograph{day} of the same blank bare: a colour is "
        "patina where it is nearer to the piece’s patina than to the bare metal, as it was at the "
        "first coloured look; bare places that tarnish later stay bare. Specks under 3 % of the "
        "area are not told apart."
    )
