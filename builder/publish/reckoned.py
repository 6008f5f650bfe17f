"""What a recipe comes to, as a page shows it: only of what is published, assumptions beside."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from builder.reckon.costs import Cost, cost_plate
from builder.reckon.mixtures import Line, Reckoned, reckon_mixture, reckon_whole
from builder.reckon.ranges import join_assumed, say_number
from builder.records.piece import Entry, Piece
from builder.records.settings import Price

_COSTED = ("metal", "size_mm", "ingredients", "sealant")
_FIGURES = 3


@dataclass(frozen=True)
class Reckoning:
    """``shares``: the figures of each ingredient, in order; ``figures``: those of the whole;
    ``assumed``: what they rest on, in sentences without their full stops."""

    shares: tuple[tuple[str, ...], ...] = ()
    figures: tuple[Line, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def shown(self) -> bool:
        """Whether there is a figure of any ingredient."""
        return any(self.shares)


NOTHING_RECKONED = Reckoning()


def reckon_published(
    entry: Entry, withheld: frozenset[str] = frozenset(), prices: Sequence[Price] = ()
) -> Reckoning:
    """The figures of a piece, from nothing but what is published of it."""
    piece = _leave_out(entry.piece, withheld)
    shares = reckon_mixture(piece)
    figures = list(reckon_whole(piece))
    if prices and "cost" not in withheld and not withheld.intersection(_COSTED):
        figures += _tell_cost(cost_plate(piece, prices))
    said = [
        _tell(item.name.written, one) for item, one in zip(piece.ingredients, shares, strict=True)
    ]
    assumed = join_assumed(*said, *(line.assumed for line in figures))
    return Reckoning(tuple(one.words for one in shares), tuple(figures), assumed)


def _leave_out(piece: Piece, withheld: frozenset[str]) -> Piece:
    fields = type(piece).model_fields
    return piece.model_copy(
        update={
            name: fields[name].get_default(call_default_factory=True)
            for name in withheld
            if name in fields and not fields[name].is_required()
        }
    )


def _tell(name: str, one: Reckoned) -> tuple[str, ...]:
    return tuple(f"{name}: {words}" for words in one.assumed) if one.words else ()


def _tell_cost(cost: Cost | None) -> Iterator[Line]:
    if cost is None:
        return
    low, high = (say_number(end, _FIGURES) for end in (cost.total.low, cost.total.high))
    without = f"without {', '.join(cost.unpriced)}, which have no price" if cost.unpriced else ""
    yield Line("cost of a plate", low if low == high else f"{low} to {high}", (without,))
