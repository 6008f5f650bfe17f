"""Published values, as tables with a source and how it was read."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))
