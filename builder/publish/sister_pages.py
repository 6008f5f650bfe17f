"""Sealed against bare: every set, and a page of its own for each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from builder.publish.ages import say_taken
from builder.publish.pictures import Shown
from builder.publish.plots import PlotSet, plot_drift
from builder.publish.subjects import Subject, say_sealant
from builder.publish.words import say_days
from builder.records.audiences import KEPT_PRIVATE
from builder.relate.findings import Difference, Findings, Look, Nearer, Sisters, Strand
from builder.relate.strands import name_strand

NEARER_TITLES = {
    Nearer.SEALED: "sealed is nearer the chosen look",
    Nearer.BARE: "bare is nearer the chosen look",
    Nearer.TOO_CLOSE: "too close to call",
}

#: Two pieces whose sides differ by no more than this part lie on each other in a slider.
SAME_SIZE_WITHIN = 0.03


@dataclass(frozen=True)
class Side:
    """One look on a comparison: its picture, a short label, and when it was."""

    shown: Shown | None
    label: str
    when: str


@dataclass(frozen=True)
class Slide:
    """Two looks laid over each other."""

    id: str
    title: str
    left: Side
    right: Side
    words: str


@dataclass(frozen=True)
class SisterSet:
    """One sealed strand with its bare sister, ready to be shown."""

    sisters: Sisters
    sealed: Subject
    bare: Subject
    sealed_name: str
    bare_name: str
    sealant: str
    href: str
    sides: tuple[Side, ...]  # chosen look, sealed now, bare now
    slides: tuple[Slide, ...]
    plot: PlotSet | None
    nearer: str

    @property
    def path(self) -> str:
        return self.href.removesuffix(".html") + ".md"


def list_sets(findings: Findings, subjects: Mapping[str, Subject]) -> tuple[SisterSet, ...]:
    """Every set whose two pieces are in the library, by number."""
    taken: set[str] = set()
    made = []
    for sisters in findings.sisters:
        sealed = subjects.get(sisters.sealed.entry.piece.piece)
        bare = subjects.get(sisters.bare.entry.piece.piece)
        if sealed and bare:
            name = _unused(f"{_slug(sisters.sealed)}-{_slug(sisters.bare)}", taken)
            made.append(_set(sisters, sealed, bare, f"sisters/{name}.html", findings))
    return tuple(made)


def sets_by_piece(sets: Iterable[SisterSet]) -> Mapping[str, tuple[SisterSet, ...]]:
    """The sets each piece is in, by its number."""
    found: dict[str, list[SisterSet]] = {}
    for one in sets:
        for number in dict.fromkeys((one.sealed.number, one.bare.number)):
            found.setdefault(number, []).append(one)
    return {number: tuple(some) for number, some in found.items()}


def _set(
    sisters: Sisters, sealed: Subject, bare: Subject, href: str, findings: Findings
) -> SisterSet:
    chosen = sisters.sealed.fresh
    now = _at(sisters.sealed_drift, sisters.sealed.latest)
    bare_now = _at(sisters.bare_drift, sisters.bare.latest)
    name, other = name_strand(sisters.sealed), name_strand(sisters.bare)
    first = Side(
        sealed.show(chosen, zone_only=True), "Chosen look", _when(chosen, "before sealing")
    )
    second = Side(sealed.show(now, zone_only=True), f"{name}, sealed", _when(now))
    third = Side(bare.show(bare_now, zone_only=True), f"{other}, bare", _when(bare_now))
    after = sisters.seal_cost.second if sisters.seal_cost else sisters.sealed.baseline
    slides = (
        _slide(
            "before-after",
            "Before and after sealing",
            first,
            Side(sealed.show(after, zone_only=True), "Sealed", _when(after)),
            f"{name}: the chosen look against the first look after the sealant had cured.",
        ),
        _slide(
            "sealed-bare",
            "Sealed and bare, at the same age",
            second,
            third,
            f"{name} against {other}, {say_days(sisters.days)} on." if sisters.days else "",
        ),
    )
    return SisterSet(
        sisters,
        sealed,
        bare,
        name,
        other,
        _say_sealant(sisters.sealed),
        href,
        (first, second, third),
        tuple(slide for slide in slides if slide),
        plot_drift(
            sisters.sealed,
            findings.library.settings.threshold,
            sisters.bare,
            f"{name}, sealed",
            f"{other}, bare",
        ),
        NEARER_TITLES[sisters.nearer] if sisters.nearer else "",
    )


def _say_sealant(strand: Strand) -> str:
    words = say_sealant(strand)
    return f"sealant {words}" if words == KEPT_PRIVATE else words


def _slide(id: str, title: str, left: Side, right: Side, words: str) -> Slide | None:
    """A slide, where both of its pictures are there and of one size: else nothing would lie on
    its like."""
    if left.shown is None or right.shown is None or not _alike(left.shown, right.shown):
        return None
    return Slide(id, title, left, right, words)


def _alike(one: Shown, other: Shown) -> bool:
    sides = ((one.width, other.width), (one.height, other.height))
    return all(abs(a - b) <= SAME_SIZE_WITHIN * max(a, b) for a, b in sides)


def _at(difference: Difference | None, otherwise: Look | None) -> Look | None:
    return difference.second if difference else otherwise


def _when(look: Look | None, state: str = "") -> str:
    if look is None:
        return ""
    age = ""
    if look.days_since_sealed is not None and look.days_since_sealed >= 0:
        age = f"{say_days(look.days_since_sealed)} after sealing"
    elif look.days_since_coloured is not None:
        age = f"{say_days(look.days_since_coloured)} after colouring"
    return ", ".join(part for part in (state or age, say_taken(look)) if part)


def _slug(strand: Strand) -> str:
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name_strand(strand)).strip("-") or "piece"


def _unused(name: str, taken: set[str]) -> str:
    number, wanted = 2, name
    while name.lower() in taken:  # some disks do not tell capitals apart
        name, number = f"{wanted}-{number}", number + 1
    taken.add(name.lower())
    return name
