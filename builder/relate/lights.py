"""Two photographs under unlike light, told from what their cameras made of one card's greys."""

from __future__ import annotations

import math

from builder.measure.repeats import UNLIKE_GREYS, is_unlike, say_unlike
from builder.records.photo import Observation


def note_lights(first: Observation, second: Observation) -> tuple[str, ...]:
    """A sentence where the two were taken under unlike light; () where they were not, or where
    there is no card in both to tell by."""
    if first.card is None or second.card is None or not is_unlike(first.card, second.card):
        return ()
    one, two = first.card.light, second.card.light
    if one is None or two is None or math.dist(one[1:], two[1:]) <= UNLIKE_GREYS:
        return (say_unlike(first.card, second.card),)
    apart = math.dist(one[1:], two[1:])
    warmer = "warmer" if two[2] > one[2] else "colder"
    return (
        f"taken under unlike light: the later one {warmer}, its greys {apart:.0f} units off the "
        "earlier one’s before they were put right by the card",
    )
