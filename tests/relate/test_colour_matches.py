from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import linprog

from builder.measure.difference import delta_e_2000
from builder.records.photo import ColourShare, Evidence, Lab, State
from builder.relate.colour_matches import (
    find_at_twelve,
    lay_over,
    list_candidates,
    list_patches,
    rank,
    rank_like,
    say_like,
    say_nearness,
    say_reach,
    score_patches,
)
from builder.relate.findings import Findings
from tests.relate.demo import entry_of, find, find_demo, photo, read, strand_of

TABLE = Path(__file__).parents[1] / "data" / "colour_scores.csv"
SETS = TABLE.with_name("colour_sets.csv")
PUBLISHED = 1e-3  # ΔE00: the table it is worked out from has four places
DEMO = find_demo()
CANDIDATES = list_candidates(DEMO)
BEGAN = dt.date(2025, 1, 1)
GREEN, DULLED, BROWN = (60.0, -22.0, -2.0), (53.0, -16.0, 4.0), (33.0, 10.0, 12.0)


def cases(table: Path = TABLE) -> list[dict[str, str]]:
    with table.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def patches_of(row: dict[str, str], column: str = "patches") -> list[list[float]]:
    return [[float(number) for number in patch.split()] for patch in row[column].split("; ")]


def watched(*days: int, colours: tuple[Lab, ...] = ()) -> Findings:
    """One bare piece, photographed on these days of its watch."""
    looks = [
        photo("SH-901", BEGAN + dt.timedelta(days=day), State.RECHECK if day else State.DRY,
              (read(colours[i] if colours else GREEN, evidence=Evidence.TARGET),))
        for i, day in enumerate(days)
    ]  # fmt: skip
    entry = entry_of(sealant="none", started=f"{BEGAN}T08:00", exposure="1 h", dry={"for": "1 h"})
    return find((entry,), looks, dt.date(2027, 1, 1))


@pytest.mark.parametrize("row", cases(), ids=lambda row: row["case"])
def test_scores_are_those_of_the_table(row: dict[str, str]) -> None:
    patches = np.array([patches_of(row)])
    colour = np.array([float(row[name]) for name in "Lab"])
    shares = patches[..., 3]
    de00 = np.where(shares > 0, delta_e_2000(patches[..., :3], colour), np.inf)
    score, near, share, _ = (float(t[0]) for t in score_patches(de00, shares))
    assert score == pytest.approx(float(row["score"]), abs=PUBLISHED)
    assert near == pytest.approx(float(row["dE00"]), abs=PUBLISHED)
    assert share == pytest.approx(float(row["share"]), abs=PUBLISHED)


def test_a_speck_of_the_colour_does_not_beat_a_piece_that_is_of_it() -> None:
    wanted = (50.0, -20.0, 5.0)
    speck = (ColourShare(BROWN, 0.95), ColourShare(wanted, 0.05))
    near = (52.0, -18.0, 6.0)
    found = find(
        (entry_of(piece="SH-901"), entry_of(piece="SH-902")),
        [
            photo("SH-901", BEGAN, State.DRY, (read(speck),)),
            photo("SH-902", BEGAN, State.DRY, (read(near),)),
        ],
    )
    first, second = rank(wanted, list_candidates(found))
    assert first.candidate.strand.entry.piece.piece == "SH-902"
    assert second.de00 == 0
    assert second.share == pytest.approx(0.05)
    assert second.score == pytest.approx(9.5)


def test_a_piece_is_nearest_to_its_own_colour() -> None:
    """Colours of the demo's own table, a year on."""
    latest = strand_of(DEMO, "SH-014").latest
    assert latest is not None and latest.colour is not None
    assert rank(latest.colour, CANDIDATES)[0].candidate.strand.entry.piece.piece == "SH-014"


def test_every_zone_is_found_by_itself() -> None:
    zones = [c.strand.zone for c in CANDIDATES if c.strand.entry.piece.piece == "SH-024"]
    assert zones == ["left", "centre", "right"]


def test_repeatable_is_what_was_repeated() -> None:
    """The repeats of `tests/data/demo_pairs.csv` that the demo is made with."""
    repeated = {c.strand.entry.piece.piece for c in CANDIDATES if c.repeated}
    with (TABLE.parent / "demo_pairs.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if not row["factor"]]
    named = {row[side].split()[0] for row in rows for side in ("piece_a", "piece_b")}
    zoned = {"SH-023", "SH-024", "SH-025"}  # zones of SH-024 were made as the other two
    assert repeated == named | zoned


@pytest.mark.parametrize(
    ("days", "at"),
    [
        ((0, 30, 365), 365),
        ((0, 310, 400), 400),  # 55 days before twelve months, 35 after
        ((0, 306), 306),
        ((0, 303), None),  # a day short of ten months
        ((0, 456), 456),
        ((0, 458), None),  # past fifteen
        ((0, 91), None),
    ],
)
def test_twelve_months_is_the_look_nearest_to_them(days: tuple[int, ...], at: int | None) -> None:
    (strand,) = watched(*days).strands
    look = find_at_twelve(strand)
    assert (None if look is None else look.taken) == (
        None if at is None else BEGAN + dt.timedelta(days=at)
    )


def test_at_twelve_months_a_piece_is_judged_by_what_it_had_become() -> None:
    found = list_candidates(watched(0, 365, 700, colours=(GREEN, DULLED, GREEN)))
    assert rank(GREEN, found)[0].de00 == pytest.approx(0)
    assert rank(GREEN, found, at_twelve=True)[0].de00 > 5
    assert rank(GREEN, list_candidates(watched(0, 91)), at_twelve=True) == ()


@pytest.mark.parametrize("row", cases(SETS), ids=lambda row: row["case"])
def test_surfaces_lie_as_far_apart_as_the_table_has_it(row: dict[str, str]) -> None:
    ours, theirs = (np.array(patches_of(row, name)) for name in ("patches", "tones"))
    de00 = delta_e_2000(ours[:, None, :3], theirs[None, :, :3])
    mean = lay_over(de00.tolist(), ours[:, 3].tolist(), theirs[:, 3].tolist())
    assert mean == pytest.approx(float(row["mean"]), abs=PUBLISHED)


def test_parts_are_laid_as_a_linear_programme_lays_them() -> None:
    """SciPy's own solver of the same problem."""
    draw = np.random.default_rng(20260301)
    for _ in range(60):
        ours, theirs = draw.integers(1, 6, 2).tolist()
        costs = draw.uniform(0, 40, (ours, theirs))
        have, want = draw.dirichlet(np.ones(ours)), draw.dirichlet(np.ones(theirs))
        rows = np.kron(np.eye(ours), np.ones(theirs))
        columns = np.kron(np.ones(ours), np.eye(theirs))
        solved = linprog(costs.ravel(), A_eq=[*rows, *columns], b_eq=[*have, *want])
        laid = lay_over(costs.tolist(), have.tolist(), want.tolist())
        assert laid == pytest.approx(solved.fun, abs=1e-7)


def test_like_a_piece_means_all_its_colours_by_area() -> None:
    """SH-008 is half bare: by its brown alone nothing would tell it from one that took all over."""
    (half,) = (c for c in CANDIDATES if c.strand.entry.piece.piece == "SH-008")
    (took,) = (c for c in CANDIDATES if c.strand.entry.piece.piece == "SH-002")
    tones = list_patches(half.latest)
    assert rank_like(tones[:1], [took])[0].de00 == pytest.approx(0, abs=0.5)
    assert rank_like(tones, [took])[0].de00 > 10
    assert rank_like(tones, [half])[0].de00 == pytest.approx(0, abs=1e-9)
    assert rank_like(tones, CANDIDATES, at_twelve=True)[0].whole


def test_what_of_a_piece_is_gone_by_is_said() -> None:
    tones = (ColourShare(BROWN, 0.69), ColourShare(GREEN, 0.31))
    assert say_like("SH-023", tones, 0) == "Like the colour that covers 69\u202f% of SH-023"
    assert say_like("SH-023", tones, None) == "Like SH-023, all its colours by area"
    assert say_like("SH-023", tones[:1], None) == "Like SH-023"


def test_a_colour_out_of_reach_is_told_with_the_piece_that_comes_nearest() -> None:
    magenta = (60.0, 90.0, -60.0)
    matches = rank(magenta, CANDIDATES)
    half = min(match.half for match in matches)
    said = say_reach(matches)
    assert said.startswith(f"No piece comes nearer than ΔE00 {half:.1f} over half of its area: SH-")
    assert ", another colour." in said
    latest = strand_of(DEMO, "SH-014").latest
    assert latest is not None and latest.colour is not None
    assert say_reach(rank(latest.colour, list_candidates(watched(0, 30)))) != ""
    assert say_reach(()) == ""


def test_a_colour_there_only_in_specks_is_told_so() -> None:
    speck = (ColourShare(BROWN, 0.9), ColourShare(GREEN, 0.1))
    found = find((entry_of(),), [photo("SH-901", BEGAN, State.DRY, (read(speck),))])
    apart = float(delta_e_2000(np.array(GREEN), np.array(BROWN)))
    assert say_reach(rank(GREEN, list_candidates(found))) == (
        f"No piece comes nearer than ΔE00 {apart:.1f} over half of its area: SH-901, another "
        "colour. A smaller part of SH-901 comes within ΔE00 0.0."
    )


def test_a_difference_within_the_noise_is_not_called_more() -> None:
    assert say_nearness(1.9, u=2.0) == "the same within the noise of the reading"
    assert [say_nearness(d) for d in (0.9, 1.9, 4.9, 9.1, 10.1)] == [
        "no difference to be seen",
        "seen only side by side",
        "a slight difference",
        "a clear difference",
        "another colour",
    ]
