"""Redraws the guide's picture of the jig sheet: ``python -m tests.sheets``."""

from pathlib import Path

from builder.records.jig import A4
from builder.sheets.printing import print_jig
from tests.sheets.raster import write_picture

PICTURE = Path(__file__).parents[2] / "docs" / "pictures" / "jig-sheet.png"

if __name__ == "__main__":
    write_picture(print_jig(A4, 1, ("pdf",))[0].content, PICTURE, dpi=110)
    print(f"drew {PICTURE.name}")
