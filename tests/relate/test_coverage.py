"""Coverage against the same blank photographed bare. Colours and shares of pieces: the invented
demo, `tests/data/demo_pieces.csv`; of bare copper and brass, read from drawn photographs."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from builder.records.photo import ColourShare, Evidence, Lab, Light, Observation, State
from builder.relate.coverage import NO_BARE
from builder.relate.findings import Coverage, Strand
from tests.relate.demo import entry_of, find, photo, read, strand_of

START = dt.date(2024, 10, 1)
COPPER: Lab = (63.0, 19.0, 23.0)
BRASS: Lab = (76.0, 1.0, 32.0)
Shares = tuple[tuple[Lab, float], ...]
DIPPED = {"started": "2024-10-01", "exposure": "45 s", "dry": {"for": "1 d"}, "sealant": "none"}


def shot(days: int, state: State, *shares: tuple[Lab, float], **told: Any) -> Observation:
    colours = tuple(ColourShare(lab, share) for lab, share in shares)
    reading = told.pop("reading", None) or read(colours)
    return photo("SH-901", START + dt.timedelta(days=days), state, (reading,), **told)


def bare(lab: Lab = COPPER, **told: Any) -> Observation:
    return shot(-1, State.BARE, (lab, 1.0), **told)


def told(*shots: Observation, **record: Any) -> list[Coverage | None]:
    strand: Strand = strand_of(find((entry_of(**DIPPED, **record),), list(shots)), "SH-901")
    return [look.coverage for look in strand.looks]


def share(*shots: Observation, **record: Any) -> float | None:
    last = told(*shots, **record)[-1]
    assert last is not None
    return last.share


SH_002: Shares = (((33.0, 10.0, 12.0), 0.97), ((45.0, 14.0, 18.0), 0.03))
SH_008: Shares = (((34.0, 10.0, 12.0), 0.58), ((60.0, 19.0, 23.0), 0.42))
SH_009: Shares = (((75.0, 2.0, 33.0), 0.60), ((69.0, 6.0, 31.0), 0.40))
SH_012: Shares = (((63.0, -24.0, -3.0), 0.76), ((40.0, 13.0, 16.0), 0.24))


@pytest.mark.parametrize(
    ("ground", "shares", "covered"),
    [(COPPER, SH_002, 1.0), (COPPER, SH_008, 0.58), (BRASS, SH_009, 0.40), (COPPER, SH_012, 1.0)],
)
def test_what_is_no_bare_metal_is_covered(ground: Lab, shares: Shares, covered: float) -> None:
    seen = share(bare(ground), shot(1, State.DRY, *shares))
    assert seen == pytest.approx(covered)


def test_bare_islands_that_tarnish_stay_bare() -> None:
    fresh = shot(1, State.DRY, *SH_008)
    half = shot(180, State.RECHECK, ((31.0, 8.0, 9.0), 0.58), ((54.0, 17.0, 21.0), 0.42))
    late = shot(360, State.RECHECK, ((29.0, 7.0, 8.0), 0.58), ((47.0, 15.0, 18.0), 0.42))
    assert share(bare(), fresh, half, late) == pytest.approx(0.58)
    # By itself that last brown, 15 from bright copper, would have been taken for patina.
    assert share(bare(), shot(1, State.DRY, *late_colours(late))) == pytest.approx(1.0)


def late_colours(seen: Observation) -> Shares:
    return tuple((c.lab, c.share) for c in seen.readings[0].colours)


def test_rust_that_comes_later_covers_and_is_not_bare() -> None:
    steel: Lab = (60.0, 0.0, 2.0)
    blue = shot(1, State.DRY, ((38.0, 4.0, -26.0), 0.85), ((58.0, 0.0, 1.0), 0.15))
    rusty = shot(
        90, State.RECHECK,
        ((39.0, 9.0, -10.0), 0.72), ((40.0, 22.0, 31.0), 0.18), ((57.0, 0.0, 2.0), 0.10),
    )  # fmt: skip
    assert share(bare(steel), blue, rusty) == pytest.approx(0.90)


def test_a_piece_that_did_not_take_is_not_covered_at_all() -> None:
    assert share(bare(BRASS), shot(1, State.DRY, ((75.5, 1.5, 32.0), 1.0))) == 0


def test_words_name_what_shows_and_how_it_was_got() -> None:
    _, fresh = told(bare(), shot(1, State.DRY, *SH_008))
    assert fresh is not None
    assert fresh.words.startswith("58 % covered; on the other 42 % the metal shows")
    assert fresh.bare == ((60.0, 19.0, 23.0),)
    assert "bare" in fresh.against


@pytest.mark.parametrize(
    "blank",
    [
        None,
        bare(reading=read(COPPER, evidence=Evidence.NONE)),
        bare(reading=read(COPPER, withheld="glare over half of it")),
        bare(side="back"),
        shot(200, State.BARE, (COPPER, 1.0)),  # of the next attempt: nothing was bare before
    ],
)
def test_without_a_bare_look_to_go_by_there_is_a_sentence_and_no_number(
    blank: Observation | None,
) -> None:
    shots = [shot(1, State.DRY, *SH_008), *([blank] if blank else [])]
    found = [one for one in told(*shots) if one is not None]
    assert {(one.share, one.words) for one in found} == {(None, NO_BARE)}


def test_another_kind_of_light_is_not_told_against() -> None:
    crossed = bare(light=Light.CROSS_POLARISED)
    _, fresh = told(crossed, shot(1, State.DRY, *SH_008))
    assert fresh is not None and fresh.share is None
    assert "light" in fresh.words


def test_the_bare_photograph_itself_has_no_coverage() -> None:
    assert told(bare(), shot(1, State.DRY, *SH_008))[0] is None


def test_a_photograph_with_an_impossible_date_does_not_hide_the_bare_one() -> None:
    odd = shot(-100, State.RECHECK, *SH_008)  # dated before the piece began
    assert share(odd, bare(), shot(1, State.DRY, *SH_008)) == pytest.approx(0.58)
