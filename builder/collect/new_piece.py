"""A piece that is "as that one, but…": its folder and sidecar, before it is made."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from builder.collect.planned_folders import plain_value
from builder.errors import LibraryError, Problem, SidecarError, Weight
from builder.read.fields import list_fields
from builder.read.same_as import split_target
from builder.read.sidecar import FIXED_KEYS, SIDECAR, is_safe_number
from builder.read.spelling import spell_key
from builder.read.text_edits import write_flow, write_text
from builder.read.text_yaml import read_text_yaml
from builder.read.vetting import vet_tree
from builder.read.wording import quote, suggest
from builder.records.facts import Fact
from builder.records.library import Library
from builder.records.piece import OWN_FIELDS, Piece

_CHANGE = re.compile(r"(?P<key>[^=]+?)\s*=\s*(?P<value>.*)", re.DOTALL)
#: Days of the piece it is like, which the new one has not had yet.
_DAYS = {
    "started": "the day it is begun",
    "finished": "the day it is lifted out",
    "batch": "when the mixture was made",
}
_UNSAID = {name: Piece.model_fields[name].default for name in _DAYS}
_REMARKS_AT = 29


@dataclass(frozen=True)
class NewPiece:
    """The sidecar's path from the library's folder, its text, and what is to be known of what it
    says."""

    file: str
    text: str
    problems: tuple[Problem, ...]


def plan_piece(library: Library, number: str, like: str, changes: Sequence[str]) -> NewPiece:
    """A piece as ``like``, but for ``changes``, each written ``key=value``.

    Raises ``LibraryError`` with everything that is wrong: a number that is taken, a piece that is
    not there, a field that is none.
    """
    problems = [*_check_number(library, number), *_check_like(library, like)]
    tree, said = _read_changes(changes)
    problems += said
    file = f"{library.settings.samples}/{number}/{SIDECAR}"
    if problems:
        raise LibraryError(problems)
    vetted = vet_tree(tree, {(): 0}, "--change")
    if vetted.tree != tree:  # the reader would take something out: it was not meant so
        raise LibraryError(replace(p, weight=Weight.STOPS) for p in vetted.problems)
    base = next(e.piece for e in library.entries if _is_meant(e.piece, like))
    return NewPiece(file, write_like(number, like, tree, base), vetted.problems)


def write_like(number: str, like: str, changes: Mapping[str, Any], base: Piece) -> str:
    """The text of a sidecar that says what differs from ``base``, named by ``like``. That piece's
    own days are not the new one's: they are left to be filled."""
    days = {
        field: remark for field, remark in _DAYS.items() if getattr(base, field) != _UNSAID[field]
    }
    inside = {key: value for key, value in changes.items() if key not in OWN_FIELDS}
    beside = {key: value for key, value in changes.items() if key in OWN_FIELDS}
    if base.sealant.date.written and "sealant" not in inside:
        undated = base.sealant.model_copy(update={"date": Fact()})
        inside["sealant"] = plain_value(undated)
    lines = [f"piece: {number}", f"same_as: {write_text(like)}", "change:"]
    lines += [f"  {key}: {write_flow(value)}" for key, value in inside.items()]
    for field, remark in {"started": _DAYS["started"], **days}.items():
        if field not in inside:
            lines.append(f"  {field}:".ljust(_REMARKS_AT) + f"# {remark}")
    lines += [f"{key}: {write_flow(value)}" for key, value in beside.items()]
    return "\n".join(lines) + "\n"


def _is_meant(piece: Piece, like: str) -> bool:
    number, attempt = split_target(like)
    return piece.piece == number and attempt in (None, piece.attempt)


def _check_number(library: Library, number: str) -> list[Problem]:
    if not is_safe_number(number):
        return [_stop(number, "this can be no number", "letters A to Z, digits, and - _ . between "
                      "them", "choose another")]  # fmt: skip
    taken = {entry.piece.piece.casefold(): entry.file for entry in library.entries}
    folder = library.root / library.settings.samples / number
    there = taken.get(number.casefold(), "")
    if there or folder.exists():
        where = there or f"{library.settings.samples}/{number}"
        return [_stop(number, f"there is a piece of this number ({where})", "a number that is free",
                      "choose another; nothing was written")]  # fmt: skip
    return []


def _check_like(library: Library, like: str) -> list[Problem]:
    number, attempt = split_target(like)
    tries = [e.piece.attempt for e in library.entries if e.piece.piece == number]
    numbers = [entry.piece.piece for entry in library.entries]
    if not tries:
        return [_stop("--like", f"there is no piece {quote(number)}", "a piece of this library",
                      suggest(number, numbers, "see patinarium check"))]  # fmt: skip
    if (attempt is None and len(tries) > 1) or (attempt is not None and attempt not in tries):
        named = f"{number} attempt {tries[0]}"
        return [_stop("--like", f"{number} was tried {len(tries)} times", "which one is meant",
                      f"say --like {quote(named)}")]  # fmt: skip
    return []


def _read_changes(changes: Sequence[str]) -> tuple[dict[str, Any], list[Problem]]:
    tree: dict[str, Any] = {}
    problems = []
    free = [key for key in list_fields(Piece) if key not in FIXED_KEYS]
    for change in changes:
        match = _CHANGE.fullmatch(change.strip())
        key = spell_key(match["key"]) if match else spell_key(change)
        if match is None:
            problems.append(_stop("--change", f"{quote(change)} has no “=”", "key=value, such as "
                                  "exposure=14d", "write it that way"))  # fmt: skip
        elif key not in free:
            remedy = suggest(key, free, "the guide's page on the sidecar lists them")
            if "." in key:
                whole = key.partition(".")[0]
                remedy = f"say the whole: {whole}={{{key.partition('.')[2]}: …}}"
            problems.append(_stop("--change", f"{quote(match['key'])} is no field that can change",
                                  "a key of the vocabulary", remedy))  # fmt: skip
        else:
            try:
                tree[key] = _read_value(match["value"].strip())
            except SidecarError as error:
                problems.append(_stop("--change", f"{quote(change)}: {error.problems[0].found}",
                                      "words, or a list or mapping in brackets",
                                      error.problems[0].remedy))  # fmt: skip
    return tree, problems


def _read_value(text: str) -> Any:
    if not text.startswith(("[", "{")):
        return text
    return read_text_yaml(f"value: {text}", "--change", spell_key=spell_key)[0].tree["value"]


def _stop(where: str, found: str, expected: str, remedy: str) -> Problem:
    return Problem(where, 0, found, f"expected {expected}", remedy, Weight.STOPS)
