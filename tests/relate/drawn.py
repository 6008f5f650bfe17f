"""Strands drawn straight from a record and a colour, where no photograph is needed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from builder.records.photo import DateFrom, Lab, Light, Observation, State
from builder.records.piece import Entry
from builder.relate.factors import Factors, list_factors
from builder.relate.findings import Coverage, Look, Strand, Verdict, VisibleChange
from tests.relate.demo import U, photo, read

DAY = dt.date(2025, 10, 1)


def draw_look(
    piece: str, lab: Lab, u: float = U, covered: float | None = None, light: Light = Light.PLAIN
) -> Look:
    seen: Observation = photo(piece, DAY, State.DRY, (read(lab, u),), light=light)
    coverage = None if covered is None else Coverage(covered, "")
    return Look(
        seen, "", DAY, DateFrom.CAMERA, State.DRY, None, 1, None, seen.readings[0], lab, 1.0,
        coverage=coverage,
    )  # fmt: skip


def draw_strand(entry: Entry, look: Look | None) -> Strand:
    """A strand with one look, at which it was chosen and its watch began."""
    return Strand(
        entry, "", "", None, (look,) if look else (), look, look, look, None, (),
        Verdict.CANNOT_TELL, "", VisibleChange(None, None, None, ""), (),
    )  # fmt: skip


def factors_of(strands: Sequence[Strand]) -> list[Factors]:
    return [list_factors(strand) for strand in strands]
