"""A recipe for another tub, another plate, another bottle: strength and wetness stay.

What fills a tub (a bath, a packing) goes with its litres. What wets or salts a plate goes with the
plate's face. What stands in a dish under a piece goes with the dish, taken to grow as the floor of
a tub of the same shape does: by the litres to the power ⅔. Source: common practice, and geometry.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from builder.reckon.densities import find_density
from builder.reckon.kitchen import find_amount
from builder.reckon.mixtures import find_area_cm2
from builder.reckon.ranges import Range, say_number, say_range
from builder.reckon.solutions import find_water_to_add
from builder.reckon.strengths import Strength, read_ways
from builder.reckon.substances import Named, find_substance
from builder.records.facts import Known
from builder.records.piece import Ingredient, Piece
from builder.records.plain_names import name_plainly

_FUMES = re.compile(r"\bfum")
_FILLS = re.compile(r"\bbur[iy]|\bdip|\bsoak|\bbath|\bquench|\bpick")
_FIGURES = 3  # of what is weighed out
_SAME = 0.005  # shares that near are one


@dataclass(frozen=True)
class Bench:
    """What is at hand: litres of the ``tub``; width and height of the ``plate``, mm; by an
    ingredient's name, the strength written on its bottle. None and empty: as it was."""

    tub: float | None = None
    plate: tuple[float, float] | None = None
    bottles: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Share:
    """One thing to weigh or measure. ``amount``: in words, "" where none is told, ``known`` then
    says which absence; ``strength`` of what is taken; ``was``: as it was written; ``notes``."""

    name: str
    amount: str
    strength: str
    was: str
    known: Known = Known.GIVEN
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Scaled:
    """``shares`` in the recipe's order; ``how``: what was multiplied and why; ``left``: names of
    bottles that are in no recipe."""

    shares: tuple[Share, ...]
    how: tuple[str, ...] = ()
    left: tuple[str, ...] = ()


@dataclass(frozen=True)
class _By:
    """A factor, and in words what it rests on."""

    factor: float = 1.0
    words: str = ""


def scale_mixture(piece: Piece, bench: Bench) -> Scaled:
    """The recipe for what is at hand."""
    wet, dry = _find_factors(piece, bench)
    bottles = {name_plainly(name): strength for name, strength in bench.bottles.items()}
    shares, used = [], set()
    for item in piece.ingredients:
        name = name_plainly(item.name.written)
        key = name if name in bottles else _find_bottle(name, bottles)
        used.add(key)
        shares.append(_share(item, wet if _is_wet(item) else dry, bottles.get(key, "")))
    how = tuple(dict.fromkeys(by.words for by in (wet, dry) if by.words))
    left = tuple(name for name in bench.bottles if name_plainly(name) not in used)
    return Scaled(tuple(shares), how, left)


def _find_bottle(name: str, bottles: Mapping[str, str]) -> str:
    """The bottle meant by a shorter name: "ammonia" for household ammonia."""
    return next((bottle for bottle in bottles if name.endswith(f" {bottle}")), "")


def _find_factors(piece: Piece, bench: Bench) -> tuple[_By, _By]:
    """By what liquids and by what solids are multiplied."""
    method = piece.method.written.casefold()
    if _FUMES.search(method):
        tub = _by_tub(piece, bench, 2 / 3, "the dish grows as the floor of a tub of that shape")
        plate = _by_plate(piece, bench)
        return (tub if bench.tub else plate), plate
    if _FILLS.search(method):
        tub = _by_tub(piece, bench, 1.0, "what fills the tub")
        return tub, tub
    plate = _by_plate(piece, bench)
    return plate, plate


def _by_tub(piece: Piece, bench: Bench, power: float, why: str) -> _By:
    if bench.tub is None:
        return _By()
    was = piece.container.litres.value
    if was is None or not was.number:
        return _By(words="not scaled to the tub: the volume it was done in is not known")
    factor = (bench.tub / was.number) ** power
    to = f"a tub of {bench.tub:g} l in place of {was.number:g} l"
    return _By(factor, f"× {say_number(factor, _FIGURES)} for {to}: {why}")


def _by_plate(piece: Piece, bench: Bench) -> _By:
    if bench.plate is None:
        return _By()
    was = find_area_cm2(piece)
    if was is None:
        return _By(words="not scaled to the plate: the size it was done on is not known")
    width, height = bench.plate
    factor = width * height / 100 / was
    to = f"a plate of {width:g} × {height:g} mm in place of {was:g} cm²"
    return _By(factor, f"× {say_number(factor, _FIGURES)} for {to}: as much on a square centimetre")


def _share(item: Ingredient, by: _By, bottle: str) -> Share:
    name = item.name.words()
    was = item.as_written.written or item.amount.written
    amount = find_amount(item.amount)
    if amount is None:
        note = _note_unscaled(item, by)
        known = item.amount.known
        said = item.amount.written if known in (Known.GIVEN, Known.UNREAD) else ""
        bottled = _say_strength(item, bottle)
        return Share(name, said, bottled, was, known, note)
    scaled = amount.times(by.factor)
    notes = amount.assumed
    named = find_substance(item.name.written)
    if bottle and named:
        return _dilute(item, scaled, bottle, named)
    if bottle:
        notes = (*notes, "not adjusted to the bottle: its strength cannot be reckoned")
    said = say_range(scaled, _FIGURES)
    if abs(by.factor - 1) < _SAME and amount.low == amount.high and not amount.assumed:
        said = item.amount.written
    return Share(name, said, _say_strength(item, bottle), was, notes=notes)


def _dilute(item: Ingredient, amount: Range, bottle: str, named: Named) -> Share:
    """As much of the bottle, and of water, as give the same amount of the recipe's strength."""
    name, was = item.name.words(), item.as_written.written or item.amount.written
    have = read_ways(bottle, named.substance, item.name.written)
    want = read_ways(item.strength.written, named.substance, item.name.written)
    note = _refuse(item, have, want, amount)
    said = say_range(amount, _FIGURES)
    if note:
        return Share(name, said, bottle, was, notes=(*amount.assumed, note))
    water, of_bottle = _mix(amount, have[0], want[0], named)
    if water < _SAME * amount.low:
        return Share(name, said, bottle, was, notes=amount.assumed)
    from_bottle = say_number(of_bottle, _FIGURES)
    return Share(
        name,
        f"{from_bottle}\u00a0ml + {say_number(water, _FIGURES)}\u00a0g water",
        bottle,
        was,
        notes=(
            *amount.assumed,
            f"gives {said} of {item.strength.written}; the water is weighed, for volumes do not "
            "add up; pour the stronger into the water",
        ),
    )


def _refuse(
    item: Ingredient, have: tuple[Strength, ...], want: tuple[Strength, ...], amount: Range
) -> str:
    """Why the bottle cannot be adjusted to, "" where it can."""
    if not want:
        return f"not adjusted to the bottle: the strength it was done with is {_absent(item)}"
    if len(have) != 1 or len(want) != 1:
        return "not adjusted to the bottle: its strength may be read in several ways"
    if have[0].percent is None or want[0].percent is None or amount.unit != "ml":
        return "not adjusted to the bottle: no density of it is known"
    if have[0].percent < want[0].percent * (1 - _SAME):
        return (
            f"the bottle is weaker than the recipe’s {item.strength.written}: "
            "that strength cannot be reached with it"
        )
    return ""


def _mix(amount: Range, have: Strength, want: Strength, named: Named) -> tuple[float, float]:
    """Grams of water and millilitres from the bottle for ``amount`` ml of the wanted strength."""
    strong, weak = have.percent or 0.0, want.percent or 0.0
    dense = find_density(named.substance.name, strong) or 1.0
    whole = amount.low * (find_density(named.substance.name, weak) or 1.0)
    grams = whole * min(weak / strong, 1.0)
    return find_water_to_add(grams, max(strong, weak), weak), grams / dense


def _note_unscaled(item: Ingredient, by: _By) -> tuple[str, ...]:
    told = item.amount.known in (Known.GIVEN, Known.UNREAD)
    return ("kept as written, not scaled",) if told and abs(by.factor - 1) >= _SAME else ()


def _say_strength(item: Ingredient, bottle: str) -> str:
    if bottle:
        return bottle
    return item.strength.written if item.strength.known in (Known.GIVEN, Known.UNREAD) else ""


def _absent(item: Ingredient) -> str:
    known = item.strength.known
    if known is Known.MISSING:
        return "not recorded"
    return "not read" if known in (Known.UNREAD, Known.GIVEN) else str(known)


def _is_wet(item: Ingredient) -> bool:
    named = find_substance(item.name.written)
    value = item.amount.value
    wet = value is not None and value.unit == "ml"
    return named.substance.sold_dissolved if named else wet
