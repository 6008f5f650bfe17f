"""From what was handed over to what became of it: the whole of ``patinarium add``."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from builder.digests import digest_file
from builder.errors import FilingError, Problem
from builder.filing.annotating import list_edits
from builder.filing.carrying import carry, note
from builder.filing.incoming import Incoming, list_incoming
from builder.filing.joining import Tell, tell_nothing
from builder.filing.matching import Ask, Because, Match, match_piece
from builder.filing.planning import Filing, Plan, Told, plan_filings
from builder.filing.recording import come_in, looks_by_path
from builder.holding import STORE
from builder.kept import Stamp, open_kept
from builder.ledger import Book
from builder.observing.glimpsing import Glimpse, glimpse
from builder.pipeline import Progress, gather, share_out
from builder.read.library import read_library
from builder.read.photo_names import Numbering, learn_numbering
from builder.read.wording import show_name
from builder.records.library import Library
from builder.records.settings import Settings
from builder.relate.findings import Findings
from builder.safe_files import clear_parts

Now = Callable[[], dt.datetime]


@dataclass(frozen=True)
class Intake:
    """What was handed over, and as what it would be filed in the library as it is."""

    incoming: Incoming
    plan: Plan
    findings: Findings


@dataclass(frozen=True)
class Handed:
    """What was handed over: the list, and a first look at each picture of it."""

    incoming: Incoming
    glimpses: tuple[Glimpse, ...]


def look_at(root: Path, settings: Settings, named: Sequence[Path], progress: Progress) -> Handed:
    """Every picture among those ``named``, opened once."""
    incoming = list_incoming(named, root / settings.samples)
    wanted = [(path, settings.limits) for path in incoming.photos]
    glimpses = []
    for number, seen in enumerate(share_out(glimpse, wanted), start=1):
        progress(number, len(wanted))
        glimpses.append(seen)
    return Handed(incoming, tuple(glimpses))


def plan_intake(
    root: Path,
    settings: Settings,
    named: Sequence[Path],
    told: Told,
    today: dt.date,
    ask: Ask | None,
    progress: Progress,
) -> Intake:
    """Look at every picture among those ``named`` and say as what it would be filed; nothing is
    written but what is kept between runs. Raises ``LibraryError``."""
    handed = look_at(root, settings, named, progress)
    return plan_handed(root, settings, handed, told, today, ask, progress)


def plan_handed(
    root: Path,
    settings: Settings,
    handed: Handed,
    told: Told,
    today: dt.date,
    ask: Ask | None,
    progress: Progress,
    tell: Tell = tell_nothing,
) -> Intake:
    """As :func:`plan_intake`, of what was looked at already; ``tell`` is what is known of single
    pictures from elsewhere."""
    library = read_library(root, settings, today)
    incoming, glimpses = handed.incoming, handed.glimpses
    numbering = learn_numbering(entry.piece.piece for entry in library.entries)
    digests = _digest_library(library, glimpses)
    arrivals = [match_glimpse(g, told.piece, numbering, digests, ask, tell) for g in glimpses]
    pieces = {match.piece for _, match in arrivals if match.piece}
    findings = gather(root, settings, today, progress, pieces).findings
    with open_kept(root / STORE, root) as kept:
        plan = plan_filings(
            library,
            findings.observations,
            findings.library.ledger,
            arrivals,
            told,
            digests,
            numbering,
            today,
            kept.texts(),
        )
    return Intake(incoming, plan, findings)


def match_glimpse(
    seen: Glimpse,
    told: str,
    numbering: Numbering,
    digests: Mapping[str, str],
    ask: Ask | None = None,
    tell: Tell = tell_nothing,
) -> tuple[Glimpse, Match]:
    """Which piece it shows; nobody is asked of a picture whose bytes are filed already."""
    if seen.picture is None:
        name = show_name(seen.source.as_posix())
        return seen, Match("", problem=replace(seen.problem, file=name) if seen.problem else None)
    if seen.picture.sha256 in digests:
        ask = None
    known = None if told else tell(seen)
    match = match_piece(seen.source, seen.picture, known.piece if known else told, numbering, ask)
    if known and match.because is Because.ASKED and match.piece == known.piece:
        match = replace(match, because=known.because)
    return seen, match


def carry_out(
    intake: Intake,
    told: Told,
    now: Now,
    progress: Progress,
) -> tuple[Plan, Findings]:
    """File what was planned, and say how the library stands then: the plan as it was done, with
    what could not be, and the findings. For the holder of the library's lock."""
    library = intake.findings.library
    for entry in library.entries:
        clear_parts((library.root / entry.file).parent)
    book = Book(library.root, str(uuid.uuid4()))
    done = carry(library, intake.plan.filings, told, book, now, progress)
    pieces = {filing.file.piece for filing in intake.plan.filings}
    there = {path for _, path in intake.plan.there}
    pieces |= {photo.piece for photo in library.photos if photo.path in there}
    findings = gather(
        library.root, library.settings, intake.findings.today, progress, pieces
    ).findings
    _complete(intake.plan, findings, book, now)
    unnoted = _note_there(intake.plan, findings, told, book, now)
    problems = (*intake.plan.problems, *done.problems, *unnoted)
    return replace(intake.plan, filings=done.filed, problems=problems), findings


def _complete(plan: Plan, findings: Findings, book: Book, now: Now) -> None:
    """Entries on pictures that an interrupted run copied and did not come to write down."""
    there = {path for _, path in plan.there if path not in book.standing}
    looks = looks_by_path(findings)
    root = findings.library.root
    book.append(
        (
            come_in(root, seen, looks.get(seen.file.path), {})
            for seen in findings.observations
            if seen.file.path in there
        ),
        now(),
    )


def _note_there(
    plan: Plan, findings: Findings, told: Told, book: Book, now: Now
) -> Iterator[Problem]:
    """What was told of pictures that are filed already goes into their sidecars as well; the
    problems of those that cannot be added to."""
    looks = looks_by_path(findings)
    seen = {observation.file.path: observation for observation in findings.observations}
    entries = {(e.piece.piece, e.piece.attempt): e for e in findings.library.entries}
    for source, path in plan.there:
        if path not in seen:
            continue
        file = seen[path].file
        filing = Filing(
            source,
            seen[path].picture,
            Because.ASKED,
            file,
            entries[file.piece, file.attempt],
            looks.get(path),
        )
        edit = list_edits(filing, told, with_check=True)
        try:
            if edit:
                note(findings.library, filing, edit, book, now)
        except FilingError as error:
            yield from error.problems


def _digest_library(library: Library, arrivals: Sequence[Glimpse]) -> Mapping[str, str]:
    """SHA-256 → path of the library's originals as they now are: as they were last seen, or, where
    they may be one of the arrivals by their size, digested now."""
    with open_kept(library.root / STORE, library.root) as kept:
        known = kept.digests()
    sizes = {seen.picture.bytes for seen in arrivals if seen.picture}
    by_digest: dict[str, str] = {}
    for photo in library.photos:
        file = library.root / photo.path
        if file.is_file() and file.stat().st_size in sizes:
            stamp = Stamp.of(file)
            digest, seen_stamp = known.get(photo.path, ("", None))
            digest = digest if seen_stamp == stamp else digest_file(file)
            by_digest.setdefault(digest, photo.path)
    return by_digest
