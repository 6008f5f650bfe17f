"""How much of a piece its patina covers, told against the same blank photographed bare.

Colours that a photograph shows are patina or bare metal. Which is settled at the first coloured
look and followed from there: bare islands tarnish, and a year on are no longer the bare metal's
colour, but bare islands still.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from builder.measure.difference import delta_e_2000_of
from builder.measure.noise import u_of_difference
from builder.records.photo import ColourShare, Evidence, Lab, State
from builder.relate.findings import Coverage, Look
from builder.relate.following import Colours, match_colours

#: A colour farther than this from the bare metal, ΔE00, is no bare metal, however far the patina
#: is: what air and light do to a rubbed plate while it waits for its photograph is less.
#: Common practice, no source.
BARE_WITHIN = 12.0

NO_BARE = "no photograph of this blank bare to tell it against"
_BLANK = (State.BARE, State.CLEANED)
_CARDED = (Evidence.TARGET, Evidence.GREY)
_OTHER = (*_BLANK, State.DURING, State.FAILURE_DETAIL)


def cover_looks(looks: Sequence[Look]) -> tuple[Look, ...]:
    """``looks`` by date, of one zone of one attempt, each coloured one with its coverage."""
    bare = find_bare(looks)
    told: dict[int, Coverage] = {}
    before: tuple[Colours, tuple[bool, ...]] | None = None
    for look in looks:
        if not _shows_colour(look) or look.reading is None:
            continue
        if bare is None or bare.reading is None:
            told[id(look)] = Coverage(None, NO_BARE)
        elif look.observation.file.light is not bare.observation.file.light:
            told[id(look)] = Coverage(None, "its light is not the bare photograph’s")
        else:
            colours = look.reading.colours
            u = u_of_difference(look.reading.u, bare.reading.u)
            is_bare = sort_colours(look, bare.reading.colours, u, before)
            told[id(look)] = _say(colours, is_bare, bare, u)
            if not look.excluded:  # wet or odd looks are told, and lead nothing on
                before = colours, is_bare
    return tuple(
        replace(look, coverage=told[id(look)]) if id(look) in told else look for look in looks
    )


def find_bare(looks: Sequence[Look]) -> Look | None:
    """The last readable photograph of the bare blank before its first coloured look."""
    # A look that is excluded may have a wrong date, and opens nothing.
    sure = (i for i, look in enumerate(looks) if _shows_colour(look) and not look.excluded)
    coloured = next(sure, len(looks))
    blank = [
        look
        for look in looks[:coloured]
        if look.state in _BLANK
        and look.observation.file.side == "front"
        and look.reading is not None
        and look.colour is not None
        and not look.reading.withheld
        and look.reading.evidence in _CARDED
    ]
    return blank[-1] if blank else None


def sort_colours(
    look: Look, bare: Colours, u: float, before: tuple[Colours, tuple[bool, ...]] | None
) -> tuple[bool, ...]:
    """Which of the look's colours are bare metal.

    One that is found again from the look ``before`` (its colours, and which were bare) is what it
    was there. Patina for certain are the colour followed and the one farthest from the ``bare``
    metal's, where they lie beyond ``u``, and any beyond ``BARE_WITHIN``; another is bare metal
    where it is nearer to that than to these. Where nothing lies beyond ``u``, nothing took.
    """
    colours = look.reading.colours if look.reading else ()
    labs, ground = [c.lab for c in colours], [c.lab for c in bare]
    kept: dict[int, bool] = {}
    if before is not None:
        matched = match_colours(before[0], colours)
        kept = {at: was for at, was in zip(matched, before[1], strict=True) if at is not None}
    metal = ground + [labs[i] for i, was in kept.items() if was]
    patina = [labs[i] for i, was in kept.items() if not was]
    patina += [lab for lab in labs if _nearest(lab, ground) > BARE_WITHIN]
    if not patina:
        farthest = max(labs, key=lambda lab: _nearest(lab, ground))
        sure = (farthest, look.colour or farthest)
        patina = [lab for lab in sure if _nearest(lab, ground) > u]
    return tuple(
        kept[i] if i in kept else _nearest(lab, metal) < _nearest(lab, patina)
        for i, lab in enumerate(labs)
    )


def _shows_colour(look: Look) -> bool:
    reading = look.reading
    return (
        look.state is not None
        and look.state not in _OTHER
        and look.observation.file.side == "front"
        and look.colour is not None
        and reading is not None
        and not reading.withheld
        and reading.evidence in _CARDED
    )


def _nearest(lab: Lab, others: Sequence[Lab]) -> float:
    return min((delta_e_2000_of(lab, other) for other in others), default=float("inf"))


def _say(
    colours: Sequence[ColourShare], is_bare: Sequence[bool], blank: Look, u: float
) -> Coverage:
    bare = [c for c, is_metal in zip(colours, is_bare, strict=True) if is_metal]
    ground = [c.lab for c in blank.reading.colours] if blank.reading else []
    share = 1 - sum(c.share for c in bare)
    words = f"{100 * share:.0f} % covered"
    if bare:
        words += f"; on the other {100 * (1 - share):.0f} % the metal shows"
        if any(_nearest(c.lab, ground) > u for c in bare):
            words += ", tarnished or tinted"
    else:
        words += ": no place of bare metal large enough to be told"
    return Coverage(
        min(max(share, 0.0), 1.0),
        words,
        tuple(c.lab for c in bare),
        blank.observation.file.path,
    )
