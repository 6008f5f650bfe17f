"""Starting a library: settings, one piece to fill in, and room for pages of one's own."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

from builder.errors import LibraryError, Problem, Weight
from builder.read.editor_hints import place_schema
from builder.shipped import shipped_folder

FIRST_PIECE = "samples/TP-001/sample.yaml"


def start_library(
    folder: Path, title: str, today: dt.date, first_piece: bool = True
) -> tuple[Path, ...]:
    """Make a library in ``folder`` (made if need be) and say what was made: settings, pages, the
    schema for editors, and a ``first_piece`` to fill in, where that is wanted.

    Nothing that is there already is written over. Raises :class:`LibraryError` where a library
    or other files of the same names are there, or the folder cannot be written to.
    """
    templates = shipped_folder("site_templates") / "start"
    wanted = {
        "mkdocs.yml": ("mkdocs.yml", {"title": json.dumps(title, ensure_ascii=False)}),
        FIRST_PIECE: ("sample.yaml", {"day": today.isoformat()}),
        "docs/about.md": ("about.md", {}),
    }
    if not first_piece:
        del wanted[FIRST_PIECE]
    there = [name for name in wanted if (folder / name).exists()]
    if there:
        raise LibraryError(
            Problem(
                there[0],
                0,
                "this is already here",
                "a folder without a library",
                f"name another folder, or go on with this one: patinarium build {folder}",
                Weight.STOPS,
            )
        )
    made: list[Path] = []
    try:
        for name, (template, words) in wanted.items():
            text = (templates / template).read_text(encoding="utf-8")
            for key, value in words.items():
                text = text.replace(f"%({key})s", value)
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("x", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
            made.append(target)
        (folder / "samples").mkdir(exist_ok=True)
        schema = place_schema(folder)[1]
        made += [schema] if schema else []
    except OSError as error:
        raise LibraryError(
            Problem(
                folder.as_posix(),
                0,
                f"could not be written to ({error.strerror or error})",
                "a folder you may write to",
                "choose another folder, or change its permissions",
                Weight.STOPS,
            )
        ) from error
    return tuple(made)
