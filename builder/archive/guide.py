"""``READ-ME-FIRST.txt``: what a bag is and how to read it, for somebody without this program."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from builder.archive.choosing import Chosen
from builder.shipped import shipped_folder

GUIDE = "READ-ME-FIRST.txt"


def write_guide(
    title: str, chosen: Chosen, columns: Mapping[str, Mapping[str, str]], day: dt.date
) -> str:
    """The guide's text; ``columns``: what each column of each table holds."""
    template = shipped_folder("site_templates") / "bag" / GUIDE
    words = {
        "title": title,
        "day": f"{day}",
        "samples": chosen.samples,
        "docs": chosen.places.docs,
        "columns": "\n\n".join(_list_columns(name, told) for name, told in columns.items()),
    }
    return template.read_text(encoding="utf-8") % words


def _list_columns(name: str, told: Mapping[str, str]) -> str:
    width = max(map(len, told))
    return "\n".join([name, *(f"  {column:<{width}}  {what}" for column, what in told.items())])
