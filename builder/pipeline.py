"""The composition: read, look and measure, relate. All is gathered here, nothing published."""

from __future__ import annotations

import datetime as dt
import multiprocessing
import os
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache, partial
from pathlib import Path
from typing import TypeVar

from builder.carried import CARRIED_FILE, lay_down, take_up
from builder.digests import digest_bytes, digest_file
from builder.errors import ArchiveError, Problem, Weight
from builder.holding import STORE, refuse_links
from builder.kept import Kept, Seen, Stamp, begin_anew, open_kept
from builder.ledger import read_ledger, say_fault, say_gone
from builder.observing.task import SEEING, Task
from builder.read.library import read_library
from builder.recent import Recent
from builder.records.ledger import LEDGER, NO_LEDGER, Ledger
from builder.records.library import Library
from builder.records.photo import Box, Observation, PhotoFile
from builder.records.piece import Piece
from builder.records.settings import Settings, SetUp
from builder.records.texts import DamagedError
from builder.records.zones import place_zones
from builder.relate.find import find_findings, mark_pieces
from builder.relate.findings import Findings
from builder.relate.memory import Memory
from builder.safe_files import list_plain

Progress = Callable[[int, int], None]
T = TypeVar("T")
R = TypeVar("R")

#: Fewer photographs than this are seen in this process: starting others takes longer.
_WORTH_SHARING = 8
#: The rooms whose code what is seen of a photograph depends on.
SIGHT = ("look", "measure", "observing")


@dataclass(frozen=True)
class Gathered:
    """All that is known of a library. ``pictures`` is the folder of made web sizes; ``opened`` and
    ``kept`` count the photographs read in this run and those known from an earlier one, and
    ``unrecorded`` those that the ledger does not know yet. ``of_files`` are problems of the ledger
    and of photographs that cannot be opened, whatever the sidecars say. ``marks``: for each piece a
    word that is another than in the last run whenever anything is that is known of it by itself."""

    findings: Findings
    pictures: Path
    opened: int
    kept: int
    unrecorded: int = 0
    of_files: tuple[Problem, ...] = ()
    marks: Mapping[str, str] = field(default_factory=dict)


def choose_day(told: dt.date | None, settings: Settings) -> dt.date:
    """The day to count up to: the one told, else the settings' own, else today (UTC)."""
    return told or settings.today or dt.datetime.now(tz=dt.UTC).date()


def gather(
    root: Path,
    settings: Settings,
    today: dt.date,
    progress: Progress = lambda done, of: None,
    wanted: Container[str] | None = None,
    store: Path | None = None,
    recent: Recent | None = None,
) -> Gathered:
    """Read the library at ``root``, look at its photographs and relate what is found. What was seen
    is kept in ``store``, the library's own if none is named; where that is damaged it is begun
    anew.

    Where pieces are ``wanted`` by number, photographs of others are not opened: what is kept of
    them serves, and those of which nothing is kept are left out. ``recent`` knows what was worked
    out before; without it, what the last run worked out is taken up from ``store`` and, of a whole
    library, left there for the next.

    Raises :class:`builder.errors.LibraryError` where the library cannot be used at all. Every other
    problem is in ``findings.problems``. ``progress`` is called with (done, of) photographs.
    """
    store = store or root / STORE
    refuse_links(store)
    once = partial(_gather, root, settings, today, progress, wanted, store, recent)
    try:
        return once()
    except DamagedError:
        begin_anew(store)
        return once()


def _gather(
    root: Path,
    settings: Settings,
    today: dt.date,
    progress: Progress,
    wanted: Container[str] | None,
    store: Path,
    recent: Recent | None,
) -> Gathered:
    carried = recent is None
    recent = recall_last(store) if recent is None else recent
    known = bool(recent.held)
    library = read_library(root, settings, today, recent)
    ledger, broken = _read_ledger(root)
    library = replace(library, ledger=ledger)
    tasks = tuple(plan_tasks(library, store / "pictures"))
    with open_kept(store, root) as kept:
        seen, opened = _see_all(tasks, kept, progress, wanted, recent)
        kept.forget_all_but(task.photo.path for task in tasks)
        observations = tuple(_observe(tasks, seen, recent))
        worked = kept.worked()
        memory = Memory(worked, code_digest("measure", "relate"), kept.texts())
        findings = find_findings(library, observations, today, memory, recent)
        marks = mark_pieces(findings, recent)
        # What is known already is not asked for again.
        worked.save(forget_unasked=wanted is None and not known)
    if carried and wanted is None:
        lay_down(store / CARRIED_FILE, _name_code(), recent)
    filed = ledger.standing()
    of_files = (
        *broken,
        *(found.problem for found in seen if found is not None and found.problem),
        *(say_gone(entry) for entry in filed.values() if not (root / entry.file).exists()),
    )
    return Gathered(
        _tell_all(findings, of_files),
        store / "pictures",
        opened,
        len(tasks) - opened,
        sum(photo.path not in filed for photo in library.photos),
        of_files,
        marks,
    )


def recall_last(store: Path) -> Recent:
    """What the last run on a library left in its ``store``."""
    return take_up(store / CARRIED_FILE, _name_code())


def gather_again(last: Gathered, recent: Recent) -> Gathered | None:
    """The library of ``last`` with its sidecars as they are now, where nothing else has changed;
    None where that takes a look at photographs: some are new, gone, or to be read otherwise.

    Raises as :func:`gather`.
    """
    before, today = last.findings.library, last.findings.today
    root = before.root
    library = replace(read_library(root, before.settings, today, recent), ledger=before.ledger)
    store = last.pictures.parent
    old, new = (tuple(plan_tasks(one, last.pictures)) for one in (before, library))
    if not _are_seen_alike(old, new):
        return None
    files = {photo.path: photo for photo in library.photos}
    observations = tuple(
        one if (file := files[one.file.path]) == one.file else replace(one, file=file)
        for one in last.findings.observations
    )
    with open_kept(store, root) as kept:
        worked = kept.worked()
        memory = Memory(worked, code_digest("measure", "relate"), kept.texts())
        findings = find_findings(library, observations, today, memory, recent)
        worked.save(forget_unasked=False)
    return replace(last, findings=_tell_all(findings, last.of_files))


def _name_code() -> str:
    """Names the code, of all rooms, that what is worked out of a library depends on."""
    return code_digest("", "read", "records", *SIGHT, "relate")


def name_makers(templates: Path) -> str:
    """Names the code and the ``templates`` that a page depends on, besides what it is shown."""
    code = code_digest("", "records", "measure", "look", "relate", "reckon", "telling", "publish")
    files = (file for file in sorted(templates.rglob("*")) if file.is_file())
    return digest_bytes("".join((code, *map(digest_file, files))).encode())


def _are_seen_alike(old: Sequence[Task], new: Sequence[Task]) -> bool:
    """Whether the same photographs are to be seen, under the same settings."""
    return [task.photo.path for task in old] == [task.photo.path for task in new] and all(
        one == other or fingerprint_of(one, "") == fingerprint_of(other, "")
        for one, other in zip(old, new, strict=True)
    )


def _tell_all(findings: Findings, of_files: Iterable[Problem]) -> Findings:
    """The findings with every problem of the library."""
    seen = findings.observations
    problems = {
        *findings.library.problems,
        *of_files,
        *findings.problems,
        *(_say_card(one) for one in seen if one.card and one.card.rejected),
        *(_say_sheet(one) for one in seen if one.sheet and one.sheet.rejected),
    }
    return replace(findings, problems=tuple(sorted(problems)))


def _observe(
    tasks: Sequence[Task], seen: Sequence[Seen | None], recent: Recent
) -> Iterator[Observation]:
    for task, found in zip(tasks, seen, strict=True):
        if found is not None and found.picture is not None:
            yield recent.recall(
                ("observation", task.photo.path),
                (task.photo, found),
                partial(
                    Observation, task.photo, found.picture, found.card, found.readings, found.sheet
                ),
            )


def _read_ledger(root: Path) -> tuple[Ledger, tuple[Problem, ...]]:
    """The ledger, and what is wrong with it: the site is built all the same."""
    try:
        ledger = read_ledger(root)
    except ArchiveError as error:
        return NO_LEDGER, tuple(replace(p, weight=Weight.NOTED) for p in error.problems)
    faults = [replace(say_fault(fault), weight=Weight.NOTED) for fault in ledger.faults]
    if ledger.torn:
        faults.append(
            Problem(
                LEDGER,
                len(ledger.entries) + 1,
                f"the last line is {ledger.torn} bytes of an entry that was never finished",
                "whole lines",
                "nothing need be done: the next entry takes its place, and the run that was "
                "stopped is made up for",
            )
        )
    return ledger, tuple(faults)


def _say_card(seen: Observation) -> Problem:
    why = seen.card.rejected.rstrip(".") if seen.card else ""
    return Problem(
        seen.file.path,
        0,
        f"card not found where the set-up says, or not usable ({why})",
        "the set-up's card in its place, whole and evenly lit",
        "photograph it again with the card; if there is none, name another set-up, or “none”, "
        "at the photograph in the sidecar. It is shown without figures",
    )


def _say_sheet(seen: Observation) -> Problem:
    why = seen.sheet.rejected.rstrip(".") if seen.sheet else ""
    return Problem(
        seen.file.path,
        0,
        f"the jig sheet cannot be gone by ({why})",
        "the sheet whole in the frame, flat and sharp, with one piece in its place",
        "photograph it again, or mark the piece by hand: piece_at at the photograph in the "
        "sidecar. It is shown without figures",
    )


def plan_tasks(library: Library, pictures: Path) -> Iterator[Task]:
    """One task a photograph of the ``library``; what is made of them goes into ``pictures``."""
    zones = {
        (entry.piece.piece, entry.piece.attempt): place_zones(entry.piece)
        for entry in library.entries
    }
    sizes = {
        (entry.piece.piece, entry.piece.attempt): size
        for entry in library.entries
        if (size := _face_of(entry.piece))
    }
    unmarked = SetUp("")
    for photo in library.photos:
        setup = library.settings.setup_named(photo.setup or library.settings.default_setup)
        parts: tuple[tuple[str, Box], ...] = zones.get((photo.piece, photo.attempt), ())
        # The back of a piece has no zones of the front.
        yield Task(
            library.root,
            pictures,
            photo,
            setup or unmarked,
            parts if photo.side == "front" else (),
            library.settings,
            sizes.get((photo.piece, photo.attempt)),
        )


def _face_of(piece: Piece) -> tuple[float, float] | None:
    """Width and height, mm, as its notes say them."""
    sides = [
        side.value.number for side in piece.size_mm[:2] if side.value and side.value.unit == "mm"
    ]
    return (sides[0], sides[1]) if len(sides) == 2 else None


def _see_all(
    tasks: Sequence[Task],
    kept: Kept,
    progress: Progress,
    wanted: Container[str] | None,
    recent: Recent,
) -> tuple[tuple[Seen | None, ...], int]:
    """What is seen of each task, in order, and how many photographs were opened for it; None where
    nothing is kept and it is not of a piece ``wanted``."""
    code = code_digest(*SIGHT)
    held = kept.list_held()
    made = _list_made(tasks[0].pictures) if tasks else {}
    found: dict[int, Seen] = {}
    fresh: list[tuple[int, Task, Stamp, str]] = []
    for index, task in enumerate(tasks):
        try:
            stamp = Stamp.of(f"{task.root}/{task.photo.path}")
        except OSError:
            stamp = Stamp(-1, -1)  # gone since it was listed; seeing it says so
        fingerprint = fingerprint_of(task, code)
        recalled = None
        if held.get(task.photo.path) == (stamp, fingerprint):  # what is put away is there too
            recalled = recent.find(("seen", task.photo.path), (stamp, fingerprint))
        if recalled is None:
            recalled = kept.recall(task.photo.path, stamp, fingerprint)
            recent.keep(("seen", task.photo.path), (stamp, fingerprint), recalled)
        if recalled is not None and _is_made(recalled, made):
            found[index] = recalled
        elif wanted is None or task.photo.piece in wanted:
            fresh.append((index, task, stamp, fingerprint))
    for number, ((index, task, stamp, fingerprint), seen) in enumerate(
        zip(fresh, _see_each([task for _, task, _, _ in fresh]), strict=True), start=1
    ):
        seen = kept.keep(task.photo.path, stamp, fingerprint, seen)
        recent.keep(("seen", task.photo.path), (stamp, fingerprint), seen)
        found[index] = seen
        progress(number, len(fresh))
    return tuple(found.get(index) for index in range(len(tasks))), len(fresh)


def _see_each(tasks: Sequence[Task]) -> Iterator[Seen]:
    if tasks:
        from builder.observing.seeing import see

        yield from share_out(see, tasks)


def share_out(do: Callable[[T], R], tasks: Sequence[T]) -> Iterator[R]:
    """Do every task, in order, spread over the cores where there are enough to be worth it."""
    cores = os.cpu_count() or 1
    if cores == 1 or len(tasks) < _WORTH_SHARING:
        yield from map(do, tasks)
        return
    # Started afresh, not forked: the live preview runs threads.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(cores, mp_context=context) as pool:
        yield from pool.map(do, tasks, chunksize=1)


def _list_made(pictures: Path) -> Mapping[str, int]:
    """The pictures that were made, each with its size in bytes. The store may have come from a
    stranger with the rest of the library: a link, which leads elsewhere, is none of ours."""
    try:
        return {
            name: entry.stat(follow_symlinks=False).st_size
            for name, entry in list_plain(pictures).items()
        }
    except OSError:
        return {}  # all is made anew, and what is wrong said then


def _is_made(seen: Seen, made: Mapping[str, int]) -> bool:
    """Whether every picture made of it is still there, and whole."""
    if seen.picture is None:
        return seen.problem is not None
    shown = [*seen.picture.webs, seen.picture.view, seen.picture.card_strip]
    return all(made.get(image.name) == image.bytes for image in shown if image is not None)


def fingerprint_of(task: Task, code: str) -> str:
    """Names everything but the file itself that what is seen depends on."""
    photo: PhotoFile = task.photo
    settings = task.settings
    return _digest_parts(
        SEEING,
        code,
        task.setup,
        photo.piece_at,
        photo.card_at,
        photo.blur,
        task.zones,
        task.piece_mm,
        settings.web_widths,
        settings.view_width,
        settings.limits.pixels,
        settings.limits.picture_bytes,
    )


@lru_cache(maxsize=2**10)  # most photographs of a library are read alike
def _digest_parts(*parts: object) -> str:
    return digest_bytes(repr(parts).encode())


@cache
def code_digest(*rooms: str) -> str:
    """The digest of the code of some rooms: results made by other code are made again."""
    here = Path(__file__).parent
    files = [file for folder in rooms for file in sorted((here / folder).glob("*.py"))]
    files += [here / name for name in ("records/jig.py", "records/photo.py", "smooth.py")]
    return digest_bytes("".join(map(digest_file, files)).encode())
