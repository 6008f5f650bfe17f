"""The demo library as the pipeline gathers it from its photographs, once a run."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from builder.kept import open_kept
from builder.pipeline import Gathered, gather
from builder.read.settings import read_settings_file

ROOT = Path(__file__).parents[2]
TODAY = dt.date(2026, 6, 1)


@cache
def gathered_demo() -> Gathered:
    """In place: the store of seen photographs is the library's own, and git leaves it out."""
    return gather(ROOT, read_settings_file(ROOT), TODAY)


@cache
def texts_of_demo() -> Mapping[str, str]:
    """The texts of the demo's photographs that were put away, by name."""
    with open_kept(gathered_demo().pictures.parent, ROOT) as kept:
        return dict(kept.texts())
