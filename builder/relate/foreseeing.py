"""As what a photograph would be filed: its day and state, by the piece's own dates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence

from builder.errors import Problem
from builder.records.library import Library
from builder.records.photo import Observation
from builder.relate.filing import file_photos
from builder.relate.findings import Look
from builder.relate.memory import Memory
from builder.relate.strands import draw_strands


def foresee_looks(
    library: Library,
    observations: Sequence[Observation],
    new: Collection[str],
    today: dt.date,
    memory: Memory,
) -> tuple[Mapping[str, Look], tuple[Problem, ...]]:
    """A look of each photograph whose path is in ``new``, and what its date leaves to put right.

    ``observations`` are those there already and the new ones, which need no readings. Of a piece
    with zones the first zone's look is given; day and state are alike in all.
    """
    looks: dict[str, Look] = {}
    problems: set[Problem] = set()
    pieces = {o.file.piece for o in observations if o.file.path in new}
    for key, photos in file_photos(library.entries, observations).items():
        if key[0] not in pieces:
            continue
        for entry in library.entries:
            if (entry.piece.piece, entry.piece.attempt) != key:
                continue
            threshold = library.settings.threshold
            strands, found = draw_strands(entry, photos, {}, today, threshold, memory)
            problems |= {problem for problem in found if problem.file in new}
            for look in strands[0].looks:
                if look.observation.file.path in new:
                    looks[look.observation.file.path] = look
    return looks, tuple(sorted(problems))
