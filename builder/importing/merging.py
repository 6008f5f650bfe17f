"""A corrected table against a sidecar that may have been edited since: what the table changed is
changed, what its maker changed stays, and where both did it is said."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from builder.read.leaves import NAMED, Leaves, Path, Value, find_item, look_up
from builder.read.wording import quote

NOTES: Path = ("notes",)


@dataclass(frozen=True)
class Said:
    """What a table says of one piece: ``leaves``, and ``notes`` by the heading they stand under, ""
    for notes proper."""

    leaves: Leaves
    notes: Mapping[str, str]

    def tree_leaves(self) -> dict[Path, Value]:
        """Everything, the notes put together."""
        text = join_notes(self.notes)
        return {**self.leaves, **({NOTES: text} if text else {})}


@dataclass(frozen=True)
class Conflict:
    """A path, or the heading of a note, with what the table said last time, what it says now, and
    what the sidecar says; "" for nothing."""

    path: Path
    before: str
    table: str
    sidecar: str


@dataclass(frozen=True)
class Merged:
    """``changes`` to be made to the sidecar (None: nothing is said there any more), ``conflicts``
    that are left, and ``kept``: what the table is to be held against next time."""

    changes: Mapping[Path, Value | None]
    conflicts: tuple[Conflict, ...]
    kept: Said


def join_notes(notes: Mapping[str, str]) -> str:
    """Notes as a sidecar has them: notes proper, then a line a heading."""
    first = sorted(notes.items(), key=lambda note: note[0] != "")
    return "\n".join(map(_write_note, first))


def merge(before: Said, now: Said, sidecar: Mapping[str, Any]) -> Merged:
    """What a table changed between ``before`` and ``now``, for a sidecar that says ``sidecar``."""
    changes: dict[Path, Value | None] = {}
    kept = dict(before.leaves)
    conflicts: list[Conflict] = []
    gone = _find_gone(before.leaves, now.leaves)
    for name in gone:
        conflict = _take_out(name, before.leaves, sidecar)
        if conflict:
            conflicts.append(conflict)
            continue
        if find_item(sidecar.get(NAMED, ""), name):
            changes[NAMED, name] = None
        kept = {path: value for path, value in kept.items() if path[:2] != (NAMED, name)}
    for path in dict.fromkeys((*now.leaves, *before.leaves)):
        old, new, own = before.leaves.get(path), now.leaves.get(path), look_up(sidecar, path)
        if old == new or path[:2] in {(NAMED, name) for name in gone}:
            continue
        if not _same(own, new):
            if not _same(own, old):
                conflicts.append(Conflict(path, _show(old), _show(new), _show(own)))
                continue
            changes[path] = new
        kept.pop(path, None)
        if new is not None:
            kept[path] = new
    text, notes = _merge_notes(before.notes, now.notes, _show(look_up(sidecar, NOTES)), conflicts)
    if text is not None:
        changes[NOTES] = text or None
    return Merged(changes, tuple(conflicts), Said(kept, notes))


def _find_gone(before: Leaves, now: Leaves) -> list[str]:
    """Ingredients that the table names no more."""
    return [
        path[1] for path in before if path[0] == NAMED and path[2:] == ("name",) and path not in now
    ]


def _take_out(name: str, before: Leaves, sidecar: Mapping[str, Any]) -> Conflict | None:
    """Why an ingredient cannot be taken out: its maker has written something of it."""
    item = find_item(sidecar.get(NAMED, ""), name)
    imported = {path[2]: value for path, value in before.items() if path[:2] == (NAMED, name)}
    own = {key: value for key, value in item.items() if value != ""} if item else {}
    if not own or own == imported:
        return None
    said = ", ".join(f"{key} {_show(value)}" for key, value in own.items())
    return Conflict((NAMED, name), _show(imported.get("amount")) or name, "", said)


def _merge_notes(
    before: Mapping[str, str], now: Mapping[str, str], own: str, conflicts: list[Conflict]
) -> tuple[str | None, dict[str, str]]:
    """The sidecar's notes with what the table changed in them, None where that is nothing; and the
    notes to be held against next time."""
    lines, kept, changed = own, dict(before), False
    for heading in dict.fromkeys((*now, *before)):
        old, new = before.get(heading), now.get(heading)
        if old == new:
            continue
        written = "" if new is None else _write_note((heading, new))
        former = "" if old is None else _write_note((heading, old))
        if written and _count(lines, written) == 1 and not _count(lines, former):
            pass  # its maker wrote the same
        elif not former:
            lines, changed = f"{lines}\n{written}" if lines else written, True
        elif _count(lines, former) == 1:
            lines, changed = _put(lines, former, written), True
        else:
            conflicts.append(Conflict((*NOTES, heading), old or "", new or "", own))
            continue
        kept.pop(heading, None)
        if new is not None:
            kept[heading] = new
    return (lines if changed else None), kept


def _write_note(note: tuple[str, str]) -> str:
    heading, text = note
    return f"{heading}: {text}" if heading else text


def _count(text: str, lines: str) -> int:
    """How often whole ``lines`` stand in ``text``."""
    return f"\n{text}\n".count(f"\n{lines}\n") if lines else 0


def _put(text: str, lines: str, others: str) -> str:
    around = f"\n{text}\n"
    put = around.replace(f"\n{lines}\n", f"\n{others}\n" if others else "\n", 1)
    return put.strip("\n")


def _same(one: Value | None, other: Value | None) -> bool:
    return _show(one) == _show(other)


def _show(value: Value | None) -> str:
    return ", ".join(value) if isinstance(value, tuple) else (value or "").strip()


def say_conflict(conflict: Conflict) -> tuple[str, str]:
    """What was found and what to do of a conflict."""
    place = ".".join(part for part in conflict.path if part)
    before = quote(conflict.before) if conflict.before else "nothing"
    table = quote(conflict.table) if conflict.table else "nothing"
    sidecar = quote(conflict.sidecar) if conflict.sidecar else "nothing"
    return (
        f"{place}: the table now says {table} (before: {before}), and the sidecar was edited to "
        f"{sidecar}",
        "the sidecar is left as it is; write the right one into both, and it is said no more",
    )


def list_paths(changes: Mapping[Path, Value | None]) -> Iterator[str]:
    """Each change in a few words."""
    for path, value in changes.items():
        place = ".".join(path)
        yield f"{place} → {quote(_show(value))}" if value is not None else f"{place} taken out"
