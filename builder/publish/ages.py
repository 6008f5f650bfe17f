"""When a look was, in words: its day, or for those who are not told days its age."""

from __future__ import annotations

from builder.publish.words import say_day, say_days
from builder.relate.findings import Look


def say_taken(look: Look) -> str:
    """The day of a look, "no date" where there is none, "" where days are not told."""
    return say_day(look.taken) if look.day_told else ""


def say_age(look: Look) -> str:
    """``91 days after sealing``; "" where its days do not say."""
    if look.days_since_sealed is not None and look.days_since_sealed >= 0:
        return f"{say_days(look.days_since_sealed)} after sealing"
    if look.days_since_coloured is not None and look.days_since_coloured >= 0:
        return f"{say_days(look.days_since_coloured)} after colouring"
    return ""


def say_moment(look: Look) -> str:
    """The day, else the age."""
    return say_taken(look) or say_age(look)
