"""The page that says how exact readings are, in plain words first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tests.benchmarks.how import AGAIN, HOW
from tests.benchmarks.real import say_real
from tests.benchmarks.runs import THRESHOLD, Found, Pair, Row
from tests.benchmarks.tables import Exactness, count_reasons, judge, sum_up
from tests.benchmarks.things import Kind

#: What is asked. Within u: u is meant to hold nine in ten, and five either way is what chance and
#: its being an estimate leave; the others: common practice, no source.
WITHIN_U_PCT = (85.0, 95.0)
MOVED_UNCHANGED_PCT = 5.0
MOVED_CHANGED_PCT = 90.0
SHEETS_PCT = 99.0
_MOST_REASONS = 8
_LEAST = 8  # rows of a table with fewer photographs say nothing

CARDS = (Kind.TARGET, Kind.NINE, Kind.GREYS)
_WORDS = {
    Kind.TARGET: "a target of 24 patches",
    Kind.NINE: "a card of nine patches",
    Kind.GREYS: "six grey steps",
    Kind.SHEET: "the sheet’s white paper only",
    Kind.NONE: "nothing",
}


@dataclass(frozen=True)
class Part:
    """A row of a table: its name and the photographs it is about."""

    name: str
    rows: tuple[Row, ...]


def write_report(found: Found, photographs: int) -> str:
    """The page, Markdown."""
    rows, pairs = found
    said = [
        "# How exact readings are",
        _open(rows),
        "## What to expect",
        _expect(rows),
        _advise(rows),
        "## Against what we ask of ourselves",
        _aims(rows, pairs),
        "## By what lies in the frame, and by the lamp",
        _table("in the frame, lamp", _by_lamp(rows)),
        _say_lamps(),
        "## By the rest, with the target of 24",
        _rest(rows),
        "## Withheld and doubtful",
        _reasons(rows),
        "## Finding the sheet and the piece",
        _finding(rows),
        "## Has it moved?",
        _moved(pairs),
        "## On real pictures",
        say_real(),
        "## How this was made",
        HOW,
        "## Run it again",
        AGAIN.format(photographs=photographs),
    ]
    return "\n\n".join(part.strip() for part in said if part) + "\n"


def _open(rows: Sequence[Row]) -> str:
    return f"""
This page is written by a command, from {len(rows):,} photographs that were never taken: pieces,
cards, lamps and cameras are worked out wavelength by wavelength, the picture is spoilt as pictures
are, saved as JPEG, and read by the same code that reads yours. The true colour is known, so the
error is too. Errors are ΔE00: a change of {THRESHOLD:g} can just be seen.
"""


def _expect(rows: Sequence[Row]) -> str:
    lines = [
        "| in the frame | half of the readings are nearer than | nine in ten nearer than "
        "| said noise u, middling | used for drift |",
        "|---|--:|--:|--:|---|",
    ]
    for kind in Kind:
        own = _of(rows, kind)
        read = sum_up(own) if kind in CARDS else None
        found = read or sum_up(own, withheld_too=True)
        if found:
            lines.append(
                f"| {_WORDS[kind]} | {found.median:.1f} | {found.ninetieth:.1f} | {found.u:.1f} "
                f"| {'yes' if read else 'no'} |"
            )
    return "\n".join(lines)


def _advise(rows: Sequence[Row]) -> str:
    def spread(which: Iterable[Row]) -> str:
        found = sum_up(list(which))
        return (
            "none could be read"
            if found is None
            else f"{found.median:.1f} and {found.ninetieth:.1f}"
        )

    target = _of(rows, Kind.TARGET)
    warm = spread(r for r in target if r.kelvin < 3500)
    cool = spread(r for r in target if r.kelvin >= 3500)
    fair = spread(r for r in target if abs(r.stops) <= 0.5)
    over = spread(r for r in target if r.stops > 1.0)
    return f"""
What that means at the bench:

- Lay a card in the slot every time. Without one the colour is a guess, and no drift is drawn from
  it.
- More patches are better: grey steps put the brightness right, but cannot tell how lamp and camera
  turn hues.
- Use cool, even lamps. With the target, half and nine in ten were nearer than {cool} from 3500 K
  up, and {warm} under warmer lamps.
- Expose so that the paper is light grey and not burnt out: {fair} within half a stop of right,
  {over} when more than a stop too light.
- Keep one camera, one card and one pair of lamps. What two photographs share cancels in their
  difference.
"""


def _aims(rows: Sequence[Row], pairs: Sequence[Pair]) -> str:
    lines = ["| asked | reached | met |", "|---|--:|---|"]
    low, high = WITHIN_U_PCT
    for kind in CARDS:
        found = sum_up(_of(rows, kind))
        share = f"{found.within:.1f} %" if found else "none could be read"
        good = found is not None and low <= found.within <= high
        lines.append(
            f"| true colour within u, {_WORDS[kind]}: {low:g} to {high:g} % | {share} "
            f"| {_met(good)} |"
        )
    sheets = [r for r in rows if r.sheet and r.sheet != _UNSOUGHT]
    if sheets:
        share = 100 * float(np.mean([r.sheet == "found" for r in sheets]))
        lines.append(
            f"| sheet found, all four marks in the frame: at least {SHEETS_PCT:g} % "
            f"| {share:.1f} % | {_met(share >= SHEETS_PCT)} |"
        )
    for words, which, least in (
        ("unchanged, one set-up: at most", "like", None),
        ("unchanged, two set-ups: at most", "unlike", None),
        ("changed by twice u, and visible: at least", "changed", 0.0),
    ):
        found_pairs = judge([p for p in pairs if p.which == which and p.u >= (least or 0)])
        if found_pairs is None:
            continue
        asked = MOVED_UNCHANGED_PCT if least is None else MOVED_CHANGED_PCT
        good = found_pairs.moved <= asked if least is None else found_pairs.moved >= asked
        lines.append(
            f"| called *moved*, {words} {asked:g} % | {found_pairs.moved:.1f} % | {_met(good)} |"
        )
    return "\n".join(lines)


_UNSOUGHT = "not looked for"


def _met(good: bool) -> str:
    return "yes" if good else "**no**"


def _by_lamp(rows: Sequence[Row]) -> Iterable[Part]:
    for kind in Kind:
        own = _of(rows, kind)
        yield Part(f"**{_WORDS[kind]}**", tuple(own))
        for words, good in (("good lamp", True), ("poor lamp", False)):
            yield Part(f"{words}", tuple(r for r in own if r.good is good))


def _say_lamps() -> str:
    return """
*Good* lamps have a general colour rendering index of 90 or more; *poor* ones less. *Within u* is
how often the true colour lay within the noise that was said. Where everything is withheld the
figures are those that would have been read.
"""


def _rest(rows: Sequence[Row]) -> str:
    target = _of(rows, Kind.TARGET)
    parts: list[Part] = []

    def between(words: str, of: Callable[[Row], float], cuts: Sequence[float]) -> None:
        for low, high in pairwise(cuts):
            held = tuple(r for r in target if low <= of(r) < high)
            parts.append(Part(words.format(f"{low:g} to {high:g}"), held))

    def each(words: str, of: Callable[[Row], str]) -> None:
        for value in sorted({of(r) for r in target}):
            parts.append(Part(words.format(value), tuple(r for r in target if of(r) == value)))

    between("lamp {} K", lambda r: r.kelvin, (2500, 3500, 5000, 8000))
    between("{} stops off", lambda r: r.stops, (-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5))
    between("light uneven by {} %", lambda r: 100 * r.uneven, (0, 5, 10, 15, 20, 25))
    between("camera tilted {}°", lambda r: r.tilt, (0, 5, 10, 15, 20))
    between("JPEG {}", lambda r: r.quality, (70, 80, 90, 96))
    each("sensor {}", lambda r: "ABC"[r.sensor])
    each("curve {}", lambda r: r.curve)
    each("profile {}", lambda r: r.profile)
    return _table("what", parts)


def _table(head: str, parts: Iterable[Part]) -> str:
    lines = [
        f"| {head} | photographs | median | 90th percentile | u, median | within u | withheld "
        "| doubtful |",
        "|---|--:|--:|--:|--:|--:|--:|--:|",
    ]
    for part in parts:
        found = sum_up(part.rows) or sum_up(part.rows, withheld_too=True)
        if found and found.count >= _LEAST:
            lines.append(f"| {part.name} {_figures(found)}")
    return "\n".join(lines)


def _figures(found: Exactness) -> str:
    return (
        f"| {found.count} | {found.median:.1f} | {found.ninetieth:.1f} | {found.u:.1f} "
        f"| {found.within:.0f} % | {found.refused:.0f} % | {found.doubtful:.0f} % |"
    )


def _reasons(rows: Sequence[Row]) -> str:
    carded = [r for r in rows if r.kind in set(map(str, CARDS))]
    said = [f"Of the {len(carded):,} photographs with a card:", "", "| why | photographs |",
            "|---|--:|"]  # fmt: skip
    refused = count_reasons(r.refused for r in carded)
    doubts = count_reasons(r.doubtful for r in carded)
    said += [f"| withheld: {_cell(why)} | {count} |" for why, count in refused[:_MOST_REASONS]]
    said += [f"| {_cell(why)} | {count} |" for why, count in doubts[:_MOST_REASONS]]
    return "\n".join(said)


def _cell(words: str) -> str:
    return words.replace("|", "/").strip()


def _finding(rows: Sequence[Row]) -> str:
    sheets = [r for r in rows if r.sheet and r.sheet != _UNSOUGHT]
    if not sheets:
        return "Corners were marked by hand in this run: nothing was sought."
    found = sum(r.sheet == "found" for r in sheets)
    said = [f"The sheet was found in {found:,} of {len(sheets):,} photographs."]
    for why, count in count_reasons(r.sheet for r in sheets if r.sheet != "found"):
        said.append(f"{count}: {why}.")
    edges = [r.edge_mm for r in rows if r.edge_mm is not None]
    if edges:
        median, most = np.quantile(edges, [0.5, 0.95])
        said.append(
            f"The piece’s outline, where it was checked ({len(edges):,} photographs), lay "
            f"{median:.2f} mm off the true one on average, and at most {most:.2f} mm in 95 of 100."
        )
    return " ".join(said)


def _moved(pairs: Sequence[Pair]) -> str:
    lines = [
        "| two photographs of one piece | in the frame | pairs | called *moved* | u, median "
        "| read change, median |",
        "|---|---|--:|--:|--:|--:|",
    ]
    for words, which in (
        ("unchanged, one set-up", "like"),
        ("unchanged, two set-ups", "unlike"),
        ("changed by twice u, and visible", "changed"),
    ):
        for kind in CARDS:
            own = [p for p in pairs if p.which == which and p.kind == str(kind)]
            lines += _judged(f"{words} | {_WORDS[kind]}", own)
    changed = [p for p in pairs if p.which == "changed"]
    for low, high in ((0.0, 1.5), (1.5, 2.0), (2.0, 3.0), (3.0, 99.0)):
        words = f"changed, u {low:.1f} to {high:.1f}" if high < 99 else f"changed, u over {low:.1f}"
        lines += _judged(f"{words} | any card", [p for p in changed if low <= p.u < high])
    return (
        "\n".join(lines)
        + f"""

One set-up: the same camera, lamp, paper and card, a new exposure, position and noise. Two set-ups:
another of each. A change counts as *moved* when it is beyond u and what is left of it without u is
beyond {THRESHOLD:g}. The piece was changed by twice the u of the first two photographs, and by u +
{THRESHOLD:g} at least: a smaller change is not visible beyond its noise.
"""
    )


def _judged(words: str, pairs: Sequence[Pair]) -> list[str]:
    found = judge(pairs)
    if found is None or found.count < _LEAST:
        return []
    return [f"| {words} | {found.count} | {found.moved:.1f} % | {found.u:.1f} | {found.read:.1f} |"]


def _of(rows: Iterable[Row], kind: Kind) -> list[Row]:
    return [r for r in rows if r.kind == str(kind)]
