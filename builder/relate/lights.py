"""Two photographs under unlike light, told from what their cameras made of one card's greys."""

from __future__ import annotations

import math

from builder.measure.repeats import say_unlike
from builder.records.photo import Observation

#: So far apart in a*, b* the greys of one card are under another lamp, or another camera's idea of
#: white: the card puts most of it right, and what it cannot (metamerism) goes up with it.
#: Common practice, no source.
UNLIKE_FROM = 6.0


def note_lights(first: Observation, second: Observation) -> tuple[str, ...]:
    """A sentence where the two were taken under unlike light; () where they were not, or where
    there is no card in both to tell by."""
    unlike = say_unlike(first.card, second.card)
    if unlike:
        return (unlike,)
    one, two = (seen.card.light if seen.card else None for seen in (first, second))
    if one is None or two is None:
        return ()
    apart = math.hypot(two[1] - one[1], two[2] - one[2])
    if apart < UNLIKE_FROM:
        return ()
    warmer = "warmer" if two[2] > one[2] else "colder"
    return (
        f"taken under unlike light: the later one {warmer}, its greys {apart:.0f} units off the "
        "earlier one’s before they were put right by the card",
    )
