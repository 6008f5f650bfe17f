"""A group photographed, read and compared: rows of figures."""

from __future__ import annotations

import csv
import multiprocessing
import os
import tempfile
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from builder.measure.difference import delta_e_2000
from builder.records.photo import Lab
from builder.records.settings import Settings
from builder.relate.differences import compare_looks
from builder.relate.findings import Verdict
from builder.relate.verdicts import judge_drift
from tests.benchmarks.cases import change_piece, draw_group
from tests.benchmarks.reading import Case, photograph
from tests.benchmarks.things import Kind

THRESHOLD = Settings().threshold
EDGES = 4  # of so many groups, one has its first outline checked
UNREADABLE_U = 2.0  # in place of u where the first two photographs cannot be compared


@dataclass(frozen=True)
class Row:
    """One photograph. ``error`` ΔE00 from the truth, None where nothing was read; ``refused`` and
    ``doubtful`` are sentences; ``sheet``: "" where there was none, else "found" or why not."""

    name: str
    kind: str
    lamp: str
    good: bool
    rendering: float
    kelvin: float
    sensor: int
    curve: str
    profile: str
    stops: float
    uneven: float
    tilt: float
    quality: int
    true: Lab
    read: Lab | None
    error: float | None
    u: float | None
    u_own: float | None
    card_error: float | None
    model: str
    evidence: str
    refused: str
    doubtful: str
    sheet: str
    edge_mm: float | None


@dataclass(frozen=True)
class Pair:
    """Two photographs of one piece: ``which`` "like" set-ups, "unlike", or "changed"; ``true`` and
    ``read`` change and ``u``, ΔE00."""

    name: str
    which: str
    kind: str
    true: float
    read: float
    u: float
    verdict: str

    @property
    def moved(self) -> bool:
        return self.verdict == Verdict.MOVED


Found = tuple[tuple[Row, ...], tuple[Pair, ...]]


def run_group(number: int, marked: bool) -> Found:
    """The four photographs of a group and what is said of them. The third is of the piece changed
    by twice the u of the first two, and so that it is visible."""
    group = draw_group(number)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "pictures").mkdir()

        def shoot(index: int, changed: float = 0.0) -> Case:
            stand = group.stands[index == 3]
            piece = change_piece(group.piece, group.way, changed) if changed else group.piece
            name = f"{number:04d}-{'AAAB'[index]}-{index + 1}"
            return photograph(
                name,
                piece,
                stand,
                group.shots[index],
                folder,
                marked,
                check_edge=index == 0 and number % EDGES == 0,
            )

        first, second, other = shoot(0), shoot(1), shoot(3)
        like = compare("like", first, second)
        third = shoot(2, change_for(like.u if like else UNREADABLE_U))
    pairs = (like, compare("unlike", first, other), compare("changed", first, third))
    return tuple(map(note, (first, second, third, other))), tuple(p for p in pairs if p)


def change_for(u: float) -> float:
    """How far a piece is changed, ΔE00, to be twice the noise floor ``u`` and visible: beyond the
    threshold even where the noise takes its whole share off. Of a change that is twice u and no
    more, the rule √(d² - u²) ≥ threshold leaves next to nothing where u is small, and what is left
    would be called by a toss of a coin."""
    return max(2 * u, u + THRESHOLD)


def compare(which: str, first: Case, second: Case) -> Pair | None:
    """What is said of two photographs; None where no figure is drawn from one of them."""
    one, two = first.look(), second.look()
    if one is None or two is None:
        return None
    found = compare_looks(one, two)
    return Pair(
        name=f"{first.name} {second.name}",
        which=which,
        kind=str(first.stand.kind),
        true=float(delta_e_2000(first.piece.true, second.piece.true)),
        read=found.de00,
        u=found.u,
        verdict=str(judge_drift(found.de00, found.u, THRESHOLD)),
    )


def note(case: Case) -> Row:
    """The row of a photograph."""
    reading, card, lamp = case.reading, case.seen.card, case.stand.lamp
    return Row(
        name=case.name,
        kind=str(case.stand.kind),
        lamp=lamp.name,
        good=lamp.good,
        rendering=lamp.rendering,
        kelvin=lamp.kelvin,
        sensor=case.stand.body.sensor,
        curve=case.stand.body.curve,
        profile=case.stand.body.profile,
        stops=case.shot.stops,
        uneven=case.shot.uneven,
        tilt=case.shot.view.tilt,
        quality=case.shot.quality,
        true=case.piece.true,
        read=case.read,
        error=case.error,
        u=reading.u if reading else None,
        u_own=reading.u_own if reading else None,
        card_error=card.error if card else None,
        model=card.model if card else "",
        evidence=str(reading.evidence) if reading else "",
        refused=case.refused,
        doubtful=" ".join(case.doubts),
        sheet=_sheet_of(case),
        edge_mm=case.edge_mm,
    )


def _sheet_of(case: Case) -> str:
    if case.stand.kind is Kind.NONE:
        return ""
    report = case.seen.sheet
    if report is None:
        return "not looked for"
    return "found" if report.marks else report.rejected


def run_groups(
    numbers: Iterable[int], marked: bool, processes: int, tell: Callable[[int], None]
) -> Found:
    """All groups, in order, over so many processes; ``tell`` is told after each how many are
    done."""
    # Each process does its own sums: threads of the library below would only get in the way.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    wanted = list(numbers)
    rows: list[Row] = []
    pairs: list[Pair] = []
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, mp_context=context) as pool:
        for done, found in enumerate(pool.map(run_group, wanted, [marked] * len(wanted)), 1):
            rows += found[0]
            pairs += found[1]
            tell(done)
    return tuple(rows), tuple(pairs)


def write_table(
    path: Path, rows: Iterable[Row] | Iterable[Pair], kind: type[Row] | type[Pair]
) -> None:
    """The rows as CSV."""
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, [field.name for field in fields(kind)])
        table.writeheader()
        for row in rows:
            table.writerow(asdict(row))
