"""Writing down in the ledger what came into the library, or was edited, by hand.

Originals put into a folder by hand are filed as they lie there; a sidecar, the settings or a card's
list edited by hand is noted as it now is; an original that lies elsewhere was moved; one that now
counts as something else (its date was put right) is corrected by an entry. That an original's bytes
changed, or that a file is gone, is written down only where the maker names it and says why.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from builder.digests import digest_file
from builder.errors import Problem
from builder.filing.facts import list_facts, say_as_what
from builder.ledger import Book, say_gone
from builder.read.own_files import list_notes
from builder.records.ledger import Deed, Draft, LedgerEntry
from builder.records.photo import Observation
from builder.relate.filing import say_changed
from builder.relate.findings import Findings, Look


@dataclass
class Unwritten:
    """Entries to be written, in order, and what only the maker can settle."""

    drafts: list[Draft] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def list_unwritten(
    findings: Findings, book: Book, vouched: Collection[str] = (), why: str = ""
) -> Unwritten:
    """What the ledger does not say yet of the library as found. Nothing is written.

    ``vouched``: paths, relative to the library, of changed or missing files for which the maker
    says ``why``. Originals the ledger knows are not digested again: what was seen of them serves
    while size and time agree (verifying reads them all).
    """
    library, found = findings.library, Unwritten()
    looks, chains = looks_by_path(findings), library.ledger.chains()
    gone = {e.sha256: e for e in book.standing.values() if not (library.root / e.file).exists()}
    for observation in findings.observations:
        path, digest = observation.file.path, observation.picture.sha256
        entry, look = book.standing.get(path), looks.get(path)
        if entry is None:
            found.drafts.append(come_in(library.root, observation, look, gone))
        elif digest == entry.sha256:
            found.drafts += _put_right(path, look, chains.get(path, ()))
        elif path in vouched:
            found.drafts.append(_draft(Deed.REPLACED, library.root, path, {"why": why}))
        else:
            found.problems.append(say_changed(observation, entry))
    for path in list_notes(library.root, library.settings):
        found.drafts += note_anew(library.root, path, book.standing, "edited by hand")
    for entry in sorted(gone.values(), key=lambda e: e.file):
        if entry.file in vouched:
            found.drafts.append(
                Draft(Deed.REMOVED, entry.file, entry.sha256, entry.bytes, {"why": why})
            )
        else:
            found.problems.append(say_gone(entry))
    return found


def looks_by_path(findings: Findings) -> Mapping[str, Look]:
    """One look of each photograph, the first zone's, by path."""
    return {
        look.observation.file.path: look
        for strand in reversed(findings.strands)
        for look in strand.looks
    }


def come_in(
    root: Path, observation: Observation, look: Look | None, gone: dict[str, LedgerEntry]
) -> Draft:
    """An entry on an original the ledger does not know: moved here, where one that is ``gone``
    (by digest; it is taken out) had its very bytes, else filed as it lies."""
    path = observation.file.path
    facts = list_facts(observation.picture, look, root / path)
    draft = _draft(Deed.FILED, root, path, facts)
    before = gone.pop(draft.sha256, None)
    if before is None:
        return draft
    return Draft(Deed.MOVED, path, draft.sha256, draft.bytes, {"from": before.file, **facts})


def note_anew(
    root: Path, path: str, standing: Mapping[str, LedgerEntry], why: str
) -> Iterator[Draft]:
    """An entry on a note as it now is, where the ledger says otherwise; ``why`` is told where it
    had one before. Raises ``OSError``."""
    entry = standing.get(path)
    draft = _draft(Deed.NOTED, root, path, {"why": why} if entry else {})
    if entry is None or entry.sha256 != draft.sha256:
        yield draft


def _draft(what: Deed, root: Path, path: str, facts: Mapping[str, str]) -> Draft:
    return Draft(what, path, digest_file(root / path), (root / path).stat().st_size, facts)


def _put_right(path: str, look: Look | None, chain: Sequence[LedgerEntry]) -> Iterator[Draft]:
    """An entry on what an original now counts as, where that is not what was last said."""
    said: dict[str, str] = {}
    for entry in chain:
        said |= entry.facts
    now = {name: value for name, value in say_as_what(look).items() if value}
    if changed := {name: value for name, value in now.items() if said.get(name) != value}:
        yield Draft(Deed.CORRECTED, path, facts=changed)
