"""The demo's known answers, from its table's own colours.

Source of every expected number: the invented demo, whose table carries its answers.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from builder.relate.factors import list_factors
from builder.relate.findings import Difference, Findings, Nearer, Verdict
from builder.relate.nearness import call_nearer
from builder.relate.pairs import find_near
from builder.relate.protection import protect, say_held
from builder.relate.sisters import find_sisters
from builder.relate.visible import find_visible_change
from tests.relate.demo import (
    DAYS,
    LESS_THAN_HALF,
    MONTHS,
    ZONED,
    U,
    demo_rows,
    drifts_of,
    find_demo,
    is_bare,
    read_table,
    strand_of,
)

#: The table's L*a*b* are rounded to tenths, its differences were taken before rounding: each axis
#: of three may be 0.05 off at both ends, and no axis weighs more than its own length.
LAB_IN_TENTHS = 0.1 * 3**0.5
#: A printed ΔE00 of one decimal may be 0.05 off, beside the above.
PRINTED = 0.05 + LAB_IN_TENTHS
#: A share held is one minus a quotient of two such differences, 0.1 of 4.7 at worst.
PCT_PRINTED = 3.0
#: Differences with two decimals move a crossing by no more than this, and it is printed to tenths.
MONTHS_PRINTED = 0.1
#: The same from colours in tenths, where the drift is slowest: 0.1 over 0.14 ΔE00 a month.
MONTHS_FROM_TENTHS = 0.75

ROWS = demo_rows()
SISTERS = read_table("demo_sisters.csv")
VISIBLE = {row["piece"]: row["months"] for row in read_table("demo_visible.csv")}
WHOLE = [piece for piece in ROWS if piece != ZONED]


@cache
def demo() -> Findings:
    return find_demo()


@cache
def quiet_demo() -> Findings:
    """The demo with so little noise that no figure is lost in it."""
    return find_demo(u=0.1)


def months(days: float) -> float:
    """The table's months, between whose checks it interpolates by a straight line."""
    return float(np.interp(days, DAYS, [float(month) for month in MONTHS]))


def plain(de00: float, u: float = U, days: int = 365) -> Difference:
    look = strand_of(demo(), "SH-002").looks[0]
    return Difference(look, look, days, de00, u, 5.0, ())


def test_demo_raises_no_problem() -> None:
    assert demo().problems == ()


def test_every_look_of_the_demo_is_compared() -> None:
    assert not [look.excluded for s in demo().strands for look in s.looks if look.excluded]


@pytest.mark.parametrize("piece", WHOLE)
def test_seal_cost_is_the_tables(piece: str) -> None:
    cost = strand_of(demo(), piece).seal_cost
    if is_bare(ROWS[piece]):
        assert cost is None
    else:
        assert cost is not None
        assert cost.de00 == pytest.approx(float(ROWS[piece]["seal_cost_dE00"]), abs=LAB_IN_TENTHS)


@pytest.mark.parametrize("piece", WHOLE)
def test_drifts_are_the_tables_on_the_days_that_passed(piece: str) -> None:
    drifts = strand_of(demo(), piece).drifts
    assert [drift.days for drift in drifts] == list(DAYS[1:])
    assert [drift.de00 for drift in drifts] == pytest.approx(
        drifts_of(ROWS[piece]), abs=LAB_IN_TENTHS
    )


MOVED = (
    "001", "002", "003", "006", "007", "008", "009", "010", "011", "012", "013", "016", "017",
    "018", "019", "023", "027", "030",
)  # fmt: skip
HELD = ("004", "005", "014", "015", "020", "022", "028", "029")
CANNOT_TELL = ("021", "025", "026")


@pytest.mark.parametrize(
    ("number", "verdict"),
    [
        *((n, Verdict.MOVED) for n in MOVED),
        *((n, Verdict.HELD) for n in HELD),
        *((n, Verdict.CANNOT_TELL) for n in CANNOT_TELL),
    ],
)
def test_verdict_at_a_noise_of_two(number: str, verdict: Verdict) -> None:
    strand = strand_of(demo(), f"SH-{number}")
    assert strand.verdict is verdict
    assert strand.verdict_words.lower().startswith(verdict.value)


def test_every_piece_has_a_verdict_that_is_checked() -> None:
    assert len(MOVED) + len(HELD) + len(CANNOT_TELL) == len(WHOLE)


@pytest.mark.parametrize("number", ["004", "014", "015", "020"])
def test_sealed_drift_of_about_one_is_never_called_moved(number: str) -> None:
    strand = strand_of(demo(), f"SH-{number}")
    assert "Held for 365 days" in strand.verdict_words
    sisters = next(s for s in demo().sisters if s.sealed is strand)
    assert sisters.held_words.startswith("Held, at least ")


@pytest.mark.parametrize("row", SISTERS, ids=lambda row: row["sealed"])
def test_sisters_are_the_tables(row: dict[str, str]) -> None:
    found = next(
        s
        for s in quiet_demo().sisters
        if (s.sealed.entry.piece.piece, s.sealed.zone) == (row["sealed"], row["sealed_zone"])
    )
    assert (found.bare.entry.piece.piece, found.bare.zone) == (row["bare"], row["bare_zone"])
    assert found.seal_cost and found.sealed_drift and found.bare_drift
    told = [
        (found.seal_cost.de00, "seal_cost"),
        (found.sealed_drift.de00, "sealed_drift"),
        (found.bare_drift.de00, "bare_drift"),
        (found.to_sealed, "to_sealed"),
        (found.to_bare, "to_bare"),
    ]
    for number, name in told:
        assert number == pytest.approx(float(row[name]), abs=PRINTED), name
    assert found.held_pct == pytest.approx(float(row["held_pct"]), abs=PCT_PRINTED)


@pytest.mark.parametrize("row", SISTERS, ids=lambda row: row["sealed"])
def test_who_is_nearer_the_chosen_look_is_the_tables(row: dict[str, str]) -> None:
    found = next(
        s
        for s in demo().sisters
        if (s.sealed.entry.piece.piece, s.sealed.zone) == (row["sealed"], row["sealed_zone"])
    )
    assert found.nearer == Nearer(row["nearer"])
    assert call_nearer(float(row["to_sealed"]), float(row["to_bare"]), U) == Nearer(row["nearer"])


@pytest.mark.parametrize(
    ("sealed", "bare", "pct"), [("004", "002", 63), ("014", "012", 68), ("020", "019", 57)]
)
def test_drift_lost_in_noise_gives_a_bound(sealed: str, bare: str, pct: int) -> None:
    drift, other = (float(ROWS[f"SH-{n}"]["12_mo_dE00"]) for n in (sealed, bare))
    assert say_held(plain(drift), plain(other)).words == f"Held, at least {pct} %."


@pytest.mark.parametrize("row", SISTERS, ids=lambda row: row["sealed"])
def test_share_held_is_the_tables(row: dict[str, str]) -> None:
    sealed = float(ROWS[row["sealed"]]["12_mo_dE00"])
    like = "SH-023" if row["bare"] == ZONED else row["bare"]
    bare = float(ROWS[like]["12_mo_dE00"])
    # The table prints whole per cents of unrounded drifts; two decimals may turn the last one.
    assert 100 * protect(sealed, bare) == pytest.approx(float(row["held_pct"]), abs=1.0)


def test_bare_is_nearer_although_the_waxed_one_held() -> None:
    found = next(s for s in demo().sisters if s.sealed.entry.piece.piece == "SH-014")
    assert found.sealed.verdict is Verdict.HELD
    assert found.nearer is Nearer.BARE


def test_sealed_pieces_without_a_like_have_no_sister() -> None:
    without = {"SH-016", "SH-022", "SH-028", "SH-030"}
    assert without.isdisjoint({s.sealed.entry.piece.piece for s in demo().sisters})


@pytest.mark.parametrize("piece", ROWS)
def test_time_to_visible_change_is_the_tables(piece: str) -> None:
    drifts = [
        plain(de00, days=days) for days, de00 in zip(DAYS[1:], drifts_of(ROWS[piece]), strict=True)
    ]
    found = find_visible_change(drifts, 2.3)
    if VISIBLE[piece] == ">12":
        assert found.about is None
        assert found.words == "Not by 12 months."
    else:
        assert found.about is not None
        assert months(found.about) == pytest.approx(float(VISIBLE[piece]), abs=MONTHS_PRINTED)


@pytest.mark.parametrize("piece", WHOLE)
def test_time_to_visible_change_from_the_colours(piece: str) -> None:
    found = strand_of(demo(), piece).visible
    if VISIBLE[piece] == ">12":
        assert found.about is None
    else:
        assert found.about is not None
        assert months(found.about) == pytest.approx(float(VISIBLE[piece]), abs=MONTHS_FROM_TENTHS)


def test_three_zones_are_three_strands_and_never_one() -> None:
    assert [s.zone for s in demo().strands_of(ZONED)] == ["left", "centre", "right"]
    assert all(
        reading.zone != ""
        for s in demo().strands_of(ZONED)
        for reading in [s.looks[0].reading]
        if reading is not None
    )


@pytest.mark.parametrize(("zone", "like"), [("left", "SH-024"), ("right", "SH-025")])
def test_zones_are_watched_each_by_its_own_colour(zone: str, like: str) -> None:
    drifts = strand_of(demo(), ZONED, zone).drifts
    assert [d.de00 for d in drifts] == pytest.approx(drifts_of(ROWS[like]), abs=LAB_IN_TENTHS)


def test_bare_zone_is_watched_from_its_first_dry_look() -> None:
    strand = strand_of(demo(), ZONED, "centre")
    assert strand.seal_cost is None
    assert strand.baseline is strand.fresh is strand.looks[0]
    assert strand.drifts[-1].de00 == pytest.approx(19.22, abs=LAB_IN_TENTHS)


def test_wanted_colour_need_not_be_the_largest() -> None:
    for piece in LESS_THAN_HALF:
        fresh = strand_of(demo(), piece).fresh
        assert fresh is not None and fresh.share is not None
        assert fresh.share < 0.5


def test_same_colour_with_less_cover_is_not_the_same() -> None:
    taken, missed = strand_of(demo(), "SH-002").fresh, strand_of(demo(), "SH-008").fresh
    assert taken and missed and taken.share and missed.share
    pair = next(p for p in demo().pairs if p.factor == "prep" and p.a.entry.piece.piece == "SH-002")
    assert pair.de00_fresh == pytest.approx(0.8, abs=PRINTED)
    assert (round(100 * taken.share), round(100 * missed.share)) == (97, 58)


def test_pairs_by_factor_are_the_tables() -> None:
    expected = {(r["factor"], r["piece_a"], r["piece_b"]) for r in read_table("demo_pairs.csv")}
    assert len(expected) == 43
    found = {(p.factor, p.a.entry.piece.piece, p.b.entry.piece.piece) for p in demo().pairs}
    assert {pair for pair in found if ZONED not in pair} == {
        pair for pair in expected if ZONED not in pair
    }
    assert expected <= found


def test_zones_add_only_pairs_of_their_own_plate_and_its_likes() -> None:
    added = [p for p in demo().pairs if p.a.zone or p.b.zone]
    assert {s.entry.piece.piece for p in added for s in (p.a, p.b)} == {
        "SH-023", "SH-024", "SH-025",
    }  # fmt: skip
    assert {p.factor for p in added} == {"sealant", ""}


def test_salt_left_out_turns_green_to_brown() -> None:
    pair = next(p for p in demo().pairs if p.factor == "recipe")
    assert "green to brown" in pair.direction


def test_pairs_come_from_the_records_alone() -> None:
    factors = [list_factors(strand) for strand in demo().strands]
    near = find_near(factors)
    assert len(near) == len(demo().pairs)
    found, problems = find_sisters(demo().strands, factors, near)
    assert len(found) == len(demo().sisters)
    assert problems == ()


def test_failures_are_shelved_by_outcome() -> None:
    failed = {row["id"] for row in ROWS.values() if row["outcome"] != "success"}
    assert {failure.entry.piece.piece for failure in demo().failures} == failed
