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
from builder.records.facts import Fact, Known, Quantity
from builder.records.piece import Ingredient, Piece
from builder.records.plain_names import name_plainly
from builder.records.quantities import read_strength

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
    says which absence; ``strength`` of what is taken; ``was``: what was written of its amount
    where ``amount`` is not that; ``notes``;
    ``mixed`` and ``mixed_strength``: what is in the mixture then, of a thinned bottle."""

    name: str
    amount: str
    strength: str
    was: str
    known: Known = Known.GIVEN
    notes: tuple[str, ...] = ()
    mixed: str = ""
    mixed_strength: str = ""


@dataclass(frozen=True)
class Scaled:
    """``shares`` in the recipe's order; ``how``: what was multiplied and why; ``left``: names of
    bottles that are in no recipe; ``piece``: the record as it will be."""

    shares: tuple[Share, ...]
    piece: Piece
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
    shares, used = [], set()
    for item in piece.ingredients:
        name, bottle = _find_bottle(item, bench)
        used.add(name)
        shares.append(_share(item, wet if _is_wet(item) else dry, bottle))
    how = tuple(dict.fromkeys(by.words for by in (wet, dry) if by.words))
    left = tuple(name for name in bench.bottles if name not in used)
    return Scaled(tuple(shares), _as_it_will_be(piece, bench, shares), how, left)


def _as_it_will_be(piece: Piece, bench: Bench, shares: list[Share]) -> Piece:
    """The record with what is at hand, for reckoning what the mixture comes to."""
    things = [
        Ingredient.model_validate(
            {
                "name": share.name,
                "amount": (share.mixed or share.amount).replace("\u00a0", " "),
                "strength": share.mixed_strength or share.strength,
            }
        )
        for share in shares
    ]
    changed: dict[str, object] = {"ingredients": tuple(things)}
    if bench.tub is not None:
        litres = Fact(f"{bench.tub:g} l", Quantity(bench.tub, "l"), Known.GIVEN)
        changed["container"] = piece.container.model_copy(update={"litres": litres})
    if bench.plate is not None:
        sides = (Fact(f"{mm:g}", Quantity(mm, "mm"), Known.GIVEN) for mm in bench.plate)
        changed["size_mm"] = (*sides, *piece.size_mm[2:])
    return piece.model_copy(update=changed)


def pour_from(piece: Piece, bench: Bench) -> Piece:
    """The record with the bottles at hand as they are poured, not yet thinned: for what they may
    do before they are."""
    poured = []
    for item in piece.ingredients:
        _, bottle = _find_bottle(item, bench)
        strength = Fact(bottle, read_strength(bottle), Known.GIVEN)
        poured.append(item.model_copy(update={"strength": strength}) if bottle else item)
    return piece.model_copy(update={"ingredients": tuple(poured)})


def _find_bottle(item: Ingredient, bench: Bench) -> tuple[str, str]:
    """Name and strength of the bottle for an ingredient: of its own name, or of a shorter one, as
    "ammonia" for household ammonia; "" and "" for none."""
    name = name_plainly(item.name.written)
    for fits in (str.__eq__, lambda name, bottle: name.endswith(f" {bottle}")):
        for bottle, strength in bench.bottles.items():
            if fits(name, name_plainly(bottle)):
                return bottle, strength
    return "", ""


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
    amount = find_amount(item.amount)
    if amount is None:
        note = (*_note_strength(item, bottle), *_note_unscaled(item, by))
        known = item.amount.known
        said = item.amount.written if known in (Known.GIVEN, Known.UNREAD) else ""
        bottled = _say_strength(item, bottle)
        return Share(name, said, bottled, _tell_was(item, said), known, note)
    scaled = amount.times(by.factor)
    same = abs(by.factor - 1) < _SAME
    notes = (*_note_strength(item, bottle), *(() if same else amount.assumed))
    named = find_substance(item.name.written)
    if bottle and named:
        return _dilute(item, scaled, bottle, named)
    if bottle:
        notes = (*notes, "not adjusted to the bottle: its strength cannot be reckoned")
    said = say_range(scaled, _FIGURES)
    if same:
        said = item.amount.written
    return Share(name, said, _say_strength(item, bottle), _tell_was(item, said), notes=notes)


def _tell_was(item: Ingredient, said: str) -> str:
    """The maker's words of an amount, where ``said`` is another; and those of the notebook."""
    told = item.amount.known in (Known.GIVEN, Known.UNREAD)
    written, noted = item.amount.written.strip(), item.as_written.written.strip()
    was = f"was {written}" if told and written != said.replace("\u00a0", " ") else ""
    return ", ".join(filter(None, (was, f"noted as “{noted}”" if noted else "")))


def _dilute(item: Ingredient, amount: Range, bottle: str, named: Named) -> Share:
    """As much of the bottle, and of water, as give the same amount of the recipe's strength."""
    name = item.name.words()
    have = read_ways(bottle, named.substance, item.name.written)
    want = read_ways(item.strength.written, named.substance, item.name.written)
    note = _refuse(item, have, want, amount)
    said = say_range(amount, _FIGURES)
    was = _tell_was(item, said)
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
        was or f"was {item.amount.written}",
        notes=(
            *amount.assumed,
            f"gives {said} of {item.strength.written}; the water is weighed, for volumes do not "
            "add up; pour the stronger into the water",
        ),
        mixed=said,
        mixed_strength=item.strength.written,
    )


def _refuse(
    item: Ingredient, have: tuple[Strength, ...], want: tuple[Strength, ...], amount: Range
) -> str:
    """Why the bottle cannot be adjusted to, "" where it can."""
    if not want:
        return f"not adjusted to the bottle: the strength it was done with is {_absent(item)}"
    if amount.low != amount.high:
        return "not adjusted to the bottle: the amount may be read in several ways"
    if len(have) != 1 or len(want) != 1:
        return "not adjusted to the bottle: its strength may be read in several ways"
    if not have[0].percent or not want[0].percent or amount.unit != "ml":
        return "not adjusted to the bottle: it cannot be weighed by its density"
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


def _note_strength(item: Ingredient, bottle: str) -> tuple[str, ...]:
    """Which absence it is, where a strength is not told; what is weighed out dry has none."""
    known = item.strength.known
    if bottle or known in (Known.GIVEN, Known.UNREAD):
        return ()
    named = find_substance(item.name.written)
    if known is Known.MISSING and not (named and named.substance.sold_dissolved):
        return ()
    return (f"strength {_absent(item)}",)


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
