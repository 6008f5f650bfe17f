"""The demo's ledger: as if each photograph had been filed the evening of its day.

Written by the same code as any library's; only the hours are made up. Sidecars and settings are
noted on the last evening, as they then stood.
"""

from __future__ import annotations

import datetime as dt
import uuid
from dataclasses import replace
from pathlib import Path

from builder.filing.recording import list_unwritten
from builder.ledger import Book
from builder.pipeline import gather
from builder.read.settings import read_settings_file
from builder.records.ledger import LEDGER, Draft

TODAY = dt.date(2026, 3, 1)
NAME = str(uuid.uuid5(uuid.NAMESPACE_URL, "urn:demo:sparrowhithe-metal-evenings"))
_EVENING = dt.time(21, 30, tzinfo=dt.UTC)
_FIRST = dt.date(2024, 9, 10)


def write_ledger(root: Path) -> int:
    """Write the ledger of the demo at ``root`` anew; how many entries. Its photographs are read
    where nothing is kept of them."""
    (root / LEDGER).unlink(missing_ok=True)
    findings = gather(root, read_settings_file(root), TODAY).findings
    book = Book(root, NAME)
    written = (_without_file_time(draft) for draft in list_unwritten(findings, book).drafts)
    drafts = sorted(written, key=lambda draft: (_day(draft), draft.file))
    for day in sorted({_day(draft) for draft in drafts}):
        evening = dt.datetime.combine(day, _EVENING)
        book.append([draft for draft in drafts if _day(draft) == day], evening)
    return len(drafts) + 1


def _without_file_time(draft: Draft) -> Draft:
    """A checkout gives every file a time of its own."""
    return replace(draft, facts={k: v for k, v in draft.facts.items() if k != "file_time"})


def _day(draft: Draft) -> dt.date:
    """The day it was filed: its own, kept within the class's year; notes come last."""
    day = draft.facts.get("day")
    taken = dt.date.fromisoformat(day) if day else TODAY
    return min(max(taken, _FIRST), TODAY)
