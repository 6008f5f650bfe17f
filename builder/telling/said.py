"""What an audience is shown, and what was left out for them, in words."""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.audiences import FIELDS, PAGES, THINGS, expand
from builder.relate.findings import Findings
from builder.telling.hidden import list_hidden, speaks_of

_MOST_FIELDS = 8  # named in a line; the rest are counted
_RECIPE = expand("recipe")


def say_left_out(found: Findings, told: Findings) -> str:
    """One line: ``Left out for clients: 3 whole pieces; the recipe of 28; notes, why; pages …``."""
    parts = [*_count_pieces(found, told), *_list_fields(found, told), *_list_pages(told)]
    return f"Left out for {told.audience.name}: {'; '.join(parts) or 'nothing'}."


def list_shown(found: Findings, told: Findings) -> tuple[tuple[str, str], ...]:
    """What ``told.audience`` would be shown, as lines of (what, which)."""
    hidden = list_hidden(found.library.entries, told.audience)
    there = {entry.piece.piece for entry in told.library.entries}
    entries = [entry for entry in found.library.entries if entry.piece.piece in there]
    fields = [
        field
        for field in FIELDS
        if any(field not in hidden[id(e)] and speaks_of(e, field) for e in entries)
    ]
    gone = sorted({e.piece.piece for e in found.library.entries} - there)
    sees = told.audience.sees
    return (
        ("pages", ", ".join(page for page in PAGES if sees(page))),
        ("pieces", f"{len(there)}: {', '.join(sorted(there)) or 'none'}"),
        ("not", f"{len(gone)}: {', '.join(gone)}" if gone else "none"),
        ("photographs", f"{len(told.observations)} of {len(found.observations)}"),
        ("fields", ", ".join(fields) or "none"),
        ("guarded", ", ".join(sorted(told.audience.guarded & set(fields))) or "none"),
        ("besides", ", ".join(thing for thing in THINGS if sees(thing)) or "nothing"),
    )


def _count_pieces(found: Findings, told: Findings) -> Iterator[str]:
    there = {entry.piece.piece for entry in told.library.entries}
    gone = {entry.piece.piece for entry in found.library.entries} - there
    if gone:
        yield _count(len(gone), "whole piece")
    photos = sum(seen.file.piece in there for seen in found.observations)
    if photos > len(told.observations):
        yield _count(photos - len(told.observations), "photograph")
    framed = sum(bool(s.picture.webs) for s in found.observations if s.file.piece in there)
    if framed and not any(seen.picture.webs for seen in told.observations) and told.observations:
        yield "what lies round the piece in the others"


def _list_fields(found: Findings, told: Findings) -> Iterator[str]:
    numbers = {entry.piece.piece for entry in told.library.entries}
    hidden = list_hidden(found.library.entries, told.audience)
    entries = [entry for entry in found.library.entries if entry.piece.piece in numbers]
    missing = {id(e): {field for field in hidden[id(e)] if speaks_of(e, field)} for e in entries}
    recipes = {e.piece.piece for e in entries if missing[id(e)] & _RECIPE}
    if recipes:
        yield f"the recipe of {_count(len(recipes), 'piece')}"
    names = dict.fromkeys(
        field.partition(".")[0] if expand(field.partition(".")[0]) <= hidden[id(e)] else field
        for e in entries
        for field in FIELDS
        if field in missing[id(e)] - _RECIPE - {"share"}
    )
    words = [name.replace("_", " ").replace(".", " ") for name in names]
    if len(words) > _MOST_FIELDS:
        words[_MOST_FIELDS:] = [f"{len(words) - _MOST_FIELDS} more fields"]
    if words:
        yield ", ".join(words)


def _list_pages(told: Findings) -> Iterator[str]:
    gone = [page for page in PAGES if not told.audience.sees(page) and page != "records"]
    if gone:
        yield f"the pages {', '.join(gone)}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
