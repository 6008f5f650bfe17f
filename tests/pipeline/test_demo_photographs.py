"""The demo's photographs, read through the whole pipeline, against what the studio drew and what
the demo's table says. Source of every truth here: invented demo, tests/data and tests/studio."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from builder.records.photo import Evidence, Lab, State
from builder.relate.findings import Difference, Findings, Look, Nearer, Sisters, Strand, Verdict
from builder.relate.verdicts import judge_drift
from tests.pipeline.demo_library import gathered_demo
from tests.reference import colour
from tests.studio import faults
from tests.studio.diary import find_shot
from tests.studio.pieces import read_pieces
from tests.studio.truths import truth

DATA = Path(__file__).parents[1] / "data"
NUMBERS = sorted(read_pieces())
#: Ninety in a hundred readings stay within u by its definition; with some 250 readings the share
#: strays by three standard errors, 3 √(0.9 · 0.1 / 250) = 0.06.
LEAST_WITHIN_U = 0.84


def findings() -> Findings:
    return gathered_demo().findings


def strand_of(piece: str, zone: str = "") -> Strand:
    return next(s for s in findings().strands_of(piece) if s.zone == zone)


def sisters_of(sealed: str, zone: str = "") -> Sisters:
    return next(
        s
        for s in findings().sisters
        if (s.sealed.entry.piece.piece, s.sealed.zone) == (sealed, zone)
    )


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def true_lab(look: Look) -> Lab:
    shot = find_shot(Path(look.observation.file.path).name)
    zones = truth(shot.piece.number, shot.phase, shot.days).zones
    return next(zone for zone in zones if zone.name == look.zone).main.lab


def de00(a: Lab, b: Lab) -> float:
    """CIEDE2000 by colour-science, a general-purpose reference library."""
    return float(colour.delta_E(np.array(a), np.array(b), method="CIE 2000"))


def measured_looks() -> list[Look]:
    return [
        look
        for strand in findings().strands
        for look in strand.looks
        if look.colour is not None
        and not look.excluded
        and look.observation.file.path.endswith((".jpg", ".heic"))
        and "phone-" not in look.observation.file.path
    ]


def test_nine_in_ten_readings_lie_within_their_own_u_of_the_truth() -> None:
    looks = measured_looks()
    assert len(looks) > 180
    within = [
        de00(look.colour, true_lab(look)) <= look.reading.u
        for look in looks
        if look.colour and look.reading
    ]
    assert np.mean(within) >= LEAST_WITHIN_U


@pytest.mark.parametrize("number", [n for n in NUMBERS if n != "SH-024"])
def test_a_years_drift_is_the_tables_within_u(number: str) -> None:
    last = strand_of(number).drifts[-1]
    expected = de00(true_lab(last.first), true_lab(last.second))
    assert abs(last.de00 - expected) <= last.u


@pytest.mark.parametrize("zone", ["left", "centre", "right"])
def test_each_zone_of_the_split_plate_drifts_by_itself(zone: str) -> None:
    last = strand_of("SH-024", zone).drifts[-1]
    assert abs(last.de00 - de00(true_lab(last.first), true_lab(last.second))) <= last.u


def test_the_split_plate_is_never_one_colour() -> None:
    assert {s.zone for s in findings().strands_of("SH-024")} == {"left", "centre", "right"}


@pytest.mark.parametrize("row", rows("demo_sisters.csv"), ids=lambda row: row["sealed"])
def test_seal_costs_are_the_tables_within_u(row: dict[str, str]) -> None:
    cost = strand_of(row["sealed"], row["sealed_zone"]).seal_cost
    assert cost is not None
    assert abs(cost.de00 - float(row["seal_cost"])) <= cost.u


def compatible(difference: Difference, verdict: Verdict) -> bool:
    """Whether a verdict could have come from the true drift, read with an error of at most u."""
    true = de00(true_lab(difference.first), true_lab(difference.second))
    reach = np.linspace(max(0.0, true - difference.u), true + difference.u, 201)
    threshold = findings().library.settings.threshold
    return verdict in {judge_drift(float(d), difference.u, threshold) for d in reach}


@pytest.mark.parametrize("number", NUMBERS)
def test_no_verdict_says_more_than_the_truth_allows(number: str) -> None:
    for strand in findings().strands_of(number):
        assert compatible(strand.drifts[-1], strand.verdict)


def test_plain_cases_are_called() -> None:
    for number in ("SH-004", "SH-005", "SH-014", "SH-015", "SH-020", "SH-022"):
        assert strand_of(number).verdict is Verdict.HELD
    for number in ("SH-001", "SH-002", "SH-012", "SH-016", "SH-023", "SH-027"):
        assert strand_of(number).verdict is Verdict.MOVED


def test_a_wax_that_held_well_can_still_lose_to_its_bare_sister() -> None:
    sisters = sisters_of("SH-014")
    assert sisters.sealed.verdict is Verdict.HELD
    assert sisters.nearer is Nearer.BARE


@pytest.mark.parametrize("row", rows("demo_sisters.csv"), ids=lambda row: row["sealed"])
def test_which_sister_is_nearer_is_the_tables_or_within_the_noise_of_it(
    row: dict[str, str],
) -> None:
    sisters = sisters_of(row["sealed"], row["sealed_zone"])
    assert sisters.u is not None and sisters.nearer is not None
    gap = float(row["to_bare"]) - float(row["to_sealed"])  # positive: the sealed one is nearer
    # The two differences are read from four photographs: the gap strays by √2 u.
    reach = np.linspace(gap - 2**0.5 * sisters.u, gap + 2**0.5 * sisters.u, 201)
    possible = {
        Nearer.TOO_CLOSE if abs(g) <= sisters.u else Nearer.SEALED if g > 0 else Nearer.BARE
        for g in reach
    }
    assert sisters.nearer in possible


def test_colour_alone_does_not_hide_a_patchy_piece() -> None:
    whole, patchy = strand_of("SH-002").fresh, strand_of("SH-008").fresh
    assert whole and patchy and whole.colour and patchy.colour and whole.share and patchy.share
    assert de00(whole.colour, patchy.colour) < 2.3
    assert whole.share - patchy.share > 0.25


@pytest.mark.parametrize("number", ["SH-001", "SH-002", "SH-008", "SH-009", "SH-030"])
def test_coverage_against_the_bare_blank_is_the_truth_within_five_points(number: str) -> None:
    told = [look for look in measured_looks() if look.observation.file.piece == number]
    assert len(told) >= 5
    for look in told:
        shot = find_shot(Path(look.observation.file.path).name)
        (zone,) = truth(number, shot.phase, shot.days).zones
        assert look.coverage is not None and look.coverage.share is not None
        assert abs(look.coverage.share - zone.main.share) <= 0.05


def test_a_stain_under_the_green_is_patina_too() -> None:
    fresh = strand_of("SH-012").fresh
    assert fresh and fresh.coverage and fresh.coverage.share is not None and fresh.share
    assert fresh.coverage.share > 0.95
    assert abs(fresh.share - 0.76) <= 0.05


def test_unchanged_pieces_have_an_empty_change_map_and_flaking_ones_a_full_one() -> None:
    for number in ("SH-004", "SH-005", "SH-015", "SH-020", "SH-022"):
        change = strand_of(number).change
        assert change is not None and change.share <= 0.01
    flaked = strand_of("SH-013").change
    assert flaked is not None and flaked.share > 0.25 and flaked.largest > 20


def excluded(name: str) -> str:
    return next(
        look.excluded
        for strand in findings().strands
        for look in strand.looks
        if look.observation.file.path.endswith(name)
    )


def test_every_planted_fault_is_kept_out_of_the_figures() -> None:
    assert "SH-012" in excluded("SH-014/SH-012_2024-11-05_recheck_front.jpg")
    assert "same picture" in excluded(faults.DUPLICATE[2])
    assert "2024-01-01" in "".join(
        p.found for p in findings().problems if "SH-021_2024-01-01" in p.file
    )
    wet = [look for look in strand_of(faults.WET).looks if look.state is State.WET]
    assert wet and all(look.excluded for look in wet)


def find_observations(number: str, planned: int) -> list[Look]:
    return [
        look
        for look in strand_of(number).looks
        if "phone-" not in look.observation.file.path
        and (shot := find_shot(Path(look.observation.file.path).name)).planned == planned
        and shot.side == "front"
        and shot.piece.number == number
    ]


def test_warm_light_with_a_card_comes_right() -> None:
    for number, planned in faults.WARM_WITH_CARD:
        looks = [look for look in find_observations(number, planned) if look.colour]
        assert looks
        for look in looks:
            assert look.colour and look.reading
            assert de00(look.colour, true_lab(look)) <= look.reading.u


def test_warm_light_without_a_card_is_refused() -> None:
    number, planned = faults.WARM_WITHOUT_CARD
    (look,) = find_observations(number, planned)
    assert look.reading is not None
    assert look.reading.evidence is Evidence.SHEET  # white paper alone: no drift is drawn from it
    assert "No card lies in the slot" in look.excluded
    assert look.colour is None


def test_the_late_recheck_counts_its_real_days() -> None:
    number, _, real = faults.LATE_RECHECK
    days = [d.days for d in strand_of(number).drifts]
    assert any(abs(d - real) <= 3 for d in days)
