"""What was planned, done: a sidecar made or changed, whole or not at all.

The caller holds the library's lock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path as FilePath
from pathlib import PurePosixPath

from builder.digests import digest_bytes
from builder.errors import Problem, SidecarError, TableError, Weight
from builder.importing.doubts import Doubt
from builder.importing.merging import NOTES, Said, list_paths
from builder.importing.planning import Action, PiecePlan
from builder.read.leaves import Path, make_tree
from builder.read.sidecar import SIDECAR
from builder.read.sidecar_changes import change_values
from builder.read.sidecar_text import write_sidecar_text
from builder.records.library import Library
from builder.safe_files import write_whole


def write_new(plan: PiecePlan, table: str, schema: str = "") -> str:
    """The text of a new piece's sidecar. ``schema``: the remark that tells editors of the
    vocabulary."""
    tree = {"piece": plan.number, **make_tree(plan.said.tree_leaves())}
    head = [schema] if schema else []
    return write_sidecar_text(tree, [*head, f"# Row {plan.row} of {table}."])


def change_piece(library: Library, plan: PiecePlan) -> tuple[PiecePlan, tuple[Doubt, ...]]:
    """Change what the table changed in a piece's sidecar, and its number where that was temporary.
    Gives the plan as it was done, and a doubt for every change that could not be made without
    touching more. Raises ``TableError``."""
    path = library.root / plan.file
    changes = dict(plan.changes)
    if plan.was:
        changes = {("piece",): plan.number, **changes}
    try:
        data = path.read_bytes()
        if digest_bytes(data) != plan.digest:
            found, todo = f"{plan.file} was saved meanwhile", "left as it is; import again"
            left = replace(plan, action=Action.LEFT, kept=plan.before)
            return left, (Doubt(plan.row, "", found, todo, True),)
        changed = change_values(data, plan.file, changes)
        if changed.data != data and len(changed.data) <= library.settings.limits.sidecar_bytes:
            write_whole(path.resolve(), changed.data)
        done = _kept_without(plan, changed.refused)
        if plan.was and ("piece",) not in changed.refused:
            done = _move(library, done)
    except SidecarError as error:
        raise TableError(error.problems) from None
    except OSError as error:
        raise _refuse(plan.file, error) from None
    return done, tuple(_say_refused(plan, changed.refused))


def _move(library: Library, plan: PiecePlan) -> PiecePlan:
    """The piece's folder under its final number."""
    old = PurePosixPath(plan.file).parent
    new = old.with_name(plan.number)
    if not (library.root / new).exists() and old.name.casefold() == plan.was.casefold():
        (library.root / old).rename(library.root / new)
        return replace(plan, file=f"{new.as_posix()}/{SIDECAR}")
    return plan


def _kept_without(plan: PiecePlan, refused: Sequence[Path]) -> PiecePlan:
    """A change that was not made is to be made next time: what was said before is kept for it."""
    made = {path: value for path, value in plan.changes.items() if path not in refused}
    if len(made) == len(plan.changes) or plan.kept is None or plan.before is None:
        return plan

    def is_refused(path: Path) -> bool:
        return any(path[: len(other)] == other for other in refused)

    kept = {path: value for path, value in plan.kept.leaves.items() if not is_refused(path)}
    kept |= {path: value for path, value in plan.before.leaves.items() if is_refused(path)}
    notes = plan.before.notes if NOTES in refused else plan.kept.notes
    action = Action.CHANGED if made else Action.LEFT
    return replace(plan, action=action, changes=made, kept=Said(kept, notes))


def _say_refused(plan: PiecePlan, refused: Sequence[Path]) -> list[Doubt]:
    lost = {path: value for path, value in plan.changes.items() if path in refused}
    return [
        Doubt(
            plan.row,
            "",
            f"{words} cannot be changed in {plan.file} without touching more of it",
            "change it by hand",
        )
        for words in list_paths(lost)
    ]


def _refuse(file: str, error: OSError) -> TableError:
    return TableError(
        Problem(
            file,
            0,
            f"it cannot be written ({error.strerror or error})",
            "a folder you may write to, with room on the disk",
            "see to that and import again: what was done is whole and known",
            Weight.STOPS,
        )
    )


def write_file(path: FilePath, text: str) -> None:
    """A file of the import, made or replaced. Raises ``TableError``."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, text.encode())
    except OSError as error:
        raise _refuse(f"{path.parent.name}/{path.name}", error) from None
