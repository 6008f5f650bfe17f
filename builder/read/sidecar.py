"""One sidecar to its attempts, with every problem of the file."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.errors import Problem, SidecarError, Weight
from builder.read.attempts import Attempt
from builder.read.lines import find_line
from builder.read.plain_text import read_plain_text
from builder.read.spelling import spell_key
from builder.read.text_yaml import Caps, Document, read_text_yaml
from builder.read.vetting import vet_tree
from builder.read.wording import describe_value, quote
from builder.records.settings import Limits
from builder.records.words import AUDIENCES

SIDECAR = "sample.yaml"
_USUAL = Limits()
#: Keys that ``change`` cannot change: they say which piece this is and what it is compared with.
FIXED_KEYS = ("piece", "same_as", "change", "attempt", "photos")
_SAFE_NUMBER = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,58}[A-Za-z0-9_-])?")
# Names no file may bear on some systems, and names a site keeps for its own pages.
_TAKEN = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9]|index|readme)(?:\..*)?", re.IGNORECASE)


@dataclass(frozen=True)
class Sidecar:
    """What one file gave. ``attempts`` is empty where the file cannot be used at all."""

    attempts: tuple[Attempt, ...]
    problems: tuple[Problem, ...]


def read_sidecar(
    path: Path,
    file: str,
    folder: str,
    limits: Limits,
    audiences: Collection[str] | None = AUDIENCES,
) -> Sidecar:
    """Read one ``sample.yaml``; ``file`` is its name in problems, ``folder`` its folder's name,
    which stands in for a missing number, ``limits`` what it may cost, ``audiences`` those that its
    ``share`` may name, None for any. Never raises."""
    try:
        text = read_plain_text(path, file, limits.sidecar_bytes)
        documents = read_documents(text, file, limits)
    except SidecarError as error:
        return Sidecar((), error.problems)
    return read_attempts(documents, file, folder, audiences)


def read_documents(text: str, file: str, limits: Limits = _USUAL) -> tuple[Document, ...]:
    """The documents of a sidecar's text, its keys in their usual spelling. Raises
    ``SidecarError``."""
    caps = Caps(
        nodes=limits.sidecar_values,
        depth=limits.sidecar_depth,
        value=limits.text_characters,
        characters=limits.sidecar_bytes,
    )
    return read_text_yaml(text, file, caps, spell_key)


def read_attempts(
    documents: Sequence[Document],
    file: str,
    folder: str,
    audiences: Collection[str] | None = AUDIENCES,
) -> Sidecar:
    """The attempts of one sidecar's documents, with every problem; names as in
    :func:`read_sidecar`."""
    attempts: list[Attempt] = []
    problems: list[Problem] = []
    first = ""
    for position, document in enumerate(documents, start=1):
        attempt, said = _read_attempt(document, file, folder, position, first, audiences)
        problems += said
        if attempt:
            attempts.append(attempt)
            first = first or attempt.number
    return Sidecar(tuple(attempts), tuple(problems))


def is_safe_number(number: str) -> bool:
    """Whether a piece's number can be a file's name everywhere: letters, digits, ``-``, ``_`` and
    ``.``, at most 60, and none of the names that systems keep for themselves."""
    return bool(_SAFE_NUMBER.fullmatch(number)) and not _TAKEN.fullmatch(number)


def _read_attempt(
    document: Document,
    file: str,
    folder: str,
    position: int,
    first: str,
    audiences: Collection[str] | None,
) -> tuple[Attempt | None, list[Problem]]:
    written = dict(document.tree)
    change = written.pop("change", {})
    vetted = vet_tree(written, document.lines, file, audiences=audiences)
    problems = list(vetted.problems)
    changed: dict[str, Any] = {}
    lines = vetted.lines
    if isinstance(change, dict):
        free = {key: value for key, value in change.items() if key not in FIXED_KEYS}
        if free:
            inner = vet_tree(free, lines, file, ("change",))
            changed, lines = inner.tree, inner.lines
            problems += inner.problems
        problems += _note_change(document, change, vetted.tree, file)
    elif change:
        line = find_line(document.lines, ("change",))
        found = f"change is {describe_value(change)}"
        problems.append(
            Problem(
                file,
                line,
                found,
                "expected keys and values, such as change: {exposure: 14 d}",
                "write it that way",
            )
        )
    number, said = _find_number(vetted.tree, document, file, folder, first)
    problems += said
    if vetted.piece is None or any(problem.weight is Weight.LEFT_OUT for problem in problems):
        return None, problems
    attempt = vetted.piece.attempt if "attempt" in vetted.tree else position
    read = Attempt.of(number, attempt, file, document.line, vetted.tree, changed, lines)
    return read, problems


def _note_change(
    document: Document, change: dict[str, Any], beside: dict[str, Any], file: str
) -> list[Problem]:
    """Keys of ``change`` that cannot change, or that are written beside it too; ``change`` with
    nothing to change."""
    problems = []
    for key in change:
        line = find_line(document.lines, ("change", key))
        if key in FIXED_KEYS:
            problems.append(
                Problem(
                    file,
                    line,
                    f"change speaks of {quote(key)}",
                    "expected keys that another piece can have otherwise",
                    "write it beside change, not in it",
                )
            )
        elif key in beside:
            problems.append(
                Problem(
                    file,
                    line,
                    f"{quote(key)} stands in change and beside it",
                    "expected it once",
                    "keep one; the one in change is taken",
                )
            )
    if change and not beside.get("same_as"):
        line = find_line(document.lines, ("change",))
        problems.append(
            Problem(
                file,
                line,
                "there is a change but no same_as",
                "expected the piece that this one differs from",
                "write same_as: and its number",
            )
        )
    return problems


def _find_number(
    tree: dict[str, Any], document: Document, file: str, folder: str, first: str
) -> tuple[str, list[Problem]]:
    number = str(tree.get("piece", "")).strip()
    line = find_line(document.lines, ("piece",))
    if not number:
        number = first or folder
        if not first and is_safe_number(folder):
            return number, [
                Problem(
                    file,
                    line,
                    "the piece has no number",
                    "expected “piece: …”",
                    f"add it; the folder's name, {quote(folder)}, is taken",
                )
            ]
    if not is_safe_number(number):
        return number, [
            Problem(
                file,
                line,
                f"the number {quote(number)} cannot be a file's name",
                "expected letters, digits, “-”, “_” and “.” only, such as SH-014",
                "renumber the piece, or write the old number into notes",
                Weight.LEFT_OUT,
            )
        ]
    if first and number != first:
        found = f"this folder is of piece {quote(first)}, and here is {quote(number)}"
        return number, [
            Problem(
                file,
                line,
                found,
                "expected attempts at one piece",
                "give each piece a folder of its own",
                Weight.LEFT_OUT,
            )
        ]
    if not first and number != folder:
        found = f"the piece is {quote(number)}, its folder {quote(folder)}"
        return number, [
            Problem(
                file,
                line,
                found,
                "expected the same number",
                "rename the folder, or correct the number",
            )
        ]
    return number, []
