"""The card's place in its slot, held against cards drawn where we know."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from builder.look.card_places import CardPlace, CardPlaceError, NoCardError, find_card
from builder.look.card_search import lighten
from tests.look.drawn_cards import (
    ORIGIN,
    PX,
    Array,
    Laid,
    Patch,
    draw_card,
    grey_strip,
    nine_patches,
    quad_of,
    target_of_24,
)

# The inner two fifths of a cell are read; with a tenth of a pitch off they still lie in the patch,
# gaps of a quarter included.
PLACE = 0.1
REFUSED = 1  # of twelve cards at random: strict, and of use all the same
TURNS = (0, 90, 180, 270)

CARDS: dict[str, tuple[int, int, list[Patch], tuple[float, float]]] = {
    "24 patches": (4, 6, target_of_24(), (82.0, 55.0)),
    "24 small patches": (4, 6, target_of_24(), (60.0, 40.0)),
    "nine patches": (3, 3, nine_patches(), (70.0, 70.0)),
    "a strip of ten greys": (1, 10, grey_strip(10), (80.0, 12.0)),
    "a strip of six greys": (1, 6, grey_strip(6), (50.0, 10.0)),
    "greys in two rows": (2, 6, grey_strip(12, 2), (75.0, 26.0)),
}


def look(flat: Array, name: str, known: bool = True) -> CardPlace:
    rows, columns, patches, size = CARDS[name]
    return find_card(flat, PX, ORIGIN, rows, columns, patches, size if known else None)


def draw(name: str, laid: Laid) -> Array:
    rows, columns, patches, _ = CARDS[name]
    return draw_card(laid, rows, columns, patches)


def off(found: CardPlace, name: str, laid: Laid) -> float:
    """How far the worst corner lies from where it was drawn, in pitches."""
    rows, columns, _, (width, height) = CARDS[name]
    far = np.linalg.norm(np.array(found.quad_mm) - quad_of(laid, rows, columns), axis=1)
    return float(far.max() / min(width / columns, height / rows))


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", CARDS)
def test_a_card_is_read_in_the_lists_order_whichever_way_it_lies(name: str, turn: int) -> None:
    laid = Laid(CARDS[name][3], (50.0, 51.5), turn + 2.5)
    found = look(draw(name, laid), name)
    assert found.turned == turn
    assert off(found, name, laid) < PLACE
    assert bool(found.said) == (turn != 0)


@pytest.mark.parametrize(("gap", "border"), [(0.0, 0.02), (0.0, 0.95), (0.05, 0.95), (0.25, 0.2)])
def test_neither_gaps_nor_the_borders_colour_move_a_card(gap: float, border: float) -> None:
    for number, name in enumerate(("24 patches", "nine patches", "a strip of ten greys")):
        laid = Laid(CARDS[name][3], (51.5, 50.0), -6.0, gap, border, seed=number)
        assert off(look(draw(name, laid), name), name, laid) < PLACE


@pytest.mark.parametrize(
    ("gains", "gamma"),
    [((1.12, 1.0, 0.7), 1.0), ((0.85, 1.0, 1.2), 1.0), ((1.0, 1.0, 1.0), 0.8),
     ((1.05, 1.0, 0.9), 1.25)],
)  # fmt: skip
@pytest.mark.parametrize("name", ["24 patches", "nine patches", "a strip of ten greys"])
def test_lamps_curves_noise_and_uneven_light_do_not_matter(
    name: str, gains: tuple[float, float, float], gamma: float
) -> None:
    laid = Laid(
        CARDS[name][3], (50.5, 52.0), 94.0, 0.1, 0.03,
        gains=gains, gamma=gamma, uneven=0.25, noise=0.015,
    )  # fmt: skip
    assert off(look(draw(name, laid), name), name, laid) < PLACE


@pytest.mark.parametrize("name", ["24 patches", "24 small patches", "nine patches"])
def test_a_coloured_card_is_found_where_its_size_is_not_known(name: str) -> None:
    laid = Laid(CARDS[name][3], (50.0, 52.0), 184.0)
    found = look(draw(name, laid), name, known=False)
    assert found.turned == 180
    assert off(found, name, laid) < PLACE


def test_places_that_are_not_listed_are_passed_over() -> None:
    rows, columns, patches, size = CARDS["24 patches"]
    laid = Laid(size, turn=3.0)
    some = [patch for patch in patches if patch[:2] not in {(0, 0), (1, 3), (3, 5)}]
    found = find_card(draw("24 patches", laid), PX, ORIGIN, rows, columns, some, size)
    assert off(found, "24 patches", laid) < PLACE


def lay_at_random(seed: int, name: str) -> Laid:
    rng = np.random.default_rng(seed)
    return Laid(
        CARDS[name][3],
        (51 + rng.uniform(-3, 3), 52 + rng.uniform(-3, 3)),
        90.0 * int(rng.integers(4)) + rng.uniform(-8, 8),
        float(rng.uniform(0, 0.25)),
        float(rng.choice([0.02, 0.2, 0.6, 0.95])),
        gains=(float(rng.uniform(0.8, 1.2)), 1.0, float(rng.uniform(0.7, 1.2))),
        gamma=float(rng.uniform(0.8, 1.25)),
        uneven=float(rng.uniform(0, 0.25)),
        noise=float(rng.uniform(0.003, 0.015)),
        seed=seed,
    )


def test_at_random_a_card_is_placed_right_or_seldom_refused_and_never_placed_wrong() -> None:
    refused = []
    for seed, name in enumerate(2 * list(CARDS)):
        laid = lay_at_random(seed, name)
        try:
            found = look(draw(name, laid), name)
        except CardPlaceError as error:
            refused.append((seed, name, error.sentence))
        else:
            assert off(found, name, laid) < PLACE, (seed, name)
    assert len(refused) <= REFUSED, refused


def test_an_empty_slot_holds_no_card() -> None:
    rng = np.random.default_rng(3)
    flat = 1 + 0.02 * rng.standard_normal((416, 408, 3))
    with pytest.raises(NoCardError, match="No card lies in the slot"):
        look(flat, "nine patches")


def test_another_card_is_refused() -> None:
    rng = np.random.default_rng(4)
    rows, columns, patches, size = CARDS["24 patches"]
    order = rng.permutation(len(patches))
    other = [(r, c, patches[n][2]) for (r, c, _), n in zip(patches, order, strict=True)]
    flat = draw_card(Laid(size), rows, columns, other)
    with pytest.raises(CardPlaceError, match="not the card that is listed"):
        look(flat, "24 patches")


@pytest.mark.parametrize("name", ["24 patches", "nine patches"])
def test_a_mirrored_card_is_refused_and_said_so(name: str) -> None:
    with pytest.raises(CardPlaceError, match="mirrored"):
        look(draw(name, Laid(CARDS[name][3], mirrored=True)), name)


@pytest.mark.parametrize("name", ["24 patches", "nine patches", "a strip of ten greys"])
@pytest.mark.parametrize("share", [0.3, 0.5])
def test_a_card_partly_covered_is_refused(name: str, share: float) -> None:
    flat = draw(name, Laid(CARDS[name][3]))
    width = CARDS[name][3][0]
    edge = round((51.0 - width / 2 + share * width) * PX)
    flat[:, :edge] = (0.42, 0.27, 0.2)  # a hand, a cloth
    with pytest.raises(CardPlaceError, match="cover"):
        look(flat, name)


@pytest.mark.parametrize("name", ["24 patches", "nine patches"])
def test_a_hard_shadow_over_some_patches_is_refused(name: str) -> None:
    flat = draw(name, Laid(CARDS[name][3]))
    flat[: round(30 * PX), : round(45 * PX)] *= 0.3
    with pytest.raises(CardPlaceError, match="in shadow"):
        look(flat, name)


@pytest.mark.parametrize("name", CARDS)
def test_a_card_half_out_of_the_slot_is_refused(name: str) -> None:
    with pytest.raises(CardPlaceError):
        look(draw(name, Laid(CARDS[name][3], (88.0, 92.0))), name)


def test_greys_alone_do_not_tell_their_size() -> None:
    name = "a strip of ten greys"
    with pytest.raises(CardPlaceError, match="card_mm"):
        look(draw(name, Laid(CARDS[name][3])), name, known=False)


def test_a_wrong_size_is_refused() -> None:
    rows, columns, patches, size = CARDS["24 patches"]
    flat = draw("24 patches", Laid(size))
    with pytest.raises(CardPlaceError):
        find_card(flat, PX, ORIGIN, rows, columns, patches, (size[0] * 0.8, size[1] * 0.8))


def test_the_same_picture_gives_the_same_place() -> None:
    name = "nine patches"
    flat = draw(name, replace(Laid(CARDS[name][3]), turn=5.0))
    assert look(flat, name) == look(flat.copy(), name)


def test_lightness_is_that_of_the_cie() -> None:
    # CIE 15:2004, 8.2.1: L* of Y 0.184187 is 50.0; of 0.008856, 8.0; of 1, 100.
    assert lighten(np.array([0.0, 0.008856, 0.184187, 1.0])) == pytest.approx(
        [0, 0.08, 0.5, 1], abs=1e-4
    )
