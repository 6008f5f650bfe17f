"""What a plate costs, from prices in the settings, in whatever money those are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from builder.reckon.kitchen import find_amount
from builder.reckon.mixtures import find_area_cm2
from builder.reckon.ranges import Range, span
from builder.records.piece import Piece
from builder.records.plain_names import name_plainly
from builder.records.settings import Price

_PLATE = "plate"


@dataclass(frozen=True)
class Cost:
    """``total`` of what has a price; ``parts``: each one's; ``unpriced``: what has none."""

    total: Range
    parts: tuple[tuple[str, Range], ...]
    unpriced: tuple[str, ...] = ()


def cost_plate(piece: Piece, prices: Sequence[Price]) -> Cost | None:
    """Metal, what is in the mixture, coats of sealant, and what goes for each plate (gloves);
    None where nothing has a price.

    A price goes for a thing whose name it is, or ends with: "copper sheet" is for copper. Source:
    the trade's own sum, metal + chemicals + coats + a share of gloves.
    """
    parts: list[tuple[str, Range]] = []
    unpriced: list[str] = []
    for name, amount in _list_things(piece):
        price = _find_price(name, amount.unit if amount else "", prices)
        if price is not None and amount is not None:
            parts.append((name, amount.times(price.each, unit="")))
        else:
            unpriced.append(name)
    parts += [
        (price.name, Range(price.each, price.each, "")) for price in prices if price.unit == _PLATE
    ]
    if not parts:
        return None
    total = Range(sum(p.low for _, p in parts), sum(p.high for _, p in parts), "")
    return Cost(total, tuple(parts), tuple(unpriced))


def _list_things(piece: Piece) -> list[tuple[str, Range | None]]:
    area = find_area_cm2(piece)
    things: list[tuple[str, Range | None]] = []
    if piece.metal.given:
        things.append((piece.metal.written, span([area], "cm2") if area else None))
    things += [(i.name.written, find_amount(i.amount)) for i in piece.ingredients if i.name.given]
    coats = piece.sealant.coats.value
    if piece.sealant.kind.given and piece.sealant.kind.written != "none":
        count = span([coats.number], "coat") if coats else None
        things.append((piece.sealant.kind.written, count))
    return things


def _find_price(name: str, unit: str, prices: Sequence[Price]) -> Price | None:
    plain = name_plainly(name)
    fitting = [price for price in prices if price.unit == unit]
    for price in fitting:
        priced = name_plainly(price.name).removesuffix(" sheet")
        if plain == priced or plain.endswith(f" {priced}"):
            return price
    return None
