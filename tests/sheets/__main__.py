"""Redraws the guide's pictures of the jig sheet and a bench card: ``python -m tests.sheets``."""

import datetime as dt
from pathlib import Path

from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.reckon.scaling import Bench
from builder.records.jig import A4
from builder.sheets.bench_cards import PAPERS
from builder.sheets.bench_words import write_card
from builder.sheets.printing import print_bench_card, print_jig
from tests.sheets.raster import write_picture

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"


def draw_bench_card() -> bytes:
    """Of the demo's SH-012, for a tub of five litres."""
    library = read_library(ROOT, read_settings_file(ROOT), dt.date(2026, 1, 1))
    entry = next(entry for entry in library.entries if entry.piece.piece == "SH-012")
    return print_bench_card(write_card(entry, Bench(tub=5)), PAPERS["A5"], "card.pdf").content


if __name__ == "__main__":
    write_picture(print_jig(A4, 1, ("pdf",))[0].content, PICTURES / "jig-sheet.png", dpi=110)
    write_picture(draw_bench_card(), PICTURES / "bench-card.png", dpi=130)
    print("drew jig-sheet.png and bench-card.png")
