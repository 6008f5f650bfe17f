"""A test to do next in words: what to do, and why.

Values that a maker keeps back can be said by the piece that has them: "with the time of SH-003".
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from builder.relate.factors import FACTORS, list_factors
from builder.relate.findings import Strand
from builder.relate.new_points import first_number
from builder.relate.next_tests import NextTest, Square
from builder.relate.strands import name_strand
from builder.relate.synonyms import BARE
from builder.relate.wording import say_factor

#: Whether a factor of a piece is kept back.
Hidden = Callable[[Strand, str], bool]

_LONGEST = 44  # signs of a value; a longer one is said by its piece
_WAYS = {"time": "for {}", "temp": "at {}", "metal": "of {}", "method": "by {}"}


def hide_nothing(strand: Strand, factor: str) -> bool:
    """What a maker sees at the bench."""
    return False


def say_what(test: NextTest, hidden: Hidden = hide_nothing) -> str:
    """``as SH-001, but sealed with microcrystalline wax, 2 coats``; no full stop."""
    plan = test.plan
    base = name_strand(plan.base)
    if not plan.factor:
        return f"as {base} once more, nothing changed"
    words = FACTORS[plan.factor]
    if plan.point:
        if any(hidden(strand, plan.factor) for strand in (plan.base, *test.joined)):
            return f"as {base}, but with another {words}, next to those of {_name(test.joined)}"
        return f"as {base}, but {_WAYS[plan.factor].format(plan.point.words)}"
    secret = any(hidden(one, plan.factor) for one in (plan.base, plan.donor) if one)
    if plan.donor is None or (not secret and _is_bare(plan.donor, plan.factor)):
        return f"as {base}, but {'with another sealant' if secret else 'left bare'}"
    value = say_factor(plan.donor, plan.factor)
    if secret or len(value) > 2 * _LONGEST:
        return f"as {base}, but with the {words} of {name_strand(plan.donor)}"
    if plan.factor == "sealant":
        return f"as {base}, but sealed with {value}"
    return f"as {base}, but {_WAYS.get(plan.factor, f'with {words}: {{}}').format(value)}"


def say_why(test: NextTest, hidden: Hidden = hide_nothing) -> str:
    """One sentence that names the pieces the test joins. A value that one of them keeps back is not
    said of another either, which may have the same."""
    told: list[str] = []
    plan = test.plan
    strands = [one for one in (*test.joined, plan.base, plan.donor, test.sister) if one]
    strands += [one for _, *both in test.series for one in both]

    def is_kept(strand: Strand, factor: str) -> bool:
        return any(hidden(one, factor) for one in (strand, *strands))

    if test.squares:
        more = len(test.squares)
        which = "the square" if more == 1 else f"{more} squares, first"
        square = test.squares[0]
        told.append(
            f"completes {which} {say_square(square, is_kept)}: {_name(square.corners)} are there"
        )
    for factor, one, other in test.series:
        told.append(
            f"adds a third {FACTORS[factor]} to {_with_value(one, factor, is_kept)} and "
            f"{_with_value(other, factor, is_kept)}"
        )
    if test.sister:
        kind = "bare" if test.sister.sealed else "sealed"
        kind = "such" if is_kept(test.sister, "sealant") else kind
        told.append(f"{name_strand(test.sister)} has no {kind} sister")
    base = name_strand(plan.base)
    if test.starred and not hidden(plan.base, "starred"):
        told.append(f"{base} is starred and was made once")
    elif not plan.factor:
        told.append(f"{base} was made once and {_count(test.rests)} on it")
    said = "; ".join(told)
    names = tuple(f"{name_strand(one)} " for one in (test.sister, plan.base) if one)
    # A piece is called as its maker wrote it: kw-11 stays kw-11.
    return f"{said if said.startswith(names) else said[:1].upper() + said[1:]}."


def say_square(square: Square, hidden: Hidden = hide_nothing) -> str:
    """``15 s / 45 s × bare / microcrystalline wax``."""
    rows = _say_two(square.beside, square.across, square.row, hidden)
    return f"{rows} × {_say_two(square.below, square.across, square.column, hidden)}"


def _say_two(one: Strand, other: Strand, factor: str, hidden: Hidden) -> str:
    """Two values of a factor: bare first, numbers from below, else as written."""
    by_piece = f"{FACTORS[factor]} of {' / '.join(sorted(map(name_strand, (one, other))))}"
    if any(hidden(strand, factor) for strand in (one, other)):
        return by_piece
    strands = sorted((one, other), key=lambda strand: _order(strand, factor))
    short = [say_briefly(strand, factor) for strand in strands]
    if short[0] == short[1]:
        short = [say_factor(strand, factor) for strand in strands]
    if max(map(len, short)) > _LONGEST:
        return by_piece
    return " / ".join(short)


def say_briefly(strand: Strand, factor: str) -> str:
    """A value without what seldom matters: "bare", "microcrystalline wax", "copper"."""
    if factor == "sealant":
        words = say_factor(strand, factor)
        return "bare" if words == BARE else words.partition(",")[0]
    if factor == "metal":
        return strand.entry.piece.metal.written
    return say_factor(strand, factor)


def _order(strand: Strand, factor: str) -> tuple[bool, float, str]:
    parts = list_factors(strand).given[factor]
    return parts.get("kind") != BARE, first_number(parts), say_briefly(strand, factor)


def _with_value(strand: Strand, factor: str, hidden: Hidden) -> str:
    name = name_strand(strand)
    return name if hidden(strand, factor) else f"{name} ({say_factor(strand, factor)})"


def _count(comparisons: int) -> str:
    return f"{comparisons} comparison{' rests' if comparisons == 1 else 's rest'}"


def _is_bare(strand: Strand, factor: str) -> bool:
    return factor == "sealant" and strand.sealant == BARE


def _name(strands: Iterable[Strand]) -> str:
    """Pieces by name, each once, in the order of their names."""
    *most, last = sorted({name_strand(strand) for strand in strands})
    return f"{', '.join(most)} and {last}" if most else last
