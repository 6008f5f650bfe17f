"""As what each incoming picture would be filed, before anything is written."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath

from builder.errors import Problem, Weight
from builder.filing.matching import Because, Match
from builder.filing.naming import choose_name, list_names
from builder.observing.glimpsing import Glimpse
from builder.read.photo_names import Numbering, read_photo_name
from builder.read.photos import Folder, foresee_photo
from builder.read.wording import show_name
from builder.records.ledger import Ledger, LedgerEntry
from builder.records.library import Library
from builder.records.notes import SeenNote
from builder.records.photo import Observation, PhotoFile, Picture, State
from builder.records.piece import Entry, PhotoNote
from builder.relate.copies import find_copies_of
from builder.relate.filing import say_saved_again
from builder.relate.findings import Look
from builder.relate.foreseeing import foresee_looks
from builder.relate.memory import Memory


@dataclass(frozen=True)
class Told:
    """What was said of the pictures with the command; what was not said is empty. ``seen``: on the
    piece; () for nothing, None where nothing is said of it."""

    piece: str = ""
    state: State | None = None
    day: dt.date | None = None
    setup: str = ""
    caption: str = ""
    seen: tuple[SeenNote, ...] | None = None

    @property
    def noted(self) -> bool:
        """Whether any of it has its place in the sidecar, a name having no room for it."""
        return bool(self.setup or self.caption or self.day)


@dataclass(frozen=True)
class Filing:
    """A picture and as what it is filed: ``file`` is what is known of it in its place, ``look`` its
    day and state by the piece's dates, ``doubts`` what is to be put right."""

    source: Path
    picture: Picture
    because: Because
    file: PhotoFile
    entry: Entry
    look: Look | None = None
    doubts: tuple[Problem, ...] = ()

    @property
    def path(self) -> str:
        return self.file.path


@dataclass(frozen=True)
class Plan:
    """``filings`` to be done; ``there``: pictures that are in their place already, with the path;
    ``problems`` of pictures that are left."""

    filings: tuple[Filing, ...] = ()
    there: tuple[tuple[Path, str], ...] = ()
    problems: tuple[Problem, ...] = ()


@dataclass
class _Desk:
    """What is decided so far; ``known``: SHA-256 of what is or will be filed → its path."""

    known: dict[str, str]
    filings: list[Filing] = field(default_factory=list)
    there: list[tuple[Path, str]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def plan_filings(
    library: Library,
    observations: Sequence[Observation],
    ledger: Ledger,
    arrivals: Iterable[tuple[Glimpse, Match]],
    told: Told,
    digests: Mapping[str, str],
    numbering: Numbering,
    today: dt.date,
    away: Mapping[str, str],
) -> Plan:
    """As what the ``arrivals`` would be filed in the ``library`` on the day ``today``.

    ``digests``: SHA-256 of what is in the library → its path, so that nothing comes in twice. What
    the ``ledger`` has under another digest by now, or no more, is not filed a second time either.
    ``away`` are texts of the ``observations`` that were put away, by name.
    """
    desk = _Desk(dict(digests))
    originals = {entry.sha256: entry for entry in ledger.standing().values()}
    folders = {entry.piece.piece: entry for entry in library.entries}
    taken = {photo.path.casefold() for photo in library.photos}
    for glimpse, match in arrivals:
        picture, problem = glimpse.picture, glimpse.problem or match.problem
        filed = desk.known.get(picture.sha256, "") if picture else ""
        if picture and match.problem and filed:
            desk.there.append((glimpse.source, filed))
        elif picture is None or problem or match.because is None:
            desk.problems += [_left(problem)] if problem else []
        elif match.piece not in folders:
            desk.problems.append(_say_unknown(glimpse.source, match.piece))
        elif filed:
            _meet_again(desk, glimpse.source, match.piece, filed, library)
        elif lost := originals.get(picture.sha256):
            desk.problems.append(_say_lost(glimpse.source, lost, library.root))
        else:
            entry = folders[match.piece]
            file = _place(library, entry, glimpse.source, picture, told, numbering, taken)
            taken.add(file.path.casefold())
            desk.known[picture.sha256] = file.path
            placed = replace(picture, path=file.path)
            desk.filings.append(Filing(glimpse.source, placed, match.because, file, entry))
    filings = _foresee(library, observations, desk.filings, told, today, away)
    return Plan(filings, tuple(desk.there), tuple(desk.problems))


def _place(
    library: Library,
    entry: Entry,
    source: Path,
    picture: Picture,
    told: Told,
    numbering: Numbering,
    taken: set[str],
) -> PhotoFile:
    said = read_photo_name(source.name, numbering)
    camera = picture.exif.taken
    day = told.day or (camera.date() if camera else said.day)
    home = PurePosixPath(entry.file).parent.as_posix()
    names = list_names(source, entry.piece.piece, day, said, told.state)
    name = choose_name(names, {path.rpartition("/")[2] for path in _in(home, taken)})
    attempts = tuple(other for other in library.entries if other.piece.piece == entry.piece.piece)
    folder = Folder(library.root, library.root / home, (), attempts)
    file = foresee_photo(folder, name, library.settings, numbering)
    return replace(
        file, setup=told.setup or file.setup, caption=told.caption, written=told.day or file.written
    )


def _in(home: str, taken: Iterable[str]) -> Iterable[str]:
    start = home.casefold() + "/"
    return (path for path in taken if path.startswith(start))


def _meet_again(desk: _Desk, source: Path, piece: str, place: str, library: Library) -> None:
    """A picture that is in the library already, in its own piece's folder or another's."""
    holder = next((p.piece for p in library.photos if p.path == place), None)
    holder = holder or next((f.file.piece for f in desk.filings if f.path == place), "")
    if holder == piece:
        desk.there.append((source, place))
        return
    desk.problems.append(
        Problem(
            show_name(source.as_posix()),
            0,
            f"this very picture is filed as {place}, of {holder or 'another piece'}, and this one "
            f"says {piece}",
            "each picture with one piece",
            f"see which of {holder} and {piece} it shows; if {piece}, take the other out first. "
            "It was not filed a second time",
            Weight.LEFT_OUT,
        )
    )


def _foresee(
    library: Library,
    observations: Sequence[Observation],
    filings: Sequence[Filing],
    told: Told,
    today: dt.date,
    away: Mapping[str, str],
) -> tuple[Filing, ...]:
    new = {filing.path for filing in filings}
    if told.day:  # a day that goes before the camera's stands in the sidecar by then
        library = replace(library, entries=tuple(_noted(library.entries, filings, told.day)))
    seen = [*observations, *(Observation(filing.file, filing.picture) for filing in filings)]
    looks, problems = foresee_looks(library, seen, new, today, Memory(away=away))
    return tuple(
        replace(
            filing,
            look=looks.get(filing.path),
            doubts=(
                *(problem for problem in problems if problem.file == filing.path),
                *_doubt_copy(filing, observations, away),
            ),
        )
        for filing in filings
    )


def _doubt_copy(
    filing: Filing, observations: Sequence[Observation], away: Mapping[str, str]
) -> Iterator[Problem]:
    """That the library has the very same picture, saved again in another size or lightness."""
    new = Observation(filing.file, filing.picture)
    for kept in find_copies_of(new, observations, away)[:1]:
        yield say_saved_again(filing.path, kept)


def _noted(entries: Iterable[Entry], filings: Sequence[Filing], day: dt.date) -> Iterator[Entry]:
    for entry in entries:
        notes = tuple(
            PhotoNote.model_validate({"file": f.path.rpartition("/")[2], "date": day.isoformat()})
            for f in filings
            if (f.file.piece, f.file.attempt) == (entry.piece.piece, entry.piece.attempt)
        )
        photos = (*entry.piece.photos, *notes)
        yield entry.model_copy(update={"piece": entry.piece.model_copy(update={"photos": photos})})


def _left(problem: Problem) -> Problem:
    return replace(problem, weight=Weight.LEFT_OUT)


def _say_lost(source: Path, entry: LedgerEntry, root: Path) -> Problem:
    """That a picture is one that was filed before, and is no longer there as it was."""
    there = (root / entry.file).exists()
    now = "the file there has been changed since" if there else "that file is gone"
    move = "take the changed one away, and copy" if there else "copy"
    return Problem(
        show_name(source.as_posix()),
        0,
        f"these are the bytes that were filed as {entry.file} on {entry.at:%Y-%m-%d}, and {now}",
        "each original in its place, as it was filed",
        f"{move} this one to {entry.file}; it was not filed a second time",
        Weight.LEFT_OUT,
    )


def _say_unknown(source: Path, piece: str) -> Problem:
    return Problem(
        show_name(source.as_posix()),
        0,
        f"there is no piece {piece}",
        "a piece of this library",
        "begin it first: a folder with its sample.yaml; the picture was not filed",
        Weight.LEFT_OUT,
    )
