"""What is fed, and with what. A new reader of strangers' files gets a row in :data:`TARGETS`:
where its cases come from, and a function that reads one in an empty folder.

A reader may raise :class:`PatinariumError`; anything else is a defect, and so is a file outside
the folder, a wait without end, and memory that grows.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hypothesis.strategies import SearchStrategy

from builder.archive.ledger_check import check_library
from builder.archive.restoring import restore_bag
from builder.digests import digest_bytes
from builder.ledger import read_ledger
from builder.look.opening import open_original
from builder.observing.glimpsing import glimpse
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.publish.cells import plain_lines, write_cell
from builder.publish.site import lay_out_site
from builder.read.cards import read_card_file
from builder.read.library import read_library
from builder.read.places import read_places
from builder.read.settings import read_settings_file
from builder.records.photo import Exif, Observation, PhotoFile, Picture
from builder.records.settings import Limits, Settings, SetUp
from builder.records.zones import place_zones
from builder.relate.find import find_findings
from tests.fuzz import bags, pictures, texts
from tests.relate.demo import read

_DAY = dt.date(2025, 11, 1)
_LIMITS = Limits(pixels=2_000_000)
_SISTER = (
    "piece: SH-012\nmetal: copper\nmethod: buried\nstarted: 2024-10-01\nfinished: 2024-10-08\n"
)
_PHOTOGRAPHS = ("SH-014_2024-10-15.jpg", "SH-014_2025-04-20_recheck_front.jpg")
_ONE_IN = 8  # photographs that are measured too, which takes a hundred times as long

Read = Callable[[bytes, Path], object]


@dataclass(frozen=True)
class Target:
    """``cases`` are the bytes of one file; ``read`` does with them, in an empty folder, all that
    the program would; ``examples``: how many cases are one round."""

    name: str
    cases: Callable[[], SearchStrategy[bytes]]
    read: Read
    examples: int = 200


def read_sidecar(case: bytes, folder: Path) -> None:
    read_library(_library_of(case, folder), Settings(), _DAY)


def lay_out(case: bytes, folder: Path) -> None:
    """From the sidecar to every page and data file, each photograph with a reading a zone."""
    library = read_library(_library_of(case, folder), Settings(), _DAY)
    zones = {(e.piece.piece, e.piece.attempt): place_zones(e.piece) for e in library.entries}
    seen = [
        Observation(
            file,
            Picture(
                file.path,
                digest_bytes(file.path.encode()),
                1,
                "JPEG",
                4,
                3,
                Exif(),
                "sRGB",
                (),
                _DAY,
            ),
            None,
            tuple(
                read((50.0 + 9 * number, -20.0, 4.0), zone=zone)
                for zone, _ in zones[file.piece, file.attempt] or (("", None),)
            ),
        )
        for number, file in enumerate(library.photos)
    ]
    site = lay_out_site(find_findings(library, seen, _DAY), folder / "pictures")
    for page in site.pages:
        page.render()
    for _, parts in site.files():
        "".join(parts)


def _library_of(case: bytes, folder: Path) -> Path:
    for number, text in (("SH-012", _SISTER.encode()), ("SH-014", case)):
        (folder / "samples" / number).mkdir(parents=True)
        (folder / "samples" / number / "sample.yaml").write_bytes(text)
    for name in _PHOTOGRAPHS:
        (folder / "samples" / "SH-014" / name).write_bytes(b"")
    return folder


def read_card(case: bytes, folder: Path) -> None:
    (folder / "card.txt").write_bytes(case)
    read_card_file(folder / "card.txt", "card.txt", None, Limits().sidecar_bytes)


def read_cell(case: bytes, folder: Path) -> None:
    """A cell comes back from its table as it was, but for the apostrophe that makes it words."""
    text = plain_lines(case.decode("utf-8"))
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerow([write_cell(text), "after"])
    ((cell, after),) = csv.reader(io.StringIO(stream.getvalue(), newline=""))
    if after != "after" or cell not in (text, f"'{text}") or cell.startswith(("=", "@", "\t")):
        raise AssertionError(f"{text!r} came back as {cell!r}")


def read_archive(case: bytes, folder: Path) -> None:
    (folder / "a.zip").write_bytes(case)
    (folder / "beside").mkdir()
    with watched(folder):
        restore_bag(folder / "a.zip", folder / "beside" / "new")


@contextmanager
def watched(folder: Path) -> Iterator[None]:
    """Nothing is made in ``folder`` or anywhere near but in ``folder/beside/new``."""
    before = sorted(folder.parent.rglob("*"))
    yield
    new = folder / "beside" / "new"
    odd = [path for path in folder.parent.rglob("*") if new not in (path, *path.parents)]
    if sorted(odd) != before:
        raise AssertionError(f"made beside its folder: {set(odd) ^ set(before)}")


def read_photograph(case: bytes, folder: Path) -> None:
    (folder / "a.jpg").write_bytes(case)
    try:
        opened = open_original(folder, "a.jpg", _LIMITS)
    finally:
        if sum(case) % _ONE_IN == 0:
            _measure(folder)
    if opened.rgb.ndim != 3 or opened.rgb.shape[2] != 3 or str(opened.rgb.dtype) != "uint8":
        raise AssertionError(f"pixels of shape {opened.rgb.shape}, {opened.rgb.dtype}")


def _measure(folder: Path) -> None:
    glimpse((folder / "a.jpg", _LIMITS))
    corners = ((0.1, 0.1), (0.9, 0.1), (0.9, 0.9), (0.1, 0.9))
    photo = PhotoFile("a.jpg", "SH-014", piece_at=corners)
    see(Task(folder, folder / "pictures", photo, SetUp(""), (), Settings(limits=_LIMITS)))


def read_settings(case: bytes, folder: Path) -> None:
    (folder / "mkdocs.yml").write_bytes(case)
    (folder / "samples").mkdir()
    shutil.copy(texts.ROOT / "samples" / "sparrowhithe-card.txt", folder / "samples")
    try:
        read_settings_file(folder)
    finally:
        read_places(folder)


def read_book(case: bytes, folder: Path) -> None:
    (folder / "ledger.jsonl").write_bytes(case)
    (folder / "mkdocs.yml").write_text("plugins:\n  - patinarium\n", encoding="utf-8")
    (folder / "samples").mkdir()
    ledger = read_ledger(folder)
    ledger.standing()
    ledger.chains()
    check_library(folder)


TARGETS = (
    Target("sidecar", texts.sidecars, read_sidecar),
    Target("pages", texts.sidecars, lay_out, examples=20),
    Target("settings", texts.settings, read_settings),
    Target("cgats", texts.cards, read_card),
    Target("csv", texts.cells, read_cell),
    Target("ledger", texts.ledgers, read_book),
    Target("archive", bags.zips, read_archive),
    Target("photos", pictures.photographs, read_photograph),
)


def target_named(name: str) -> Target:
    return next(target for target in TARGETS if target.name == name)
