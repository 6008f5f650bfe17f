"""Which of the colours seen is followed from look to look.

A piece shows several colours: the one that was wanted, and what shows between. Their mean is a
colour that is nowhere on the metal, so one of them is followed through the piece's life.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from builder.measure.difference import delta_e_2000_of
from builder.records.photo import ColourShare

#: A colour that has moved further than this in one step is taken for another one, ΔE00. The
#: greatest step known from one look to the next is a heat colour under lacquer, about 16.
#: Common practice, no source.
LOST_BEYOND = 25.0

#: What a change of share weighs against a change of colour: a colour that loses or gains the whole
#: area counts as one that moved by this much, ΔE00. Common practice, no source.
SHARE_WEIGHS = 10.0

Colours = tuple[ColourShare, ...]
Match = tuple[int | None, ...]


def follow_colour(
    looks: Sequence[Colours], chosen_at: int, share: float | None
) -> tuple[ColourShare | None, ...]:
    """The followed colour in each of ``looks`` (by date, none without colours); None where lost.

    At ``looks[chosen_at]`` it is the largest, or the one whose share of the area is nearest to
    ``share`` (0 to 1) where the maker wrote one. From there it is followed to both sides.
    """
    if not looks:
        return ()
    chosen = choose_colour(looks[chosen_at], share)
    after = _follow_on(looks[chosen_at:], chosen)
    before = _follow_on(looks[chosen_at::-1], chosen)
    return (*before[:0:-1], *after)


def choose_colour(colours: Colours, share: float | None) -> int:
    """Which of the colours is the one that was wanted."""
    if share is None:
        return max(range(len(colours)), key=lambda i: colours[i].share)
    return min(range(len(colours)), key=lambda i: abs(colours[i].share - share))


def find_again(before: Colours, followed: int, after: Colours) -> int | None:
    """Which colour of ``after`` is ``before[followed]``; None where it is lost."""
    return match_colours(before, after)[followed]


def match_colours(before: Colours, after: Colours) -> Match:
    """For each colour of ``before`` which of ``after`` it is; None where it is lost.

    All colours are matched at once, each to at most one: the nearest taken alone would jump to a
    neighbour when the followed colour moves past it. The match with the least change is taken, of
    colour (share times ΔE00) and of share together; a colour without a match counts as moved by
    ``LOST_BEYOND``, and one without a forerunner costs nothing.
    """
    if not before or not after:
        return (None,) * len(before)
    costs = [[_cost(one, other) for other in after] for one in before]
    _, match = _cheapest_match(costs, [c.share for c in before], frozenset())
    return match


def _cost(before: ColourShare, after: ColourShare) -> float:
    apart = delta_e_2000_of(before.lab, after.lab)
    if apart > LOST_BEYOND:
        return math.inf
    return before.share * apart + SHARE_WEIGHS * abs(before.share - after.share)


def _cheapest_match(
    costs: Sequence[Sequence[float]], shares: Sequence[float], taken: frozenset[int]
) -> tuple[float, Match]:
    """The cost of the cheapest match of the colours left, and the match; five colours at most
    make 1546 of them."""
    if not shares:
        return 0.0, ()
    cost, rest = _cheapest_match(costs[1:], shares[1:], taken)
    best: tuple[float, Match] = (cost + shares[0] * LOST_BEYOND, (None, *rest))
    for place, step in enumerate(costs[0]):
        if place in taken or math.isinf(step):
            continue
        cost, rest = _cheapest_match(costs[1:], shares[1:], taken | {place})
        if cost + step < best[0]:
            best = cost + step, (place, *rest)
    return best


def _follow_on(looks: Sequence[Colours], chosen: int) -> list[ColourShare | None]:
    found: list[ColourShare | None] = [looks[0][chosen]]
    last, followed = looks[0], chosen
    for colours in looks[1:]:
        again = find_again(last, followed, colours)
        if again is None:
            found.append(None)  # the next look is matched with the last one that showed it
            continue
        found.append(colours[again])
        last, followed = colours, again
    return found
