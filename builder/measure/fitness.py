"""Whether a photograph on a jig sheet is fit to be read from: plain sentences where it is not.

A sentence that begins with "Doubtful" marks the reading so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from builder.records.photo import Lab, SheetReport

# Each limit is where the fault begins to matter beside what else a reading is unsure of.
# By experiment on drawn sheets: flat ones in hard views have their discs 0.005 to 0.03 mm off, one
# that stands up 3 mm in its middle 0.14 to 0.18; printers add some 0.05.
BENT_MM = 0.12
# Beyond a quarter of the light the studio of random photographs tries nothing, and a phone's own
# local brightening sets in: common practice, no source.
UNEVEN_PCT = 30.0
# What is left after putting right shifts a middling colour's L* by about a third of this.
LEFT_PCT = 3.0
# Two kinds of lamp turn the paper's two sides apart by more than a just visible step.
TINT = 3.0
# Patterns are told in cells of 0.4 mm and mottle at 2 mm.
BLUR_MM = 1.5
# Fewer pixels than 40 × 40, and noise and edges rule.
LEAST_PIXELS = 1600
# Printing papers, from recycled to brightened ones, by their makers' usual figures: common
# practice, no source. What is measured of one has the card's own error in it besides.
PAPER_L = (82.0, 101.5)
PAPER_CHROMA = 16.0
# Hand-cut blanks, and outlines in their shadow, differ by less from the size that is noted.
SIZE_OFF = 0.1


def judge_sheet(sheet: SheetReport) -> tuple[str, ...]:
    """What is to be said of how the sheet lay and was lit; nothing where all is well."""
    return tuple(_judge(sheet))


def judge_paper(paper: Lab | None) -> tuple[str, ...]:
    """What is to be said where paper, corrected by the card (L*a*b*, D65), is what none can be."""
    if paper is None:
        return ()
    chroma = math.hypot(*paper[1:])
    if PAPER_L[0] <= paper[0] <= PAPER_L[1] and chroma <= PAPER_CHROMA:
        return ()
    L, a, b = paper
    return (
        f"Doubtful: by the card the white paper would be L* {L:.0f}, a* {a:.0f}, b* {b:.0f}, which "
        "none is. The card lies in a shadow, is soiled or faded, or is not the one that is listed.",
    )


def judge_likeness(
    measured: tuple[float, float], noted: tuple[float, float] | None
) -> tuple[str, ...]:
    """What is to be said where a piece measures otherwise (width and height, mm) than its notes say
    in whichever order."""
    if noted is None:
        return ()
    pairs = zip(sorted(measured), sorted(noted), strict=True)
    if all(abs(one - other) <= SIZE_OFF * other for one, other in pairs):
        return ()
    return (
        f"Doubtful: it is outlined as {measured[0]:.0f} × {measured[1]:.0f} mm, and its notes say "
        f"{noted[0]:g} × {noted[1]:g}. Does something lie on it, or is it another piece?",
    )


def judge_size(pixels: int) -> tuple[str, ...]:
    """What is to be said of a part of which ``pixels`` pixels are read."""
    if pixels >= LEAST_PIXELS:
        return ()
    return (
        f"Doubtful: only {pixels} pixels of the picture show it. Go nearer, or use a picture of "
        "more pixels.",
    )


def _judge(sheet: SheetReport) -> Iterator[str]:
    if sheet.off_mm > BENT_MM:
        yield (
            f"Doubtful: the sheet is not flat, its discs lie {sheet.off_mm:.1f} mm off. Lay it on "
            "a board, or stick its edges down."
        )
    if sheet.tint > TINT:
        yield (
            "Doubtful: lamps of two kinds light the sheet, one side is warmer than the other "
            f"(ΔE00 {sheet.tint:.1f}). Use one kind of lamp, and keep the window out."
        )
    if sheet.left_pct > LEFT_PCT:
        yield (
            f"Doubtful: the light on the sheet is uneven by {sheet.left_pct:.0f} % after it was "
            "put right. Keep shadows off the sheet."
        )
    elif sheet.uneven_pct > UNEVEN_PCT:
        yield (
            f"Doubtful: one part of the sheet has {sheet.uneven_pct:.0f} % less light than "
            "another. Move the lamps further off, one on each side."
        )
    if sheet.blur_mm > BLUR_MM:
        yield (
            f"Doubtful: blurred, an edge is {sheet.blur_mm:.1f} mm wide; patterns and shares are "
            "not to be trusted. Hold the camera still, and let it focus on the sheet."
        )
