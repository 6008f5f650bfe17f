"""Which photograph belongs to which attempt, and which are no evidence at all."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping, Sequence

from builder.errors import Problem
from builder.records.ledger import NO_LEDGER, Ledger, LedgerEntry
from builder.records.photo import Observation
from builder.records.piece import Entry
from builder.records.texts import NOTHING_AWAY
from builder.relate.copies import find_copies
from builder.relate.dating import note_of

Attempt = tuple[str, int]


def file_photos(
    entries: Sequence[Entry], observations: Sequence[Observation]
) -> Mapping[Attempt, tuple[Observation, ...]]:
    """Photographs by (piece, attempt), in order of path.

    Where neither sidecar nor file name says which attempt a photograph shows, its day does: the
    last attempt begun by then.
    """
    attempts: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        attempts[entry.piece.piece].append(entry)
    filed: dict[Attempt, list[Observation]] = defaultdict(list)
    for observation in sorted(observations, key=lambda o: o.file.path):
        filed[_attempt_of(observation, attempts[observation.file.piece])].append(observation)
    return {attempt: tuple(found) for attempt, found in filed.items()}


def find_strays(
    observations: Sequence[Observation],
    ledger: Ledger = NO_LEDGER,
    away: Mapping[str, str] = NOTHING_AWAY,
) -> tuple[dict[str, str], tuple[Problem, ...]]:
    """Photographs that serve no comparison, as path → sentence, and what to put right.

    A picture whose file name or label names another piece than its folder; one whose bytes are no
    longer those that the ``ledger`` says were filed; and every copy of a picture but one, byte for
    byte or saved again. ``away`` are texts that were put away, by name.
    """
    strays: dict[str, str] = {}
    changed: dict[str, str] = {}
    problems: list[Problem] = []
    same: dict[str, list[Observation]] = defaultdict(list)
    filed = ledger.standing()
    for observation in observations:
        file = observation.file
        entry = filed.get(file.path)
        if entry and observation.picture.sha256 not in ("", entry.sha256):
            changed[file.path] = f"changed since it was filed on {entry.at:%Y-%m-%d}"
            problems.append(say_changed(observation, entry))
        if file.named_piece and file.named_piece != file.piece:
            strays.setdefault(file.path, f"file name says {file.named_piece}")
        elif labelled := _label_of_another(observation):
            strays.setdefault(file.path, f"its label says {labelled}")
            problems.append(_say_label(observation, labelled))
        if observation.picture.sha256:
            same[observation.picture.sha256].append(observation)
    strays = changed | strays

    def stands(observation: Observation) -> tuple[bool, bool, bool, str]:
        return observation.file.path in changed, *_standing(observation)

    for copies in same.values():
        kept, *others = sorted(copies, key=stands)
        for other in others:
            strays.setdefault(other.file.path, f"the same picture as {kept.file.path}")
            problems.append(
                Problem(
                    other.file.path,
                    0,
                    f"the same picture as {kept.file.path}, byte for byte",
                    "every picture once",
                    "remove one of the two; until then only the first is compared",
                )
            )
    saved_again: dict[str, Observation] = {}
    for pair in find_copies(observations, away):
        kept, other = sorted(pair, key=stands)
        saved_again.setdefault(other.file.path, kept)
    for path, kept in saved_again.items():
        strays.setdefault(path, f"the same picture as {kept.file.path}")
        problems.append(say_saved_again(path, kept))
    return strays, tuple(sorted(problems))


def say_saved_again(path: str, kept: Observation) -> Problem:
    """That the photograph at ``path`` is another one saved again."""
    return Problem(
        path,
        0,
        f"the same picture as {kept.file.path}, saved again",
        "every picture once",
        f"remove one of the two; until then only {kept.file.path} is compared",
    )


def _standing(observation: Observation) -> tuple[bool, bool, str]:
    """Which of several copies stands for all, least first: one in the wrong folder never does, and
    one that the camera's facts are lost from has been through more hands."""
    bare = observation.picture.exif.taken is None
    return names_another(observation), bare, observation.file.path


def names_another(observation: Observation) -> bool:
    """Whether the file name, or the label in the picture, bears another piece's number than the
    folder it lies in."""
    file = observation.file
    if file.named_piece and file.named_piece != file.piece:
        return True
    return bool(_label_of_another(observation))


def _label_of_another(observation: Observation) -> str:
    """The numbers on the labels in the picture, "" where the piece's own is among them or there is
    none."""
    labels = observation.picture.labels
    own = observation.file.piece.casefold()
    return "" if own in (label.casefold() for label in labels) else " and ".join(labels)


def _say_label(observation: Observation, other: str) -> Problem:
    return Problem(
        observation.file.path,
        0,
        f"the label in the picture says {other}, and it lies in the folder of "
        f"{observation.file.piece}",
        "the label of the piece it shows",
        f"move it to the folder of {other}, or photograph it again with its own label; until then "
        "it is shown and counts for nothing",
    )


def say_changed(observation: Observation, entry: LedgerEntry) -> Problem:
    path = observation.file.path
    return Problem(
        path,
        0,
        f"changed since it was filed on {entry.at:%Y-%m-%d}: its SHA-256 was "
        f"{entry.sha256[:12]}… and is {observation.picture.sha256[:12]}… (ledger, entry "
        f"{entry.number})",
        "the picture as it came from the camera",
        "bring the original back from a bag or the camera; if the change is meant: patinarium "
        f"record {path} --why REASON. Until then it is shown and counts for nothing",
    )


def _attempt_of(observation: Observation, entries: Sequence[Entry]) -> Attempt:
    file = observation.file
    told = any(
        (note := note_of(observation, entry)) is not None and note.attempt.given
        for entry in entries
    )
    if told or file.attempt != 1 or len(entries) < 2:
        return file.piece, file.attempt
    day = _rough_day(observation)
    begun = [
        entry.piece.attempt
        for entry in entries
        if entry.piece.started.value is not None and entry.piece.started.value.day <= day
    ]
    return file.piece, max(begun, default=file.attempt)


def _rough_day(observation: Observation) -> dt.date:
    taken = observation.picture.exif.taken
    if observation.file.written is not None:
        return observation.file.written
    return taken.date() if taken is not None else observation.picture.file_day
