"""``same_as`` followed: "as that one, but…"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from builder.errors import Problem
from builder.read.attempts import Attempt
from builder.read.wording import quote, suggest
from builder.recent import Recent
from builder.records.piece import OWN_FIELDS, Entry, Piece

Key = tuple[str, int]
_NAMED = re.compile(r"(?P<number>.+?)[\s,]+attempt\s+(?P<attempt>[1-9][0-9]{0,3})", re.IGNORECASE)


@dataclass(frozen=True)
class _Followed:
    """A whole tree, and the piece each field that is not its own was written for."""

    tree: dict[str, Any]
    sources: dict[str, str] = field(default_factory=dict)


def follow_same_as(
    attempts: Sequence[Attempt],
    unread: Mapping[str, str] | None = None,
    recent: Recent | None = None,
) -> tuple[tuple[Entry, ...], tuple[Problem, ...]]:
    """Entries with ``same_as`` followed through any number of pieces, in the order of
    ``attempts``, and a problem for every target that is missing or leads back.

    ``unread`` maps numbers of pieces that could not be read to their files. ``recent`` gives the
    very same entry where nothing that it is made of has changed.
    """
    by_key = {attempt.key: attempt for attempt in attempts}
    tries: dict[str, list[int]] = {}
    for number, tried in sorted(by_key):
        tries.setdefault(number, []).append(tried)
    parents: dict[Key, Key] = {}
    problems: list[Problem] = []
    for attempt in attempts:
        target, problem = _find_target(attempt, by_key, tries, unread or {})
        if target:
            parents[attempt.key] = target
        if problem:
            problems.append(problem)
    for key in _find_loops(parents):
        problems.append(_say_loop(by_key[key], by_key[parents[key]]))
        del parents[key]
    followed = _follow_all(by_key, parents)
    recent = recent or Recent()
    marks = {key: recent.mark(("attempt", key), attempt) for key, attempt in by_key.items()}
    entries = tuple(
        recent.recall(
            ("entry", attempt.key),
            [marks[key] for key in _list_chain(attempt.key, parents)],
            partial(_make_entry, attempt, followed[attempt.key]),
        )
        for attempt in attempts
    )
    return entries, tuple(problems)


def split_target(written: str) -> tuple[str, int | None]:
    """The number and the attempt that ``same_as`` names: “SH-012 attempt 2”."""
    named = _NAMED.fullmatch(written.strip())
    return (named["number"], int(named["attempt"])) if named else (written.strip(), None)


def _find_target(
    attempt: Attempt,
    by_key: Mapping[Key, Attempt],
    tries_of: Mapping[str, Sequence[int]],
    unread: Mapping[str, str],
) -> tuple[Key | None, Problem | None]:
    written = str(attempt.tree.get("same_as", "")).strip()
    if not written:
        return None, None
    number, named = split_target(written)
    tries = tries_of.get(number, ())
    line = attempt.find_line("same_as")
    if number == attempt.number and not named:
        tries = [tried for tried in tries if tried < attempt.attempt]
        if not tries:
            return None, attempt.note(
                line,
                f"{quote(number)} is said to be the same as itself ({attempt.file})",
                "expected another piece, or an earlier attempt",
                "correct same_as, or delete it",
            )
        return (number, tries[-1]), None
    if not tries:
        return None, _say_missing(attempt, number, line, tries_of, unread)
    if named:
        if named in tries:
            return (number, named), None
        return None, attempt.note(
            line,
            f"{number} ({by_key[number, tries[0]].file}) has no attempt {named}",
            f"expected one of: {', '.join(map(str, tries))}",
            "correct same_as",
        )
    if len(tries) == 1:
        return (number, tries[0]), None
    return (number, tries[0]), attempt.note(
        line,
        f"{number} was tried {len(tries)} times",
        "expected which one is meant",
        f"write “same_as: {number} attempt {tries[0]}”, which is taken for now",
    )


def _say_missing(
    attempt: Attempt,
    number: str,
    line: int,
    numbers: Iterable[str],
    unread: Mapping[str, str],
) -> Problem:
    known = sorted({*numbers} - {attempt.number})
    expected = "expected the number of a piece in this library"
    if number in unread:
        found = f"same_as: {number} could not be read ({unread[number]})"
        return attempt.note(line, found, expected, "put that file right first")
    folder = attempt.file.split("/")[:-2]
    place = "/".join([*folder, number, attempt.file.rsplit("/", 1)[-1]])
    found = f"same_as: there is no piece {quote(number)} (no {quote(place)})"
    return attempt.note(line, found, expected, suggest(number, known, "correct same_as"))


def _find_loops(parents: Mapping[Key, Key]) -> list[Key]:
    """Keys that lead back to themselves."""
    seen: dict[Key, int] = {}
    looped: list[Key] = []
    for start, key in enumerate(parents):
        path: list[Key] = []
        step: Key | None = key
        while step is not None and step not in seen:
            seen[step] = start
            path.append(step)
            step = parents.get(step)
        if step is not None and seen[step] == start:
            looped += path[path.index(step) :]
    return looped


def _say_loop(attempt: Attempt, other: Attempt) -> Problem:
    return attempt.note(
        attempt.find_line("same_as"),
        f"same_as leads back: {attempt.file} → {other.file} → … → {attempt.file}",
        "expected a piece that stands by itself at the end",
        "delete same_as in one of them; until then it is not followed",
    )


def _follow_all(by_key: Mapping[Key, Attempt], parents: Mapping[Key, Key]) -> dict[Key, _Followed]:
    followed: dict[Key, _Followed] = {}
    for key in by_key:
        waiting = [key]
        while waiting:
            parent = parents.get(waiting[-1])
            if parent and parent not in followed:
                waiting.append(parent)
                continue
            done = waiting.pop()
            base = followed[parent] if parent else _Followed({})
            followed[done] = _repeat(by_key[done], base, parent[0] if parent else "")
    return followed


def _list_chain(key: Key | None, parents: Mapping[Key, Key]) -> Iterator[Key]:
    """All that an entry is made of: the attempt, that which it repeats, and so on."""
    while key:
        yield key
        key = parents.get(key)


def _repeat(attempt: Attempt, base: _Followed, source: str) -> _Followed:
    carried = {key: value for key, value in base.tree.items() if key not in OWN_FIELDS}
    # An empty key beside `change` is a form not filled in; in `change` it takes the value away.
    own = {key: value for key, value in attempt.tree.items() if value != "" or key not in carried}
    tree = {**carried, **own, **attempt.change}
    sources = {
        key: base.sources.get(key, source)
        for key in carried
        if key not in own and key not in attempt.change
    }
    return _Followed(tree, sources)


def _make_entry(attempt: Attempt, followed: _Followed) -> Entry:
    tree = {
        **followed.tree,
        "piece": attempt.number,
        "attempt": attempt.attempt,
        "change": attempt.change,
    }
    order = list(Piece.model_fields)
    inherited = sorted(followed.sources.items(), key=lambda item: order.index(item[0]))
    return Entry(
        piece=Piece.model_validate(tree),
        file=attempt.file,
        line=attempt.line,
        mixture_line=attempt.find_line("ingredients"),
        inherited=tuple(inherited),
    )
