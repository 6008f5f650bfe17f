"""The page that finds pieces by colour: what its script is given, and what it offers to choose."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from builder.publish.page_data import as_data_script
from builder.publish.subjects import Subject
from builder.relate.colour_matches import (
    ANOTHER,
    AREA_COST,
    OUT_OF_REACH,
    STEPS,
    WITHIN_NOISE,
    Candidate,
    list_candidates,
    list_patches,
)
from builder.relate.colour_names import list_centroids, list_neutrals
from builder.relate.colour_spelling import ALPHA_WORDS
from builder.relate.findings import Findings, Look
from builder.relate.strands import name_strand
from builder.relate.web_colours import WEB_COLOURS

SCRIPT = "patinarium/finder-data.js"
_SEALED = {True: "sealed", False: "bare", None: ""}


@dataclass(frozen=True)
class Finder:
    """What the page offers. ``numbers`` are the pieces that can be found by colour, ``metals``
    those they are of with how many zones each, ``unread`` how many pieces have no reading."""

    numbers: frozenset[str]
    metals: tuple[tuple[str, int], ...]
    unread: int


def lay_out_finder(findings: Findings, subjects: Mapping[str, Subject]) -> Finder:
    found = _candidates(findings, subjects)
    numbers = frozenset(_number(one) for one in found)
    metals = Counter(subjects[_number(one)].metal for one in found)
    return Finder(numbers, tuple(sorted(metals.items())), len(subjects) - len(numbers))


def finder_script(findings: Findings, subjects: Mapping[str, Subject]) -> str:
    """All the page's script goes by, as a script that a page opened from a folder may load.

    ``rows`` hold a zone each: name, number of the piece, place among ``metals``, the maker's words,
    "sealed", "bare" or "", 1 where it was repeated, the latest look and the one at twelve months
    (0 for none, 1 for the same). A look: picture, width, height, width on the mat in per cent, crop
    (0 for none), u, and L*, a*, b*, share of each patch. Nothing that is shown of them is rounded
    here: page and command round once, and alike.
    """
    found = _candidates(findings, subjects)
    metals = sorted({subjects[_number(one)].metal for one in found})
    told = {
        "areaCost": AREA_COST,
        "outOfReach": OUT_OF_REACH,
        "steps": STEPS,
        "another": ANOTHER,
        "withinNoise": WITHIN_NOISE,
        "alphaWords": ALPHA_WORDS,
        "names": [[centroid.name, *centroid.lab] for centroid in list_centroids()],
        "neutrals": [[grey.name, grey.from_lightness, *grey.reach] for grey in list_neutrals()],
        "web": WEB_COLOURS,
        "metals": metals,
        "rows": [_row(one, subjects[_number(one)], metals) for one in found],
    }
    return as_data_script("patFinder", told)


def _candidates(findings: Findings, subjects: Mapping[str, Subject]) -> list[Candidate]:
    """Those that can be found, by number."""
    places = {number: place for place, number in enumerate(subjects)}
    return sorted(list_candidates(findings), key=lambda one: places[_number(one)])


def _number(one: Candidate) -> str:
    return one.strand.entry.piece.piece


def _row(one: Candidate, subject: Subject, metals: list[str]) -> list[Any]:
    twelve = one.twelve
    return [
        name_strand(one.strand),
        subject.number,
        metals.index(subject.metal),
        subject.look_words,
        _SEALED[one.strand.sealed],
        int(one.repeated),
        _look(one.latest, subject),
        0 if twelve is None else 1 if twelve is one.latest else _look(twelve, subject),
    ]


def _look(look: Look, subject: Subject) -> list[Any]:
    shown = subject.show(look, zone_only=True)
    picture = [shown.src, shown.width, shown.height, shown.of_mat or 0] if shown else ["", 0, 0, 0]
    patches = [(*patch.lab, patch.share) for patch in list_patches(look)]
    return [
        *picture,
        [round(side, 4) for side in shown.crop] if shown and shown.crop else 0,
        look.reading.u if look.reading else 0,
        [number for patch in patches for number in patch],
    ]
