"""Which sheet the marks of a picture belong to, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from builder.look.codes import Code
from builder.records.jig import LAYOUT, Mark, read_mark

Floats = NDArray[np.float64]

LEAST_MARKS = 3
AGAIN = "take the picture again"


class SheetError(ValueError):
    """The sheet cannot be used; the three say so in one plain sentence."""

    def __init__(self, found: str, expected: str, remedy: str) -> None:
        self.found, self.expected, self.remedy = found, expected, remedy
        super().__init__(f"{found}; {expected}; {remedy}")


class NoMarksError(SheetError):
    """No corner mark at all: perhaps there is no sheet in the picture."""


def settle_marks(codes: Iterable[Code], size: str, number: int | None) -> Mapping[Mark, Code]:
    """The marks of the one sheet there is, and their codes; ``size`` "" and ``number`` None for
    any. Raises :class:`SheetError`."""
    read = [(mark, code) for code in codes if (mark := read_mark(code.text))]
    if not read:
        raise NoMarksError(
            "no corner mark of a jig sheet is to be read in the picture",
            "the sheet’s corner marks are looked for because its set-up names one",
            f"{AGAIN} with the whole sheet in the frame, sharp and evenly lit",
        )
    sheets = sorted({(m.layout, m.jig.name, m.number) for m, _ in read})
    if len(sheets) >= 2:
        named = " and ".join(f"{name} number {print_}" for _, name, print_ in sheets[:2])
        raise SheetError(
            f"there are marks of two jig sheets, {named}",
            "one sheet in a picture",
            f"{AGAIN} with the other out of the frame",
        )
    marks = dict(read)
    if len(marks) < len(read):
        raise SheetError(
            "the same corner mark is there twice",
            "one sheet in a picture",
            f"{AGAIN} with the other sheet, or its copy, out of the frame",
        )
    _check_wanted(sheets[0], size, number)
    return marks


def _check_wanted(sheet: tuple[int, str, int], size: str, number: int | None) -> None:
    layout, name, print_ = sheet
    if layout != LAYOUT:
        raise SheetError(
            f"the jig sheet is of layout {layout}",
            f"layout {LAYOUT} is the one known here",
            "print the sheet anew, or use the version that printed it",
        )
    if size and name.casefold() != size.casefold():
        raise SheetError(
            f"the jig sheet is of size {name}",
            f"the set-up names one of size {size}",
            "lay the right sheet, or correct the set-up",
        )
    if number is not None and print_ != number:
        raise SheetError(
            f"the jig sheet is number {print_}",
            f"the set-up names number {number}",
            "lay the right sheet, or correct the set-up",
        )


def check_order(middles: Mapping[int, Floats]) -> None:
    """Marks (2,) by their corner go clockwise; in a looking glass the other way. Raises
    :class:`SheetError`. Fewer than three have no order."""
    if len(middles) < LEAST_MARKS:
        return
    around = np.array([middles[corner] for corner in sorted(middles)])
    sides = np.roll(around, -1, axis=0) - around
    following = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0]
    if (turns < 0).all():
        raise SheetError(
            "the picture is a mirror image of the sheet",
            "the sheet seen as it lies",
            f"{AGAIN} with the camera on the back of the phone, mirroring off",
        )
    if not (turns > 0).all():
        raise strange_marks()


def strange_marks() -> SheetError:
    return SheetError(
        "the corner marks do not lie as those of one flat sheet",
        "four corners of one sheet, whole and flat",
        f"lay an uncut print flat and {AGAIN}",
    )
