"""What an import would do, piece by piece, before anything is written."""

from __future__ import annotations

import difflib
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from builder.digests import digest_file
from builder.errors import SidecarError
from builder.importing.doubts import Doubt
from builder.importing.mapping import Numbered
from builder.importing.merging import Conflict, Said, merge, say_conflict
from builder.importing.rows import RowPiece
from builder.read.leaves import Path, Value, look_up
from builder.read.plain_text import read_plain_text
from builder.read.sidecar import SIDECAR, read_documents
from builder.read.wording import fold_number, quote
from builder.records.library import Library

_TEMPORARY = "TEMP-{:03d}"
_ALIKE = 0.6  # of a row's first words, for the row in its place to be the same one
_DATES: tuple[Path, ...] = (("started",), ("finished",), ("sealant", "date"))
_REQUIRED: Mapping[str, tuple[Path, ...]] = {
    "metal": (("metal",),), "method": (("method",),), "date": _DATES,
}  # fmt: skip


class Action(StrEnum):
    """What becomes of a row."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "as it was"
    LEFT = "left"


@dataclass(frozen=True)
class PiecePlan:
    """What becomes of a row's piece.

    ``file`` is its sidecar, relative to the library's folder, "" for a new one; ``digest`` its
    SHA-256 as it was looked at; ``was`` the temporary number it had. ``before`` is what the table
    said last time and ``kept`` what it is held against next time, None where nothing is known.
    """

    row: int
    number: str
    action: Action
    said: Said
    photos: tuple[str, ...] = ()
    changes: Mapping[Path, Value | None] = field(default_factory=dict)
    before: Said | None = None
    kept: Said | None = None
    file: str = ""
    was: str = ""
    digest: str = ""


@dataclass(frozen=True)
class Plan:
    """``pieces`` in the table's order; ``numbered``: rows that got a temporary number now."""

    pieces: tuple[PiecePlan, ...]
    doubts: tuple[Doubt, ...]
    numbered: tuple[Numbered, ...]


def plan_pieces(
    rows: Sequence[RowPiece],
    library: Library,
    last: Mapping[str, Said],
    numbered: Sequence[Numbered],
) -> Plan:
    """What becomes of each row in the library as it is. ``last``: what the table said at its last
    import, by number; ``numbered``: temporary numbers of rows without one."""
    desk = _Desk(library, last)
    given, new = _give_numbers(rows, numbered, desk)
    pieces = []
    for row, number, was in given:
        if desk.take(row, number):
            pieces.append(desk.plan(row, number, was))
    desk.doubts += _note_missing(pieces)
    return Plan(tuple(pieces), tuple(desk.doubts), tuple(new))


class _Desk:
    """The library's numbers and sidecars, and the doubts so far."""

    def __init__(self, library: Library, last: Mapping[str, Said]) -> None:
        self.library = library
        self.last = {number.casefold(): said for number, said in last.items()}
        self.files: dict[str, tuple[str, str]] = {}
        for entry in library.entries:
            known = (entry.piece.piece, entry.file)
            self.files.setdefault(entry.piece.piece.casefold(), known)
        self.doubts: list[Doubt] = []
        self.rows: dict[str, int] = {}
        self.alike = {fold_number(number): number for number, _ in self.files.values()}

    def spell(self, number: str) -> str:
        """The number as the library writes it, where it is one of its own."""
        return self.files.get(number.casefold(), (number, ""))[0]

    def take(self, row: RowPiece, number: str) -> bool:
        """Whether this is the first row of its number."""
        first = self.rows.setdefault(number.casefold(), row.row)
        if first != row.row:
            self.doubts.append(
                Doubt(row.row, "", f"{number} is the number of row {first} too", "the row is left "
                      "out; give one of them another number. A second try at the same blank is a "
                      "second part of its sidecar, after a line “---”, with “attempt: 2”", True)
            )  # fmt: skip
        return first == row.row

    def is_taken(self, number: str) -> bool:
        low = number.casefold()
        return low in self.files or low in self.last or low in self.rows

    def plan(self, row: RowPiece, number: str, was: str) -> PiecePlan:
        said = Said(row.leaves, row.notes)
        plan = PiecePlan(row.row, self.spell(number), Action.NEW, said, row.photos, kept=said)
        if was and was.casefold() in self.files:
            return self._rename(plan, was)
        if number.casefold() in self.files:
            return self._hold_against(plan, self.files[number.casefold()][1], number)
        file = f"{self.library.settings.samples}/{number}/{SIDECAR}"
        path = self.library.root / file
        if path.is_symlink() or path.exists():
            return self._leave(plan, f"{file} is there and cannot be read", "put it right first")
        if number.casefold() in self.last:
            return self._leave(
                plan, f"{number} was imported before and is gone from the library",
                f"left so; if it is to come again, take {number} out of the .last.json beside the "
                "mapping",
            )  # fmt: skip
        if (
            sum(map(len, said.notes.values())) + _signs(row)
            > self.library.settings.limits.sidecar_bytes // 4
        ):
            return self._leave(plan, f"{number} would be a sidecar too large to be read",
                               "shorten its texts, or raise limits in mkdocs.yml")  # fmt: skip
        other = self.alike.setdefault(fold_number(number), number)
        if other.casefold() != number.casefold():
            self.doubts.append(
                Doubt(row.row, "", f"{number} is {other} in another spelling", "taken for another "
                      f"piece; if it is the same, write {other} into the table")
            )  # fmt: skip
        return plan

    def _rename(self, plan: PiecePlan, was: str) -> PiecePlan:
        file = self.files[was.casefold()][1]
        folder = (self.library.root / file).parent
        others = [p.name for p in folder.iterdir() if p.name != SIDECAR and p.name[:1] != "."]
        if plan.number.casefold() in self.files:
            return self._leave(plan, f"it was {was}, and there is a piece {plan.number} already",
                               "say in the mapping what its number is now")  # fmt: skip
        if others:
            return self._leave(
                plan, f"it was {was}, and its folder holds more than the sidecar ({others[0]})",
                f"rename the folder to {plan.number}, put “piece: {plan.number}” into its sidecar, "
                "and import again; patinarium record writes it down",
            )  # fmt: skip
        return replace(self._hold_against(plan, file, was), was=was)

    def _hold_against(self, plan: PiecePlan, file: str, number: str) -> PiecePlan:
        plan = replace(plan, file=file)
        tree = self._read(file)
        if tree is None:
            return self._leave(plan, f"{file} cannot be read", "put it right first")
        plan = replace(plan, digest=digest_file(self.library.root / file))
        before = self.last.get(number.casefold())
        if before is None:
            if all(look_up(tree, path) == value for path, value in plan.said.tree_leaves().items()):
                return replace(plan, action=Action.SAME)
            return self._leave(
                plan, f"{plan.number} is in the library and did not come from this table",
                "left as it is; change it by hand, or give the row another number",
            )  # fmt: skip
        merged = merge(before, plan.said, tree)
        self.doubts += [_say_conflict(plan.row, conflict) for conflict in merged.conflicts]
        action = Action.CHANGED if merged.changes else Action.SAME
        return replace(plan, action=action, changes=merged.changes, before=before, kept=merged.kept)

    def _leave(self, plan: PiecePlan, found: str, todo: str) -> PiecePlan:
        self.doubts.append(Doubt(plan.row, "", found, todo, True))
        kept = self.last.get((plan.was or plan.number).casefold())
        return replace(plan, action=Action.LEFT, kept=kept)

    def _read(self, file: str) -> dict[str, Any] | None:
        limit = self.library.settings.limits.sidecar_bytes
        try:
            text = read_plain_text(self.library.root / file, file, limit)
            return read_documents(text, file)[0].tree
        except SidecarError:
            return None


def _give_numbers(
    rows: Sequence[RowPiece], numbered: Sequence[Numbered], desk: _Desk
) -> tuple[list[tuple[RowPiece, str, str]], list[Numbered]]:
    """Each row with its number and the temporary one it had; and rows that get one now."""
    known = _match_numbered(rows, numbered)
    own = {row.number.casefold() for row in rows}
    given: list[tuple[RowPiece, str, str]] = []
    new: list[Numbered] = []
    taken = own | {n.casefold() for entry in numbered for n in (entry.number, entry.now)}
    count = 0
    for row in rows:
        entry = known.get(row.row)
        if entry and not (row.number and desk.is_taken(row.number)):
            final = row.number or entry.now
            given.append((row, final or entry.number, entry.number if final else ""))
            continue
        if row.number:
            given.append((row, row.number, ""))
            continue
        count += 1
        while (number := _TEMPORARY.format(count)).casefold() in taken or desk.is_taken(number):
            count += 1
        new.append(Numbered(row.row, row.begins, number))
        desk.doubts.append(
            Doubt(row.row, "", f"the row has no number ({quote(row.begins)})", f"it is {number} "
                  "for now; write the final one into the table, or beside “now” in the mapping")
        )  # fmt: skip
        given.append((row, number, ""))
    return given, new


def _match_numbered(rows: Sequence[RowPiece], numbered: Sequence[Numbered]) -> dict[int, Numbered]:
    """Which rows are those that had no number: by their first words, else by their place where
    these are alike. A row that has a number by now is known by its words alone."""
    found: dict[int, Numbered] = {}
    by_words: dict[str, list[RowPiece]] = defaultdict(list)
    for row in rows:
        by_words[row.begins].append(row)
    left = []
    for entry in numbered:
        same = [row for row in by_words.get(entry.begins, ()) if row.row not in found]
        same = [row for row in same if not row.number] or same
        same = [row for row in same if row.row == entry.row] or same
        if len(same) == 1:
            found[same[0].row] = entry
        else:
            left.append(entry)
    at = {row.row: row for row in rows if not row.number and row.row not in found}
    for entry in left:
        here = at.get(entry.row)
        if here and difflib.SequenceMatcher(None, here.begins, entry.begins).ratio() >= _ALIKE:
            found[here.row] = entry
    return found


def _note_missing(pieces: Sequence[PiecePlan]) -> Iterator[Doubt]:
    """What every piece should say and does not; once for all where most lack it."""
    for word, paths in _REQUIRED.items():
        wanted = (*paths, ("same_as",))
        lacking = [p.row for p in pieces if not any(path in p.said.leaves for path in wanted)]
        if len(lacking) > max(3, len(pieces) // 2):
            always = f", or say always: {{{word}: …}} in the mapping" if word != "date" else ""
            yield Doubt(0, "", f"{len(lacking)} rows have no {word}",
                        f"imported without it; name its column{always}")  # fmt: skip
        else:
            for row in lacking:
                yield Doubt(row, "", f"the row has no {word}", "imported without it; write it into "
                            "the sidecar, or “unknown”")  # fmt: skip


def _signs(row: RowPiece) -> int:
    """How much a row says, about."""
    return sum(len(str(value)) + len("".join(path)) for path, value in row.leaves.items())


def _say_conflict(row: int, conflict: Conflict) -> Doubt:
    found, todo = say_conflict(conflict)
    return Doubt(row, "", found, todo, conflict=True)
