"""A library as a bag: BagIt 1.0 (RFC 8493), payload manifests in SHA-512 and SHA-256.

::

    bagit.txt  bag-info.txt  file-times.tsv  manifest-….txt  tagmanifest-….txt
    data/READ-ME-FIRST.txt
    data/tables/…      the site's figures as CSV and JSON
    data/library/…     the library's own files, as they are

SHA-512 is what the standard recommends, SHA-256 what the ledger speaks. Each file is read once
while it is copied; the whole bag is then judged as any stranger's is, which reads every copy back.
"""

from __future__ import annotations

import datetime as dt
import errno
import io
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from builder.archive.choosing import Chosen
from builder.archive.file_times import write_times
from builder.archive.judging import judge_bag
from builder.archive.ledger_check import (
    AS_IT_IS,
    LIBRARY,
    NOT_YET,
    is_kept_track_of,
    list_originals,
    say_change,
)
from builder.archive.names import encode_path, find_alike, find_unportable
from builder.archive.sinks import FolderSink, Sink, folder_part, zip_part, zip_sink
from builder.archive.tag_files import (
    DECLARATION,
    INFO,
    OUR_DECLARATION,
    OURS,
    PAYLOAD,
    TIMES,
    write_info,
    write_manifest,
)
from builder.archive.trees import MOST_TAG_BYTES, open_tree
from builder.archive.verdict import Verdict
from builder.errors import ArchiveError, Problem, Weight
from builder.holding import STORE
from builder.ledger import read_ledger, say_fault
from builder.read.wording import show_name
from builder.records.ledger import LEDGER, LedgerEntry
from builder.safe_files import ChangedCopyError

Progress = Callable[[int, int], None]
_SPARE = 10_000_000  # bytes for manifests and what a disk needs itself
_AS_IT_IS = "see what happened to it; to bag the library all the same: --as-it-is"


@dataclass(frozen=True)
class Order:
    """What to bag. ``dest``: the folder or zip file to make; ``agent`` and ``description`` go into
    bag-info.txt."""

    root: Path
    chosen: Chosen
    dest: Path
    zipped: bool
    as_it_is: bool
    description: str
    agent: str
    at: dt.datetime


@dataclass
class _Bag:
    """A bag while it is written: digests by kind and path, of the payload and of the tag files."""

    sink: Sink
    at_ns: int
    payload: dict[str, dict[str, str]] = field(default_factory=lambda: {k: {} for k in OURS})
    tags: dict[str, dict[str, str]] = field(default_factory=lambda: {k: {} for k in OURS})
    times: dict[str, int] = field(default_factory=dict)
    octets: int = 0

    def add_file(self, path: str, source: Path) -> tuple[str, int]:
        """SHA-256 and bytes of ``source``, now in the payload."""
        with source.open("rb") as stream:
            status = os.fstat(stream.fileno())
            poured = self.sink.add(path, stream, status.st_mtime_ns, OURS)
            after = os.fstat(stream.fileno())
        if (poured.bytes, after.st_mtime_ns) != (status.st_size, status.st_mtime_ns):
            raise ChangedCopyError(errno.EIO, "it was changed while it was read", f"{source}")
        self.times[path] = status.st_mtime_ns
        self._note(self.payload, path, poured.digests)
        self.octets += poured.bytes
        return poured.digests["sha256"], poured.bytes

    def add_text(self, path: str, data: bytes) -> None:
        poured = self.sink.add(path, io.BytesIO(data), self.at_ns, OURS)
        self._note(self.payload if path.startswith(PAYLOAD) else self.tags, path, poured.digests)
        self.octets += poured.bytes if path.startswith(PAYLOAD) else 0

    def _note(self, into: dict[str, dict[str, str]], path: str, digests: Mapping[str, str]) -> None:
        for kind, digest in digests.items():
            into[kind][path] = digest


def make_bag(
    order: Order, texts: Mapping[str, str], progress: Progress = lambda done, of: None
) -> Verdict:
    """Make the bag and say what was found of it. ``texts``: further payload by its path under
    ``data/``.

    Raises :class:`ArchiveError`, with no bag made, where the place is taken or has no room, the
    library is not what its ledger says (unless ``as_it_is``), or a copy is not what was read.
    ``progress`` is called with (done, of) files, each counted once copied and once read back.
    """
    refuse_early(order)
    verdict = Verdict()
    _note_names(order, verdict)
    with _said(order):
        if order.zipped:
            with zip_part(order.dest) as part:
                with zip_sink(part, order.dest.stem) as sink:
                    _fill(sink, order, texts, verdict, progress)
                return _judge(part, order, verdict, progress)
        with folder_part(order.dest) as part:
            _fill(FolderSink(part), order, texts, verdict, progress)
            return _judge(part, order, verdict, progress)


def refuse_early(order: Order) -> None:
    """Raise :class:`ArchiveError` for what can be told without reading a photograph: the place, the
    ledger, and files that are missing or of another size than the ledger has them."""
    if found := _find_place_fault(order):
        raise ArchiveError(_say(order.dest.as_posix(), found[0], "a free name", found[1]))
    if order.as_it_is:
        return
    ledger = read_ledger(order.root)
    problems = [say_fault(fault) for fault in ledger.faults]
    originals, sizes = list_originals(ledger), {f.path: f.bytes for f in order.chosen.files}
    for path, entry in sorted(ledger.standing().items()):
        if path not in sizes:
            problems.append(_say_missing(path, entry))
        elif path in originals and sizes[path] != entry.bytes:
            problems.append(_say_otherwise(path, say_change(entry, "", sizes[path])))
    if problems:
        raise ArchiveError(problems)


def _fill(
    sink: Sink, order: Order, texts: Mapping[str, str], verdict: Verdict, progress: Progress
) -> None:
    """Write the whole bag."""
    bag = _Bag(sink, int(order.at.timestamp()) * 10**9)
    bag.add_text(DECLARATION, OUR_DECLARATION)
    ledger = read_ledger(order.root)
    wrong = [LEDGER] if ledger.faults else []
    problems = [say_fault(fault) for fault in ledger.faults]
    standing, originals = ledger.standing(), list_originals(ledger)
    files = order.chosen.files
    for done, file in enumerate(files, start=1):
        sha256, count = bag.add_file(LIBRARY + file.path, file.source)
        progress(done, 2 * len(files))
        entry = standing.pop(file.path, None)
        found = say_change(entry, sha256, count) if entry else ""
        if entry is None and is_kept_track_of(file.path, order.chosen.samples):
            verdict.unknown += 1
            if ledger.entries:
                verdict.note(file.path, NOT_YET)
        elif found and file.path not in originals:
            verdict.note(file.path, found)
        elif found:
            wrong.append(file.path)
            problems.append(_say_otherwise(file.path, found))
    wrong += standing
    problems += [_say_missing(path, entry) for path, entry in sorted(standing.items())]
    if problems and not order.as_it_is:
        raise ArchiveError(problems)
    verdict.notes += (replace(problem, weight=Weight.NOTED) for problem in problems)
    if not ledger.entries:
        verdict.note(LEDGER, "there is no ledger yet; the bag's own digests are all it has")
    for path, text in sorted(texts.items()):
        bag.add_text(PAYLOAD + path, text.encode("utf-8"))
    _write_tags(bag, order, ledger.name, wrong)


def _write_tags(bag: _Bag, order: Order, name: str, wrong: list[str]) -> None:
    payload = bag.payload[OURS[0]]
    info = [
        ("Bag-Software-Agent", order.agent),
        ("Bagging-Date", f"{order.at:%Y-%m-%d}"),
        *([("External-Identifier", name)] if name else []),
        ("External-Description", order.description),
        ("Payload-Oxum", f"{bag.octets}.{len(payload)}"),
        *((AS_IT_IS, encode_path(LIBRARY + path)) for path in wrong),
    ]
    bag.add_text(INFO, write_info(info))
    bag.add_text(TIMES, write_times(bag.times))
    for kind in OURS:
        data = write_manifest(bag.payload[kind])
        if len(data) > MOST_TAG_BYTES:
            raise ArchiveError(
                _say(order.dest.name, "its manifest would be too long", "fewer files", "")
            )
        bag.add_text(f"manifest-{kind}.txt", data)
    tags = {kind: write_manifest(digests) for kind, digests in bag.tags.items()}
    for kind, data in tags.items():
        bag.add_text(f"tagmanifest-{kind}.txt", data)


def _judge(part: Path, order: Order, verdict: Verdict, progress: Progress) -> Verdict:
    """The bag as it came to lie on the disk, read back whole."""
    count = len(order.chosen.files)
    with open_tree(part) as tree:
        judged = judge_bag(tree, lambda done, of: progress(count + done * count // of, 2 * count))
    if judged.faults:
        raise ArchiveError(judged.faults)
    judged.notes, judged.unknown = verdict.notes, verdict.unknown
    return judged


def _note_names(order: Order, verdict: Verdict) -> None:
    paths = [file.path for file in order.chosen.files]
    for group in find_alike(paths):
        verdict.note(group[0], f"some disks take it and {', '.join(group[1:])} for one file")
    for path in paths:
        if reason := find_unportable(path):
            verdict.note(path, f"this is {reason}")
        if "%" in path:
            verdict.note(path, "some programs for bags do not find names with a %")
    if hidden := order.chosen.passed_over:
        verdict.note(hidden[0], f"hidden files are not bagged; there are {len(hidden)}")


def _find_place_fault(order: Order) -> tuple[str, str] | None:
    """What is wrong with the place, and what to do."""
    dest, root, places = order.dest.absolute(), order.root.resolve(), order.chosen.places
    if dest.exists() or dest.is_symlink():
        return "this name is taken, and nothing is written over", "name another place"
    if not dest.parent.is_dir():
        return "there is no folder to put it in", "make it first, or see that the stick is in"
    real = dest.parent.resolve() / dest.name
    own = [root / name for name in (places.samples, places.docs, places.site, STORE) if name]
    if any(folder.resolve() in real.parents for folder in own):
        return "this lies in a folder of the library's own", "name a place outside the library"
    room = shutil.disk_usage(real.parent).free
    needed = sum(file.bytes for file in order.chosen.files) + _SPARE
    if room < needed:
        return (
            f"the disk has {room // 10**6} MB free; {needed // 10**6} MB are needed",
            "make room, or name a place on another disk",
        )
    return None


@contextmanager
def _said(order: Order) -> Iterator[None]:
    """What the system refuses, as a problem."""
    try:
        yield
    except OSError as error:
        raise ArchiveError(
            _say(
                _name_file(error, order.root) or order.dest.as_posix(),
                f"the bag could not be made ({error.strerror or error})",
                "files that may be read, and a disk with room",
                "see to it and run the same again; no bag was left there",
            )
        ) from error


def _name_file(error: OSError, root: Path) -> str:
    """The file of the library that an error is about, "" for any other."""
    path = Path(error.filename) if isinstance(error.filename, str) else Path()
    return path.relative_to(root).as_posix() if path.is_relative_to(root) else ""


def _say_missing(path: str, entry: LedgerEntry) -> Problem:
    found = f"missing: the ledger's entry {entry.number} has it"
    return _say(show_name(path), found, "the file in its place", _AS_IT_IS)


def _say_otherwise(path: str, found: str) -> Problem:
    return _say(path, found, "the bytes that the ledger has", _AS_IT_IS)


def _say(file: str, found: str, expected: str, remedy: str) -> Problem:
    return Problem(file, 0, found, expected, remedy, Weight.STOPS)
