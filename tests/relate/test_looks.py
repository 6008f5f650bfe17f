"""What is compared with what, and why a look is not."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from builder.records.photo import (
    CardReport,
    ColourShare,
    Evidence,
    Lab,
    Light,
    Observation,
    SheetReport,
    State,
)
from builder.records.piece import Entry
from builder.relate.findings import Strand, Verdict
from tests.relate.demo import entry_of, find, photo, read, strand_of

START = dt.date(2024, 10, 1)
BROWN: Lab = (33.0, 10.0, 12.0)
BARE = {"started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}
WAXED = {
    **BARE,
    "sealant": {"kind": "beeswax", "date": "2024-10-04"},
    "cure": {"for": "48 h"},
}


def on(days: int) -> dt.date:
    return START + dt.timedelta(days=days)


def shot(days: int, state: State | None, lab: Lab = BROWN, **told: Any) -> Observation:
    reading = told.pop("reading", None) or read(lab)
    readings = () if told.pop("unread", False) else (reading,)
    return photo("SH-901", on(days), state, readings, **told)


def draw(entry: Entry, *shots: Observation) -> Strand:
    return strand_of(find((entry,), list(shots)), "SH-901")


def why(strand: Strand, days: int) -> str:
    return next(look.excluded for look in strand.looks if look.taken == on(days))


def test_a_sheet_that_cannot_be_gone_by_says_itself_why() -> None:
    spoilt = SheetReport("", 0, 0, 0.0, 0.0, rejected="there are marks of two jig sheets")
    second = replace(shot(7, State.RECHECK, unread=True), sheet=spoilt)
    strand = draw(entry_of(**BARE), shot(1, State.DRY), second)
    assert why(strand, 7) == "there are marks of two jig sheets"


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"state": State.WET}, "wet: never compared with dry"),
        ({"state": State.EVENT}, "shows an event, not a check"),
        ({"state": State.FAILURE_DETAIL}, "a detail of a failure, not a check"),
        ({"state": State.RECHECK, "side": "back"}, "shows the back: only fronts are compared"),
        (
            {"state": State.RECHECK, "light": Light.RAKING},
            "raking light: shows texture, not colour",
        ),
        (
            {"state": State.RECHECK, "light": Light.CROSS_POLARISED},
            "cross-polarised: not compared with plain light",
        ),
        ({"state": State.RECHECK, "named_piece": "SH-012"}, "file name says SH-012"),
        (
            {"state": State.RECHECK, "reading": read(BROWN, evidence=Evidence.NONE)},
            "no reference card in it",
        ),
        (
            {"state": State.RECHECK, "reading": read(BROWN, evidence=Evidence.SHEET)},
            "only white paper to go by: its set-up names no card",
        ),
        (
            {"state": State.RECHECK, "reading": read(BROWN, withheld="glare over half of it")},
            "glare over half of it",
        ),
        ({"state": State.RECHECK, "unread": True}, "no place of the piece is known in it"),
        ({"state": State.RECHECK, "lab": (60.0, -40.0, 0.0)},
         "the colour followed is not found in it"),
    ],
)  # fmt: skip
def test_look_that_serves_no_comparison_is_told_with_its_reason(
    told: dict[str, Any], words: str
) -> None:
    odd = shot(30, **told)
    strand = draw(
        entry_of(**BARE), shot(2, State.DRY), odd, shot(60, State.RECHECK), shot(90, State.RECHECK)
    )
    assert why(strand, 30) == words
    assert [drift.days for drift in strand.drifts] == [58, 88]


@pytest.mark.parametrize("state", [State.BARE, State.CLEANED, State.DURING])
def test_metal_before_its_colour_opens_no_watch(state: State) -> None:
    strand = draw(entry_of(**BARE), shot(0, state), shot(2, State.DRY), shot(60, State.RECHECK))
    assert why(strand, 0)
    assert strand.baseline is not None and strand.baseline.taken == on(2)


def test_reason_a_card_was_refused_is_passed_on() -> None:
    refused = shot(30, State.RECHECK, reading=read(BROWN, evidence=Evidence.NONE))
    told = CardReport("grey steps", None, rejected="the card is half covered")
    odd = Observation(refused.file, refused.picture, told, refused.readings)
    strand = draw(entry_of(**BARE), shot(2, State.DRY), odd)
    assert why(strand, 30) == "the card is half covered"


def test_picture_without_a_card_shows_no_colour() -> None:
    strand = draw(entry_of(**BARE), shot(2, State.DRY, reading=read(BROWN, evidence=Evidence.NONE)))
    assert strand.looks[0].colour is None
    assert strand.missing[0] == "no photograph with a card that could be used"


def test_wet_look_has_its_colour_and_leads_nothing() -> None:
    strand = draw(
        entry_of(**BARE),
        shot(2, State.DRY),
        shot(3, State.WET, (25.0, 12.0, 14.0)),
        shot(60, State.RECHECK),
    )
    assert strand.looks[1].colour == (25.0, 12.0, 14.0)
    assert len(strand.drifts) == 1


def test_other_light_is_compared_where_it_is_the_rule() -> None:
    crossed = {"light": Light.CROSS_POLARISED}
    strand = draw(
        entry_of(**BARE),
        shot(2, State.DRY, **crossed),
        shot(30, State.RECHECK, name="plain.jpg"),
        shot(60, State.RECHECK, **crossed),
    )
    assert why(strand, 30) == "plain: not compared with cross-polarised light"
    assert [drift.days for drift in strand.drifts] == [58]


def test_watch_of_a_sealed_piece_begins_after_the_cure() -> None:
    strand = draw(
        entry_of(**WAXED),
        shot(2, State.BEFORE_SEAL),
        shot(3, State.AFTER_SEAL, (30.0, 11.0, 13.0)),
        shot(4, State.AFTER_SEAL, (30.0, 11.0, 13.0)),
        shot(7, State.AFTER_SEAL, (29.0, 11.0, 13.0)),
        shot(90, State.RECHECK, (29.0, 11.0, 12.0)),
    )
    assert [why(strand, 3), why(strand, 4)] == ["still curing", "still curing"]
    assert strand.fresh and strand.baseline and strand.seal_cost
    assert (strand.fresh.taken, strand.baseline.taken) == (on(2), on(7))
    assert strand.seal_cost.days == 5
    assert [drift.days for drift in strand.drifts] == [83]


def test_first_recheck_after_cure_serves_where_none_is_called_after_seal() -> None:
    strand = draw(entry_of(**WAXED), shot(2, State.DRY), shot(60, State.RECHECK))
    assert strand.baseline is not None and strand.baseline.taken == on(60)
    assert strand.fresh is not None and strand.fresh.taken == on(2)


def test_last_look_before_sealing_is_the_chosen_one() -> None:
    strand = draw(
        entry_of(**WAXED), shot(2, State.DRY), shot(3, State.BEFORE_SEAL), shot(7, State.AFTER_SEAL)
    )
    assert strand.fresh is not None and strand.fresh.taken == on(3)


def test_makers_share_names_the_colour_at_the_chosen_look() -> None:
    green, brown = (63.0, -24.0, -3.0), (40.0, 13.0, 16.0)

    def both(share: float) -> Any:
        return read((ColourShare(green, share), ColourShare(brown, 1 - share)))

    strand = draw(
        entry_of(**WAXED, coverage_pct="60"),
        shot(2, State.BEFORE_SEAL, reading=both(0.6)),
        shot(7, State.AFTER_SEAL, reading=both(0.35)),
    )
    assert [look.colour for look in strand.looks] == [green, green]


@pytest.mark.parametrize(("days", "state"), [(30, State.BEFORE_SEAL), (2, State.AFTER_SEAL)])
def test_state_against_the_day_of_sealing_is_a_problem(days: int, state: State) -> None:
    findings = find((entry_of(**WAXED),), [shot(days, state)])
    assert why(strand_of(findings, "SH-901"), days) == "its state and the date of sealing disagree"
    assert "sealed 2024-10-04" in findings.problems[0].found


def test_finish_that_is_its_own_sealant_is_watched_from_its_first_dry_look() -> None:
    strand = draw(
        entry_of(**{**BARE, "sealant": {"kind": "finish is the sealant"}}),
        shot(2, State.DRY),
        shot(60, State.RECHECK),
    )
    assert strand.sealed is False
    assert strand.sealant == "finish is the sealant"
    assert strand.seal_cost is None
    assert len(strand.drifts) == 1


def test_photograph_may_speak_of_sealing_where_the_sidecar_is_silent() -> None:
    silent = {k: v for k, v in BARE.items() if k != "sealant"}
    strand = draw(
        entry_of(**silent),
        shot(2, State.DRY),
        shot(7, State.AFTER_SEAL),
        shot(60, State.RECHECK),
    )
    assert strand.sealed is None
    assert "whether it was sealed is not written" in strand.missing
    assert strand.baseline is not None and strand.baseline.taken == on(7)


def test_whole_plate_reading_never_stands_for_a_zone() -> None:
    entry = entry_of(
        **{k: v for k, v in BARE.items() if k != "sealant"},
        zones=[{"name": "left", "sealant": "none"}, {"name": "right", "sealant": "shellac"}],
    )
    findings = find((entry,), [shot(2, State.DRY)])
    assert [s.zone for s in findings.strands] == ["left", "right"]
    assert all(look.colour is None for s in findings.strands for look in s.looks)


def test_two_setups_are_told_beside_the_difference() -> None:
    strand = draw(entry_of(**BARE), shot(2, State.DRY), shot(60, State.RECHECK, setup="kitchen"))
    assert strand.drifts[0].notes == ("taken on two set-ups: bench, kitchen",)


@pytest.mark.parametrize(
    ("sidecar", "shots", "missing"),
    [
        (BARE, [], "no photograph"),
        (BARE, [shot(2, State.DRY)], "no recheck yet"),
        (BARE, [shot(2, State.WET)], "no photograph of it dry that can be compared"),
        (WAXED, [shot(7, State.AFTER_SEAL)], "no photograph before sealing that can be compared"),
        (WAXED, [shot(2, State.BEFORE_SEAL)], "no photograph after the cure that can be compared"),
        ({**BARE, "sealant": "shellac"}, [shot(2, State.DRY)], "the day of sealing is not written"),
    ],
)  # fmt: skip
def test_what_is_missing_is_told(
    sidecar: dict[str, Any], shots: list[Observation], missing: str
) -> None:
    assert missing in draw(entry_of(**sidecar), *shots).missing


def test_days_are_counted_from_colouring_and_from_sealing() -> None:
    strand = draw(
        entry_of(**WAXED), shot(-1, State.BARE), shot(2, State.DRY), shot(60, State.RECHECK)
    )
    counted = [(look.days_since_coloured, look.days_since_sealed) for look in strand.looks]
    assert counted == [(None, None), (2, None), (60, 57)]


def test_states_that_are_inferred_say_so() -> None:
    strand = draw(entry_of(**BARE), shot(2, None), shot(60, None))
    assert [(look.state, look.state_from) for look in strand.looks] == [
        (State.DRY, "dates"), (State.RECHECK, "dates"),
    ]  # fmt: skip


def test_no_verdict_rests_on_a_doubtful_reading() -> None:
    doubtful = replace(read((50.0, 10.0, 12.0)), flags=("Doubtful: 5 % of the area is glare.",))
    later = shot(60, State.RECHECK, reading=doubtful)
    strand = draw(entry_of(**BARE), shot(1, State.DRY), later)
    assert strand.verdict is Verdict.CANNOT_TELL
    assert "doubtful" in strand.verdict_words
    assert strand.visible.by is None
    strand = draw(entry_of(**BARE), shot(1, State.DRY), shot(30, State.RECHECK), later)
    assert strand.verdict is Verdict.HELD
    assert strand.latest is not None
    assert strand.latest.taken == on(30)
    assert len(strand.drifts) == 2
