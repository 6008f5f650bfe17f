"""What can be reckoned of a piece's recipe: what acts in each thing, how strong it is, what lies on
a square centimetre, what stands over the ammonia in its box."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from builder.reckon.boxes import DILUTE_UP_TO, FOR_COMPARING, Box, find_dose, find_pressure
from builder.reckon.boxes import find_share_in_air as find_air_share
from builder.reckon.densities import find_density
from builder.reckon.kitchen import SALT_G_ML, find_amount
from builder.reckon.molar import find_molar_mass
from builder.reckon.ranges import Range, join_assumed, say_number, say_range, span
from builder.reckon.strengths import Strength, read_ways
from builder.reckon.substances import AMMONIA, SALT, SPREAD, Named, find_substance
from builder.records.piece import Ingredient, Piece

_ROOM_C = 20.0
_FUMED = re.compile(r"\bfum")
#: Ways of putting colour on in which what is spread on the metal stays there.
_STAYS = re.compile(r"\bfum|\bbur[iy]|\bwrap")


@dataclass(frozen=True)
class Reckoned:
    """Of one ingredient. ``amount``: g or ml where the words leave it open; ``active``: grams of
    ``of``; ``mol_per_l``; ``loading``: mg/cm² on one face; ``assumed`` goes for all of them."""

    of: str = ""
    amount: Range | None = None
    active: Range | None = None
    mol_per_l: Range | None = None
    loading: Range | None = None
    assumed: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """Each figure with what it is of."""
        return tuple(self._say())

    def _say(self) -> Iterator[str]:
        if self.amount:
            yield say_range(self.amount)
        if self.active:
            yield f"{say_range(self.active)} {self.of}"
        if self.mol_per_l:
            yield say_range(self.mol_per_l)
        if self.loading:
            yield f"{say_range(self.loading)} on one face"


@dataclass(frozen=True)
class Line:
    """One figure of the whole: what it is, in words, and what it rests on."""

    label: str
    words: str
    assumed: tuple[str, ...] = ()


def reckon_mixture(piece: Piece) -> tuple[Reckoned, ...]:
    """Of each ingredient, in order; an empty one where nothing can be known."""
    spread = find_area_cm2(piece) if _STAYS.search(piece.method.written.casefold()) else None
    return tuple(reckon_ingredient(item, spread) for item in piece.ingredients)


def reckon_ingredient(item: Ingredient, spread_cm2: float | None = None) -> Reckoned:
    """What one ingredient is worth. ``spread_cm2``: the face that a salt lies on, if it stays
    there."""
    amount = find_amount(item.amount)
    told = amount if amount and amount.assumed else None
    named = find_substance(item.name.written) if item.name.given else None
    if named is None:
        return Reckoned(amount=told, assumed=told.assumed if told else ())
    ways = read_ways(item.strength.written, named.substance, item.name.written)
    if named.substance.sold_dissolved:
        active = _weigh_dissolved(amount, ways)
    else:
        active = _weigh_salt(amount, named)
    molar = _find_molar(ways, named)
    loading = None
    if spread_cm2 and named.substance in SPREAD and active:
        loading = active.times(1000 / spread_cm2, unit="mg/cm²").because(
            f"all of it lies on one face, {say_number(spread_cm2, 3)} cm²"
        )
    figures = [figure for figure in (told, active, molar, loading) if figure]
    shown = active if named.substance.sold_dissolved or (active and active.assumed) else None
    of = named.substance.name
    if active and any("·" in form.formula for form in named.forms):
        shown, of = _dry_out(active, named), f"{of} without its water"
    assumed = join_assumed(*(figure.assumed for figure in figures))
    return Reckoned(of, told, shown, molar, loading, assumed)


def find_area_cm2(piece: Piece) -> float | None:
    """One face of a plate, cm², from its width and height; None where they are not told, and for a
    disc or finished work."""
    sides = [side.value for side in piece.size_mm[:2]]
    if len(sides) < 2 or piece.form.written in ("disc", "finished work", "bell blank"):
        return None
    if any(side is None or side.unit != "mm" for side in sides):
        return None
    width, height = (side.number for side in sides if side)
    return width * height / 100 or None


def reckon_whole(piece: Piece) -> tuple[Line, ...]:
    """What can be said of the whole; the ingredients' figures say what they rest on themselves."""
    return tuple(_tell_box(piece))


def _weigh_dissolved(amount: Range | None, ways: tuple[Strength, ...]) -> Range | None:
    """Grams of what acts in a solution."""
    if amount is None or not ways:
        return None
    if amount.unit == "ml":
        parts = [way.g_per_l / 1000 for way in ways]
    else:
        if any(way.percent is None for way in ways):
            return None
        parts = [way.percent / 100 for way in ways if way.percent is not None]
    return amount.times(min(parts), max(parts), "g").because(*(way.assumed for way in ways))


def _weigh_salt(amount: Range | None, named: Named) -> Range | None:
    """Grams of what is weighed dry; spoons of fine salt by what a spoon holds, of others never."""
    if amount is None or amount.unit == "g":
        return amount
    if named.substance is not SALT:
        return None
    return amount.times(SALT_G_ML, unit="g").because("fine salt, 6 g to 5 ml; coarse is lighter")


def _dry_out(grams: Range, named: Named) -> Range:
    """What is left of a salt without its water of crystallisation."""
    parts = [find_molar_mass(form.formula.split("·")[0]) / form.molar_mass for form in named.forms]
    return grams.times(min(parts), max(parts)).because(_say_form(named))


def _say_form(named: Named) -> str:
    """What is taken for the form of a salt, "" where it has but one."""
    words = [form.words for form in named.forms if form.words]
    if len(words) > 1:
        return f"form not written: {' or '.join(words)}"
    return f"as {named.forms[0].formula}" if words else ""


def _find_molar(ways: tuple[Strength, ...], named: Named) -> Range | None:
    if not ways:
        return None
    masses = [form.molar_mass for form in named.forms]
    found = span((way.g_per_l / mass for way in ways for mass in masses), "mol/l")
    return found.because(*(way.assumed for way in ways), _say_form(named))


def _tell_box(piece: Piece) -> Iterator[Line]:
    """The ammonia in the air of a box, where it is all that is wet there."""
    litres = piece.container.litres.value
    wet = [item for item in piece.ingredients if _is_wet(item)]
    if litres is None or len(wet) != 1 or not _FUMED.search(piece.method.written.casefold()):
        return
    (item,) = wet
    named = find_substance(item.name.written)
    amount = find_amount(item.amount)
    if named is None or named.substance is not AMMONIA or amount is None or amount.unit != "ml":
        return
    ways = read_ways(item.strength.written, AMMONIA, item.name.written)
    warmth = piece.temperature_c.value
    boxes = list(_draw_boxes(litres.number, amount, ways, warmth.number if warmth else _ROOM_C))
    if not boxes:
        return
    rests = ["the box is shut, and wet salt takes nothing up"]
    if warmth is None:
        rests.append(f"at {_ROOM_C:.0f} °C, no temperature being told")
    if any(box.percent > DILUTE_UP_TO for box in boxes):
        rests.append("rough: so strong a solution follows the law no more")
    yield Line("ammonia to a litre of box", say_range(span(map(find_dose, boxes), "g/l")))
    air = say_range(span((100 * find_air_share(box) for box in boxes), "%"))
    yield Line(
        "ammonia in the air of the box",
        f"{say_range(span(map(find_pressure, boxes), 'atm'))}, {air} of all there is; "
        f"{FOR_COMPARING}",
        tuple(rests),
    )


def _draw_boxes(
    litres: float, amount: Range, ways: tuple[Strength, ...], celsius: float
) -> Iterator[Box]:
    for ml in dict.fromkeys((amount.low, amount.high)):
        for way in ways:
            density = find_density(AMMONIA.name, way.percent) if way.percent else None
            if density is not None and way.percent and 0 < ml / 1000 < litres:
                yield Box(litres, ml, way.percent, density, celsius)


def _is_wet(item: Ingredient) -> bool:
    value = item.amount.value
    named = find_substance(item.name.written)
    return (named is not None and named.substance.sold_dissolved) or (
        value is not None and value.unit == "ml" and named is None
    )
