"""A little library with a ledger, in a folder that holds other things besides: no real pictures."""

from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

from builder.archive.bagging import Order
from builder.archive.choosing import choose_files
from builder.digests import digest_file
from builder.ledger import Book
from builder.records.ledger import Deed, Draft

AT = dt.datetime(2026, 3, 1, 12, 0, 0, tzinfo=dt.UTC)
ORIGINALS = ("samples/SH-001/a_2025-01-14.jpg", "samples/SH-002/Ä b.jpg")
NOTES = ("samples/SH-001/sample.yaml", "samples/SH-002/sample.yaml", "mkdocs.yml", "card.txt")
OWN = {*ORIGINALS, *NOTES, "docs/about.md", "docs/sub/more.md", "ledger.jsonl"}
SETTINGS = """site_name: Little
plugins:
  - patinarium:
      setups:
        bench: {sheet: A4, card: card.txt, card_grid: [1, 2], card_mm: [10, 20]}
"""


def make_little_library(root: Path) -> Path:
    """All of it in the ledger; each file with a time of its own, to the nanosecond."""
    for place in ("samples/SH-001", "samples/SH-002", "docs/sub", "builder", "site", ".git"):
        (root / place).mkdir(parents=True)
    (root / ".patinarium" / "pictures").mkdir(parents=True)
    for place in ("builder/cli.py", "site/index.html", ".git/HEAD", "notes.txt", ".env"):
        (root / place).write_text("none of the library's", encoding="utf-8")
    for number, name in enumerate(ORIGINALS):
        (root / name).write_bytes(bytes([255, 216, number]) * 700)
        (root / name).parent.joinpath("sample.yaml").write_text(
            f"piece: SH-00{number + 1}\nmetal: copper\nstarted: 2025-01-0{number + 1}\n", "utf-8"
        )
    (root / "mkdocs.yml").write_text(SETTINGS, encoding="utf-8")
    (root / "card.txt").write_text("a card", encoding="utf-8")
    for page in ("about.md", "sub/more.md"):
        (root / "docs" / page).write_text("# Words\n", encoding="utf-8")
    drafts = [
        Draft(deed, name, digest_file(root / name), (root / name).stat().st_size)
        for deed, names in ((Deed.FILED, ORIGINALS), (Deed.NOTED, NOTES))
        for name in names
    ]
    Book(root, "little").append(drafts, AT)
    for number, name in enumerate(sorted(OWN)):
        time = (1_600_000_000 + 86_400 * number) * 10**9 + 123_456_700 + number
        os.utime(root / name, ns=(time, time))
    return root


def order_bag(root: Path, dest: Path, zipped: bool = False, as_it_is: bool = False) -> Order:
    return Order(
        root=root,
        chosen=choose_files(root),
        dest=dest,
        zipped=zipped,
        as_it_is=as_it_is,
        description="Little: a library",
        agent="Patinarium 0",
        at=AT,
    )


def contents(root: Path) -> dict[str, tuple[bytes, int]]:
    """Bytes and time of every file, by path."""
    return {
        path.relative_to(root).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in root.rglob("*")
        if path.is_file()
    }
