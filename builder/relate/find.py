"""Everything that can be found out about a library, in one go."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from builder.errors import Problem
from builder.records.library import Library
from builder.records.photo import Observation
from builder.relate.factors import list_factors
from builder.relate.failures import list_failures
from builder.relate.filing import file_photos, find_strays
from builder.relate.findings import Findings, Strand
from builder.relate.pairs import find_near, find_pairs
from builder.relate.sisters import find_sisters
from builder.relate.strands import draw_strands


def find_findings(
    library: Library, observations: Sequence[Observation], today: dt.date
) -> Findings:
    """What ``observations`` of the ``library`` come to on the day ``today``.

    ``problems`` are those found here; the library's own stay with the library. The order of
    ``observations`` does not matter.
    """
    observations = sorted(observations, key=lambda o: o.file.path)
    filed = file_photos(library.entries, observations)
    strays, stray_problems = find_strays(observations, library.ledger)
    strands: list[Strand] = []
    problems: list[Problem] = [*stray_problems]
    for entry in library.entries:
        photos = filed.get((entry.piece.piece, entry.piece.attempt), ())
        drawn, found = draw_strands(entry, photos, strays, today, library.settings.threshold)
        strands.extend(drawn)
        problems.extend(found)
    factors = [list_factors(strand) for strand in strands]
    near = find_near(factors)
    sisters, sister_problems = find_sisters(strands, factors, near)
    return Findings(
        library=library,
        today=today,
        observations=tuple(observations),
        strands=tuple(strands),
        sisters=sisters,
        pairs=find_pairs(strands, factors, near),
        failures=list_failures(library.entries),
        problems=tuple(sorted({*problems, *sister_problems})),
    )
