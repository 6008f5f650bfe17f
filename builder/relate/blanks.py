"""What is to be cut for a number of tests: blanks by metal, form, size and thickness."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builder.records.piece import Piece
from builder.relate.wording import NOT_RECORDED


@dataclass(frozen=True, order=True)
class Blank:
    """One blank, in the maker's words; "not recorded" where they do not say."""

    metal: str
    form: str
    size: str
    thickness: str

    @property
    def words(self) -> str:
        """``copper plate blank, 100 × 150 mm, 0.9 mm thick``."""
        thick = f"{self.thickness} thick"
        if self.thickness in ("", NOT_RECORDED):
            thick = "thickness not recorded"
        size = "size not recorded" if self.size == NOT_RECORDED else self.size
        return f"{self.metal} {self.form}, {size}, {thick}"


def blank_of(piece: Piece) -> Blank:
    """The blank that a piece is made on."""
    metal = piece.metal.written if piece.metal.given else ""
    if piece.alloy.given:
        metal = f"{metal} ({piece.alloy.written})".lstrip()
    sides = [side.written for side in piece.size_mm[:2] if side.written]
    third = piece.size_mm[2].written if len(piece.size_mm) > 2 else ""
    form = piece.form.written or "blank"
    return Blank(
        metal or "unknown metal",
        form,
        say_sides(sides) or NOT_RECORDED,
        piece.thickness.written or (_with_mm(third) if third else NOT_RECORDED),
    )


def count_blanks(blanks: Iterable[Blank]) -> tuple[tuple[int, Blank], ...]:
    """How many of each, most first, then by their words."""
    counts = Counter(blanks)
    return tuple((counts[one], one) for one in sorted(counts, key=lambda b: (-counts[b], b)))


def say_sides(sides: Sequence[str]) -> str:
    """``100 × 150 mm`` of sides in a maker's words, "" of none. The unit is said once where all are
    in mm, and after each where one is in another."""
    bare = [side.strip().removesuffix("mm").rstrip() for side in sides]
    if all(map(_is_number, bare)):
        return f"{' × '.join(bare)} mm" if bare else ""
    return " × ".join(map(_with_mm, sides))


def _with_mm(words: str) -> str:
    return f"{words} mm" if _is_number(words) else words


def _is_number(words: str) -> bool:
    return words.replace(".", "", 1).isdigit()
