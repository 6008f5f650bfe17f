"""What stands with a recipe before anyone tries it: cautions, and limits in the air."""

from __future__ import annotations

from dataclasses import dataclass

from builder.records.hazards import Loudness
from builder.records.piece import Entry
from builder.relate.air_limits import limits_of, say_limit
from builder.relate.cautions import FIRST, Caution, cautions_of

#: The loudness as part of a class name; a bar's weight goes with the word, never a colour.
LOUDNESS_CLASS = {
    Loudness.NEVER: "never",
    Loudness.CARE: "care",
    Loudness.KNOW: "know",
}


@dataclass(frozen=True)
class AirLine:
    """The limits beside one thing used: its name, what it puts into the air ("" where that is the
    thing itself), and each limit in words."""

    name: str
    substance: str
    limits: tuple[str, ...]


@dataclass(frozen=True)
class Before:
    """``first`` always stands; the others are empty where the recipe is kept private."""

    first: str
    cautions: tuple[Caution, ...]
    air: tuple[AirLine, ...]


def lay_out_before(entry: Entry, withheld: frozenset[str]) -> Before:
    """What is said before the recipe of ``entry``; its fields ``withheld`` stay private."""
    air = (
        AirLine(
            one.name,
            "" if one.name == one.substance else one.substance,
            tuple(map(say_limit, one.limits)),
        )
        for one in limits_of(entry, withheld)
    )
    return Before(FIRST, cautions_of(entry, withheld), tuple(air))
