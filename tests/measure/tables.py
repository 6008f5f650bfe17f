"""Tables of published numbers, read from ``tests/data``."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from builder.measure.arrays import Floats

_DATA = Path(__file__).parent.parent / "data"


def read_columns(name: str, *groups: tuple[str, ...]) -> tuple[Floats, ...]:
    """For each group of columns of the table ``name``, its numbers: (rows, columns)."""
    with (_DATA / name).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return tuple(np.array([[float(row[key]) for key in group] for row in rows]) for group in groups)
