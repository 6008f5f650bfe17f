"""Files held against the ledger: in a library's folder, and in a bag of one.

What the ledger has of a file is its digest and size. An original that is otherwise is a fault. In a
bag a note (sidecar, settings, card) that is otherwise is only said: notes are edited, and the bag's
own digests guard them there.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from builder.archive.choosing import choose_files
from builder.archive.names import FIRST_STANDARD, decode_path, find_escape
from builder.archive.pouring import pour
from builder.archive.trees import Tree
from builder.archive.verdict import Verdict
from builder.errors import LibraryError
from builder.ledger import parse_ledger, read_ledger, say_fault
from builder.read.picture_files import PICTURE_ENDINGS
from builder.read.sidecar import SIDECAR
from builder.records.ledger import LEDGER, Deed, Ledger, LedgerEntry

LIBRARY = "data/library/"
#: Label in bag-info.txt of each file that was bagged although the ledger has it otherwise.
AS_IT_IS = "Patinarium-As-It-Is"
NOT_YET = "added: not in the ledger yet"
_RESTORE = "bring it back from a bag or another copy"
Progress = Callable[[int, int], None]


def list_originals(ledger: Ledger) -> frozenset[str]:
    """The files that the ledger has as originals, not as notes."""
    originals: set[str] = set()
    for entry in ledger.entries:
        if entry.what is Deed.MOVED and entry.facts.get("from", "") in originals:
            originals.discard(entry.facts["from"])
            originals.add(entry.file)
        elif entry.what in (Deed.FILED, Deed.REPLACED):
            originals.add(entry.file)
    return frozenset(originals)


def is_kept_track_of(path: str, samples: str) -> bool:
    """Whether a file of the library is an original or a sidecar, which the ledger should have."""
    name = path.rpartition("/")[2]
    picture = "." + name.rpartition(".")[2].lower() in PICTURE_ENDINGS
    return path.startswith(f"{samples}/") and (picture or name == SIDECAR)


def say_change(entry: LedgerEntry, sha256: str, count: int) -> str:
    """What is wrong with a file of that digest and size, "" if it is the one of ``entry``."""
    if sha256 == entry.sha256 and count == entry.bytes:
        return ""
    more = f": {count} bytes, not {entry.bytes}" if count != entry.bytes else ""
    return f"changed since the ledger's entry {entry.number}, {entry.at:%Y-%m-%d}{more}"


def check_library(root: Path, progress: Progress = lambda done, of: None) -> Verdict:
    """All that is to be said of the library at ``root``: its ledger's chain, every file the ledger
    has, and originals and sidecars it does not have. Nothing is written."""
    verdict = Verdict()
    ledger = read_ledger(root)
    _check_chain(ledger, verdict)
    if not ledger.entries and not ledger.faults:
        verdict.fault(LEDGER, "there is no ledger yet", "one to hold the files against", "")
        return verdict
    standing = ledger.standing()
    for done, (file, entry) in enumerate(sorted(standing.items()), start=1):
        _check_file(root, file, entry, verdict)
        progress(done, len(standing))
    try:
        chosen = choose_files(root)
    except LibraryError as error:
        verdict.faults += error.problems
        return verdict
    for there in chosen.files:
        if there.path not in standing and is_kept_track_of(there.path, chosen.samples):
            verdict.unknown += 1
            verdict.fault(there.path, NOT_YET, "", "")
    return verdict


def check_ledger_in_bag(tree: Tree, verdict: Verdict) -> None:
    """The ledger in a bag of a library: its chain, and the digests that were taken already."""
    if LIBRARY + LEDGER not in tree.sizes:
        return
    try:
        ledger = parse_ledger(tree.read(LIBRARY + LEDGER))
    except OSError as error:
        verdict.fault(LIBRARY + LEDGER, f"it cannot be read ({error.strerror or error})", "")
        return
    originals = list_originals(ledger)
    excused = {
        decode_path(value, FIRST_STANDARD)
        for label, value in verdict.about
        if label.casefold() == AS_IT_IS.casefold()
    }
    _check_chain(ledger, verdict, LIBRARY, LIBRARY + LEDGER in excused)
    for file, entry in sorted(ledger.standing().items()):
        path = LIBRARY + file
        if find_escape(file):
            verdict.fault(LIBRARY + LEDGER, _say_escape(file), "files of it", line=entry.line)
            continue
        if path in verdict.digests:
            found = say_change(entry, verdict.digests[path], verdict.sizes[path])
        else:
            found = f"missing: the ledger's entry {entry.number} has it"
        if found and (path in excused or file not in originals):
            verdict.note(path, f"{found}; it was bagged so")
        elif found:
            verdict.fault(path, found, "the bytes that the ledger has", _RESTORE)


def _check_chain(ledger: Ledger, verdict: Verdict, above: str = "", excused: bool = False) -> None:
    verdict.entries = len(ledger.entries)
    for fault in ledger.faults:
        said = say_fault(fault)
        if excused:
            verdict.note(above + said.file, f"{said.found}; it was bagged so", line=said.line)
        else:
            verdict.fault(above + said.file, said.found, said.expected, said.remedy, said.line)
    if ledger.torn:
        verdict.note(above + LEDGER, "its last line is the beginning of an entry that never was")


def _check_file(root: Path, file: str, entry: LedgerEntry, verdict: Verdict) -> None:
    if find_escape(file):
        verdict.fault(LEDGER, _say_escape(file), "files of it", line=entry.line)
        return
    path = root / file
    try:
        if not path.resolve().is_relative_to(root.resolve()):
            verdict.fault(file, "this is a link that leads outside the library", "a file", _RESTORE)
            return
        if not path.is_file():
            verdict.fault(
                file,
                f"missing: the ledger's entry {entry.number} has it",
                "the file in its place",
                _RESTORE,
            )
            return
        with path.open("rb") as stream:
            poured = pour(stream, ["sha256"])
    except (OSError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or error
        verdict.fault(file, f"it cannot be read ({reason})", "a readable file", _RESTORE)
        return
    verdict.digests[file], verdict.sizes[file] = poured.digests["sha256"], poured.bytes
    if found := say_change(entry, poured.digests["sha256"], poured.bytes):
        remedy = _RESTORE
        if file.endswith(SIDECAR) or "/" not in file:
            remedy = f"if this is no edit of yours, {_RESTORE}"
        verdict.fault(file, found, "the bytes that the ledger has", remedy)


def _say_escape(file: str) -> str:
    return f"an entry names a file outside the library ({file[:80]})"
