"""What a new photograph may be mixed up with, told before it is filed."""

from __future__ import annotations

from dataclasses import replace

from builder.errors import Problem
from builder.records.photo import Observation
from builder.relate.copies import find_copies_of
from builder.relate.filing import file_photos, find_strays, say_saved_again
from builder.relate.findings import Findings
from builder.relate.strands import draw_strands
from builder.relate.strangers import find_strangers


def doubt_new(observation: Observation, piece: str, findings: Findings) -> tuple[Problem, ...]:
    """What speaks against filing ``observation``, seen but not filed, under ``piece``: the same
    picture is there already, label, name, date, colour or pattern speak for another piece, or it
    lies otherwise than before. () for nothing. ``findings`` are the library's without it; no
    picture is opened.
    """
    new = replace(observation, file=replace(observation.file, piece=piece))
    others = tuple(o for o in findings.observations if o.file.path != new.file.path)
    problems = [
        *_find_same(new, others),
        *_doubt_name(new),
        *find_strays([new])[1],
        *_doubt_in_story(new, others, findings),
    ]
    return tuple(sorted(problem for problem in set(problems) if problem.file == new.file.path))


def _doubt_name(new: Observation) -> tuple[Problem, ...]:
    file = new.file
    if file.named_piece in ("", file.piece):
        return ()
    return (
        Problem(
            file.path,
            0,
            f"its file name says {file.named_piece}, not {file.piece}",
            f"a photograph of {file.piece}",
            f"file it under {file.named_piece}, or rename it",
        ),
    )


def _find_same(new: Observation, others: tuple[Observation, ...]) -> tuple[Problem, ...]:
    """The first of those that it is a copy of, whichever is better: the one filed stays."""
    for other in others:
        if other.picture.sha256 and other.picture.sha256 == new.picture.sha256:
            found = f"the same picture as {other.file.path}, byte for byte"
            return (
                Problem(new.file.path, 0, found, "every picture once", "leave it out: it is there"),
            )
    return tuple(say_saved_again(new.file.path, kept) for kept in find_copies_of(new, others)[:1])


def _doubt_in_story(
    new: Observation, others: tuple[Observation, ...], findings: Findings
) -> tuple[Problem, ...]:
    """What its piece's story has against it, drawn anew with it."""
    piece, library = new.file.piece, findings.library
    entries = tuple(entry for entry in library.entries if entry.piece.piece == piece)
    own = [o for o in others if o.file.piece == piece]
    strays = dict(find_strays(own)[0])
    # Asked by its colour even where name or label have spoken: they may be the wrong ones.
    filed = file_photos(entries, [*own, new])
    problems: list[Problem] = []
    for entry in entries:
        photos = filed.get((piece, entry.piece.attempt), ())
        if new not in photos:
            continue
        threshold = library.settings.threshold
        strands, found = draw_strands(entry, photos, strays, findings.today, threshold)
        strangers = find_strangers(strands, findings.strands, threshold)
        problems += [*found, *(stranger.as_problem() for stranger in strangers)]
    return tuple(problems)
