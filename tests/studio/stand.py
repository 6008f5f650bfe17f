"""The bench: the jig sheet that lies on it, the places of piece, card and label, the picture.

Millimetres run from the sheet's left top corner, x to the right, y down. Where things lie on the
sheet is the jig's; how they were laid in one photograph says :mod:`tests.studio.lying`.
"""

from __future__ import annotations

from dataclasses import dataclass

from builder.records.jig import A4, BoxMm, PointMm
from builder.sheets.label_sheets import JIG_LABEL_MM

JIG = A4
SHEET_NUMBER = 12  # the one print that all evenings used
PICTURE_PX = (1600, 1200)  # width, height
BENCH_MM = 40.0  # bench shown round the sheet

CARD_GRID = (3, 3)
CARD_GAP_MM = 2.0
PATCH_MM = 22.0
#: Width and height of the card, its border included, and of its grid of patches.
CARD_SIZE_MM = (74.0, 74.0)
CARD_GRID_MM = (70.0, 70.0)
LABEL_SIZE_MM = JIG_LABEL_MM  # as it was cut out


@dataclass(frozen=True)
class Place:
    """What is laid on the sheet: its name, and its width and height in mm."""

    name: str
    size_mm: tuple[float, float]


PLATES = Place("plate", (100.0, 150.0))
BELLS = Place("bell", (120.0, 120.0))


def middle_of(box: BoxMm) -> PointMm:
    left, top, right, bottom = box
    return (left + right) / 2, (top + bottom) / 2


def setups_as_yaml() -> str:
    """The set-up as it is written into ``mkdocs.yml``."""
    columns, rows = CARD_GRID
    width, height = CARD_GRID_MM
    return f"""default_setup: bench
setups:
  bench:
    sheet: {JIG.name}
    card: sparrowhithe-card.txt
    card_grid: [{columns}, {rows}]
    card_mm: [{width:g}, {height:g}]
"""
