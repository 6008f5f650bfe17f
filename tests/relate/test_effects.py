"""What one change does: the test over sets, and libraries drawn with and without effects."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from builder.relate.effects import (
    CHANCE,
    Bucket,
    Change,
    find_effects,
    least_p,
    say_shift,
    sets_to_claim,
    share_out,
    sign_test,
    weigh,
)
from builder.relate.findings import Aspect, Effect, Shift, Strand
from builder.relate.pairs import find_near
from builder.relate.series import find_rows
from tests.relate.demo import entry_of, find_demo
from tests.relate.drawn import draw_look, draw_strand, factors_of

RUNS = 400
#: Pieces of one recipe stray by so much in each of L*, a*, b*.
STRAY = 1.5


def relate(strands: list[Strand]) -> tuple[Effect, ...]:
    factors = factors_of(strands)
    near = find_near(factors)
    return find_effects(strands, find_rows(factors, near), near)


def draw(
    sets: int, repeats: int = 1, effect: tuple[float, float, float] = (0, 0, 0), seed: int = 1
) -> list[Strand]:
    """Sets of 15 s and 45 s in so many baths; ``effect`` in L*, chroma, degrees of hue."""
    rng = np.random.default_rng(seed)
    strands = []
    for bath in range(sets):
        L, C, h = rng.uniform((30, 20, 40), (60, 35, 80))
        for value, time in enumerate(("15 s", "45 s")):
            for _ in range(repeats):
                piece = f"E-{len(strands):03}"
                dL, dC, dh = (value * step for step in effect)
                turn = np.radians(h + dh)
                lab = np.array([L + dL, (C + dC) * np.cos(turn), (C + dC) * np.sin(turn)])
                lab += rng.normal(0, STRAY, 3)
                entry = entry_of(
                    piece=piece, exposure=time, temperature_c="45",
                    ingredients=[{"name": f"bath {bath}"}],
                )  # fmt: skip
                strands.append(draw_strand(entry, draw_look(piece, tuple(lab.tolist()), u=1.0)))
    return strands


def shift_of(effect: Effect, aspect: Aspect) -> Shift:
    return next(shift for shift in effect.shifts if shift.aspect is aspect)


def of_time(effects: tuple[Effect, ...]) -> Effect:
    (effect,) = (effect for effect in effects if effect.factor == "time")
    return effect


@pytest.mark.parametrize(
    ("rose", "fell", "p"),
    # Source: table of the sign test, W. J. Dixon and A. M. Mood, The statistical sign test, Journal
    # of the American Statistical Association 41 (1946); the binomial sums by hand.
    [(0, 0, 1.0), (3, 3, 1.0), (6, 0, 2 / 64), (0, 5, 2 / 32), (7, 1, 18 / 256), (1, 9, 22 / 1024)],
)
def test_sign_test_is_the_binomial(rose: int, fell: int, p: float) -> None:
    assert sign_test(rose, fell) == pytest.approx(p)
    assert least_p(rose + fell) <= sign_test(rose, fell)


def dull(aspect_sets: list[int]) -> list[Shift]:
    return [
        Shift(Aspect.LIGHTNESS, n, -1.0, -1.0, -1.0, 0, n, -1.0, 0.1, sign_test(0, n), "darker")
        for n in aspect_sets
    ]


def test_questions_that_cannot_be_answered_yes_take_no_share() -> None:
    # Source: R. E. Tarone, Biometrics 46 (1990) 515-522: K is the least for which no more than K
    # of the least attainable p reach 0.05 / K.
    assert share_out(dull([3] * 40 + [6])) == CHANCE
    assert share_out(dull([6, 6, 6])) == CHANCE / 2  # 2/64 reaches 0.05 but not 0.025
    assert share_out(dull([8] * 6)) == CHANCE / 6
    assert share_out([]) == CHANCE


def draw_null(rng: np.random.Generator, u: float) -> dict[Change, list[Bucket]]:
    """A library in which nothing does anything: three factors of four values in up to 20 sets."""
    found: dict[Change, list[Bucket]] = {}
    for factor in ("time", "temp", "prep"):
        for _ in range(int(rng.integers(3, 21))):
            middle = rng.uniform((30, 5, 5), (60, 25, 25))
            labs = middle + rng.normal(0, STRAY, (4, 3))
            cover = np.clip(0.8 + rng.normal(0, 0.1, 4), 0, 1)
            for one, two in combinations(range(4), 2):
                change = (factor, (("value", float(one)),), (("value", float(two)),))
                bucket = Bucket(
                    tuple(labs[one].tolist()), tuple(labs[two].tolist()),
                    (float(cover[one]), float(cover[two])), u,
                )  # fmt: skip
                found.setdefault(change, []).append(bucket)
    return found


def test_a_library_without_effects_claims_one_in_at_most_one_of_twenty() -> None:
    # The readings are drawn so good that the second gate stands wide open: chance alone decides.
    claiming = 0
    for seed in range(RUNS):
        shifts = weigh(draw_null(np.random.default_rng(seed), u=0.01))
        claiming += any(shift.claimed for some in shifts.values() for shift in some)
    assert claiming <= RUNS / 20


def test_a_drawn_library_of_pieces_without_effects_claims_nothing_more_often() -> None:
    claiming = sum(
        any(effect.claimed for effect in relate(draw(sets=9, seed=seed))) for seed in range(40)
    )
    assert claiming <= 2


@pytest.mark.parametrize("seed", range(5))
def test_known_effects_come_back_with_sign_and_size(seed: int) -> None:
    sets = 14
    effect = of_time(relate(draw(sets, effect=(-6.0, -5.0, 30.0), seed=seed)))
    # A median of n strays by 1.25 σ / √n, a difference of two pieces by √2 of one: three of it.
    within = 3 * 1.25 * STRAY * 2**0.5 / sets**0.5
    for aspect, size in ((Aspect.LIGHTNESS, -6.0), (Aspect.CHROMA, -5.0)):
        shift = shift_of(effect, aspect)
        assert shift.claimed
        assert shift.median == pytest.approx(size, abs=within)
        assert shift.low <= shift.median <= shift.high
    turn = shift_of(effect, Aspect.HUE)
    assert turn.claimed
    assert turn.median == pytest.approx(30.0, abs=np.degrees(within / 15))  # at chroma 15 or more
    assert effect.words == f"Darker; greyer; {turn.words}: 14 sets, 28 pieces."
    assert say_shift(shift_of(effect, Aspect.LIGHTNESS)).startswith(
        "14 of 14 sets went darker: ΔL* −"
    )


def test_an_effect_within_the_noise_of_readings_is_not_claimed() -> None:
    steps = [((40.0 + n, 10.0, 12.0), (39.0 + n, 10.0, 12.0)) for n in range(9)]
    buckets = [Bucket(before, after, None, u=4.0) for before, after in steps]
    change: Change = ("time", (("s", 1.0),), (("s", 2.0),))
    lightness = weigh({change: buckets})[change][0]
    assert (lightness.fell, lightness.p < 0.01, lightness.claimed) == (9, True, False)


def test_a_set_with_many_repeats_counts_once() -> None:
    few, many = of_time(relate(draw(2))), of_time(relate(draw(2, repeats=5)))
    assert (few.sets, few.pieces) == (2, 4)
    assert (many.sets, many.pieces) == (2, 20)
    assert many.words == "Too few to generalise: 2 sets, 20 pieces."
    assert many.shifts == ()


def test_hue_of_greys_is_not_told() -> None:
    grey = [Bucket((30.0 + n, 3.0, 3.0), (25.0 + n, -3.0, 3.0), None, u=0.5) for n in range(9)]
    change: Change = ("time", (("s", 1.0),), (("s", 2.0),))
    assert [shift.aspect for shift in weigh({change: grey})[change]] == [
        Aspect.LIGHTNESS, Aspect.CHROMA,
    ]  # fmt: skip


def test_great_turns_are_told_by_both_names() -> None:
    brown, green = (40.0, 15.0, 20.0), (45.0, -20.0, 10.0)
    buckets = [Bucket(brown, (green[0] + n / 9, *green[1:]), None, u=1.0) for n in range(9)]
    change: Change = ("recipe", (("names", "a"),), (("names", "b"),))
    hue = next(s for s in weigh({change: buckets})[change] if s.aspect is Aspect.HUE)
    assert (hue.words, hue.claimed) == ("brown to green", True)


def test_sets_that_part_evenly_went_neither_way() -> None:
    steps = [-2.0, -1.0, 0.0, 1.0, 2.0]
    buckets = [Bucket((40.0, 10.0, 12.0), (40.0 + d, 10.0, 12.0), None, u=1.0) for d in steps]
    change: Change = ("time", (("s", 1.0),), (("s", 2.0),))
    lightness = weigh({change: buckets})[change][0]
    assert say_shift(lightness).startswith("5 sets on the whole went neither way: ΔL* 0.0, half")


def test_coverage_is_told_where_it_is_known_of_all() -> None:
    buckets = [
        Bucket((40.0, 10.0, 12.0), (40.0, 10.0, 12.0), (0.97, 0.55 + n / 100), u=2.0)
        for n in range(9)
    ]
    change: Change = ("prep", (("steps", "a"),), (("steps", "b"),))
    cover = weigh({change: buckets})[change][-1]
    assert (cover.aspect, cover.words, cover.claimed) == (Aspect.COVERAGE, "less covered", True)
    assert cover.median == pytest.approx(-38.0)


def test_sealants_are_told_of_the_colour_after_the_cure() -> None:
    # Source: the invented demo: wax and lacquer darken all its plates, and no look before sealing
    # could show it.
    wax = next(
        effect
        for effect in find_demo().effects
        if (effect.first, effect.second) == ("none", "microcrystalline wax, 2 coats")
    )
    lightness = shift_of(wax, Aspect.LIGHTNESS)
    assert (wax.sets, lightness.fell) == (5, 5)
    assert not wax.claimed  # five sets of five happen by chance once in sixteen


def test_the_sets_it_takes_to_claim_are_those_with_which_something_is_claimed() -> None:
    """Of one change 7: 2/2⁷ = 0.0156 is under 0.05/2, 2/2⁶ = 0.0313 is not. Beside 40 other
    questions 11: 2/2¹¹ = 0.00098 is under 0.05/42 = 0.00119, 2/2¹⁰ = 0.00195 is not."""
    assert sets_to_claim([]) == 7
    assert sets_to_claim(dull([3] * 40)) == 7  # these could not be answered yes at all
    assert sets_to_claim(dull([12] * 40)) == 11


def test_sets_too_few_to_claim_anything_are_said_to_be_too_few() -> None:
    effect = of_time(relate(draw(6, effect=(-6.0, -5.0, 30.0))))
    assert effect.words == "Too few to claim anything: 6 sets, 12 pieces."
    assert of_time(relate(draw(9))).words.startswith("Nothing beyond chance and the noise")


def test_five_sets_of_five_are_never_enough() -> None:
    assert sign_test(5, 0) > CHANCE >= sign_test(6, 0)


@pytest.mark.parametrize(("sets", "claimed"), [(6, False), (7, True)])
def test_of_one_change_seven_sets_that_agree_are_enough(sets: int, claimed: bool) -> None:
    # Lightness, chroma and hue are three questions: 2/64 is not under 0.05 / 3, and 2/128 is.
    effect = of_time(relate(draw(sets, effect=(-6.0, -5.0, 30.0))))
    assert effect.claimed is claimed
