"""From what was handed over to what became of it: the whole of ``patinarium add``."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from builder.digests import digest_file
from builder.filing.carrying import carry
from builder.filing.incoming import Incoming, list_incoming
from builder.filing.matching import Ask, Match, match_piece
from builder.filing.planning import Plan, Told, plan_filings
from builder.filing.recording import come_in, looks_by_path
from builder.kept import open_kept
from builder.ledger import Book
from builder.observing import Glimpse, glimpse
from builder.pipeline import Progress, gather, share_out
from builder.read.library import read_library
from builder.read.photo_names import learn_numbering
from builder.records.library import STORE, Library
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
    library = read_library(root, settings, today)
    incoming = list_incoming(named, root / settings.samples)
    numbering = learn_numbering(entry.piece.piece for entry in library.entries)
    arrivals: list[tuple[Glimpse, Match]] = []
    wanted = [(path, settings.limits) for path in incoming.photos]
    for number, seen in enumerate(share_out(glimpse, wanted), start=1):
        progress(number, len(wanted))
        if seen.picture is None:
            arrivals.append((seen, Match("", problem=seen.problem)))
        else:
            match = match_piece(seen.source, seen.picture, told.piece, numbering, ask)
            arrivals.append((seen, match))
    pieces = {match.piece for _, match in arrivals if match.piece}
    findings = gather(root, settings, today, progress, pieces).findings
    digests = _digest_library(library, findings, arrivals)
    plan = plan_filings(library, findings.observations, arrivals, told, digests, numbering, today)
    return Intake(incoming, plan, findings)


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
    findings = gather(
        library.root, library.settings, intake.findings.today, progress, pieces
    ).findings
    _complete(intake.plan, findings, book, now)
    plan = replace(
        intake.plan, filings=done.filed, problems=(*intake.plan.problems, *done.problems)
    )
    return plan, findings


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


def _digest_library(
    library: Library, findings: Findings, arrivals: Sequence[tuple[Glimpse, Match]]
) -> Mapping[str, str]:
    """SHA-256 → path of the library's originals: as the ledger has them, as they were last seen,
    or, where they may be one of the arrivals by their size, digested now."""
    by_path = {
        path: entry.sha256
        for path, entry in findings.library.ledger.standing().items()
        if (library.root / path).is_file()
    }
    with open_kept(library.root / STORE, library.root) as kept:
        by_path |= kept.digests()
    sizes = {seen.picture.bytes for seen, _ in arrivals if seen.picture}
    for photo in library.photos:
        file = library.root / photo.path
        if photo.path not in by_path and file.is_file() and file.stat().st_size in sizes:
            by_path[photo.path] = digest_file(file)
    return {digest: path for path, digest in sorted(by_path.items(), reverse=True)}
