"""Which picture each note of a sidecar speaks of."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from builder.errors import Problem
from builder.read.attempts import Attempt
from builder.read.wording import quote, suggest
from builder.records.piece import Entry, PhotoNote

_MOST_SUGGESTED = 50  # looking for what was meant takes its time, and nobody reads more


@dataclass(frozen=True)
class PlacedNote:
    """A note, the attempt it stands in, and its place in that attempt's list."""

    note: PhotoNote
    index: int
    attempt: Attempt

    def find_line(self, *place: str) -> int:
        return self.attempt.find_line("photos", self.index, *place)


def match_notes(
    attempts: Sequence[Attempt], entries: Sequence[Entry], names: Sequence[str], folder: str
) -> tuple[Mapping[str, PlacedNote], list[Problem]]:
    """Notes by the name of the picture they speak of, and a problem for each that speaks of none.

    ``attempts`` and ``entries`` are the folder's, in one order; ``names`` its pictures.
    """
    matched: dict[str, PlacedNote] = {}
    problems = []
    folded = _Folded(names)
    for attempt, entry in zip(attempts, entries, strict=True):
        for index, photo in enumerate(entry.piece.photos):
            note = PlacedNote(photo, index, attempt)
            line, written = note.find_line("file"), photo.file.strip()
            if "/" in written or "\\" in written or written in {"", ".", ".."}:
                problems.append(
                    attempt.note(
                        line,
                        f"photos names {quote(written)}, outside its folder",
                        "expected the name of a picture beside this file",
                        "put the picture here and write its name alone",
                    )
                )
                continue
            name = folded.find(written)
            if not name:
                problems.append(
                    attempt.note(
                        line,
                        f"photos names {quote(written)}, which is not here",
                        f"expected a picture in {folder}",
                        suggest(
                            written,
                            names if len(problems) < _MOST_SUGGESTED else (),
                            "put it here, or delete the entry",
                        ),
                    )
                )
            elif name in matched:
                problems.append(
                    attempt.note(
                        line,
                        f"photos names {quote(written)} a second time",
                        "expected each picture once",
                        f"keep one; line {matched[name].find_line()} is taken",
                    )
                )
            else:
                matched[name] = note
    return matched, problems


class _Folded:
    """The names of a folder, to be found whatever their capitals and however their accents are
    stored."""

    def __init__(self, names: Sequence[str]) -> None:
        self._names = frozenset(names)
        self._like: dict[str, list[str]] = {}
        for name in names:
            self._like.setdefault(_fold(name), []).append(name)

    def find(self, written: str) -> str:
        """The file meant, "" for none."""
        like = self._like.get(_fold(written), [])
        return written if written in self._names else like[0] if len(like) == 1 else ""


def _fold(name: str) -> str:
    return unicodedata.normalize("NFC", name).casefold()
