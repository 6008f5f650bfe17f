"""Where labels lie on a sheet of paper, standing: on sheets that are sold ready cut, by the size of
the label and how many there are, and on plain paper to be cut apart. Millimetres throughout."""

from __future__ import annotations

from dataclasses import dataclass, replace

from builder.errors import PrintError, Problem, Weight
from builder.records.jig import A4, JIGS, LETTER, Jig, PointMm

SizeMm = tuple[float, float]  # across and down

#: What fits the label's place on the jig sheet, with a millimetre of air inside its frame.
JIG_LABEL_MM = (94.0, 36.0)
_LEAST_MARGIN_MM = 8.0  # printers leave some 5 mm white; cut marks stand inside that
_SLACK = 0.1  # of a label: margins are measured with a ruler
_SAME_MM = 0.06  # 66.7 is 66.675


@dataclass(frozen=True)
class LabelSheet:
    """``paper`` by name and ``width`` by ``height``; labels of ``size`` in ``columns`` and
    ``rows``, the first one's left top corner at ``corner``, ``gap`` between two. ``ready``: the
    paper is cut already."""

    paper: str
    width: float
    height: float
    size: SizeMm
    columns: int
    rows: int
    corner: PointMm
    gap: SizeMm = (0.0, 0.0)
    ready: bool = False

    @property
    def count(self) -> int:
        return self.columns * self.rows

    @property
    def name(self) -> str:
        """``38.1x21.2``."""
        return "x".join(f"{round(side, 1):g}" for side in self.size)

    def corner_of(self, place: int) -> PointMm:
        """The left top corner of a label; places count from 0, row by row."""
        row, column = divmod(place, self.columns)
        x, y = self.corner
        across, down = (side + gap for side, gap in zip(self.size, self.gap, strict=True))
        return x + column * across, y + row * down

    @property
    def end(self) -> PointMm:
        """The right bottom corner of the last label."""
        x, y = self.corner_of(self.count - 1)
        return x + self.size[0], y + self.size[1]

    def shift(self, offset: PointMm) -> LabelSheet:
        """The same, ``offset`` farther to the right and down. Raises ``PrintError`` where labels
        would leave the paper."""
        moved = replace(self, corner=(self.corner[0] + offset[0], self.corner[1] + offset[1]))
        if min(moved.corner) < 0 or moved.end[0] > self.width or moved.end[1] > self.height:
            raise PrintError(
                Problem(
                    f"--offset {offset[0]:g}x{offset[1]:g}",
                    0,
                    "this moves labels over the edge of the paper",
                    f"no more than the margins, {self.corner[0]:.1f} and {self.corner[1]:.1f} mm",
                    "lay the sheet straight into the printer's guides, and measure again",
                    Weight.STOPS,
                )
            )
        return moved


def _centre(
    paper: Jig, size: SizeMm, columns: int, rows: int, gap: SizeMm, ready: bool = False
) -> LabelSheet:
    width, height = paper.height, paper.width  # standing
    block = (
        columns * size[0] + (columns - 1) * gap[0],
        rows * size[1] + (rows - 1) * gap[1],
    )
    corner = ((width - block[0]) / 2, (height - block[1]) / 2)
    return LabelSheet(paper.name, width, height, size, columns, rows, corner, gap, ready)


#: Sheets sold ready cut. All lie in the middle of the paper with no gap from row to row. Those
#: that reach the paper's edge are left out: printers leave it white, and the code with it.
READY: tuple[LabelSheet, ...] = (
    _centre(A4, (38.1, 21.2), 5, 13, (2.5, 0.0), True),
    _centre(A4, (45.7, 21.2), 4, 12, (2.5, 0.0), True),
    _centre(A4, (48.5, 25.4), 4, 10, (0.0, 0.0), True),
    _centre(A4, (63.5, 33.9), 3, 8, (2.5, 0.0), True),
    _centre(A4, (63.5, 38.1), 3, 7, (2.5, 0.0), True),
    _centre(A4, (99.1, 38.1), 2, 7, (2.5, 0.0), True),
    _centre(A4, (99.1, 67.7), 2, 4, (2.5, 0.0), True),
    _centre(LETTER, (66.675, 25.4), 3, 10, (3.175, 0.0), True),
    _centre(LETTER, (101.6, 33.867), 2, 7, (4.7625, 0.0), True),
    _centre(LETTER, (101.6, 50.8), 2, 5, (4.7625, 0.0), True),
)


def lay_sheet(
    paper: str,
    size: SizeMm = JIG_LABEL_MM,
    margin: SizeMm | None = None,
    gap: SizeMm | None = None,
) -> LabelSheet:
    """The sheet of labels of that ``size`` on paper of that name, "A4" or "Letter".

    One of :data:`READY` where its size is asked for and nothing else; else as many labels as the
    paper holds. ``margin``: left and top, the same again at the right and below; without it labels
    stand in the middle. Raises ``PrintError`` where not one fits.
    """
    if margin is None and gap is None:
        for ready in READY:
            if ready.paper == paper and _is_same(ready.size, size):
                return ready
    sides = next(jig for jig in JIGS if jig.name == paper)
    apart = gap or (0.0, 0.0)
    least = margin or (_LEAST_MARGIN_MM, _LEAST_MARGIN_MM)
    columns, rows = (
        int((long - 2 * edge + between) / (side + between) + (_SLACK if margin else 1e-9))
        for long, edge, side, between in zip(
            (sides.height, sides.width), least, size, apart, strict=True
        )
    )
    if columns < 1 or rows < 1:
        raise PrintError(
            Problem(
                f"--size {size[0]:g}x{size[1]:g}",
                0,
                f"not one label of that size fits {paper} within margins of {least[0]:g} and "
                f"{least[1]:g} mm",
                "width and height of one label, in millimetres",
                "make it smaller, or give the sheet's own margins: --margin 5x10",
                Weight.STOPS,
            )
        )
    laid = _centre(sides, size, columns, rows, apart)
    return replace(laid, corner=margin, ready=True) if margin else laid


def list_ready() -> str:
    """The sheets sold ready cut, in words: ``A4: 38.1x21.2 (65), …``."""
    return "; ".join(
        f"{jig.name}: "
        + ", ".join(f"{one.name} ({one.count})" for one in READY if one.paper == jig.name)
        for jig in JIGS
    )


def _is_same(one: SizeMm, other: SizeMm) -> bool:
    return all(abs(a - b) <= _SAME_MM for a, b in zip(one, other, strict=True))
