"""Folders for pieces that are to be made: a short sidecar each, the day left for its maker."""

from __future__ import annotations

import errno
import itertools
import re
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.errors import LibraryError, Problem, Weight
from builder.read.library import order_number
from builder.read.option_values import SETTINGS_FILE
from builder.read.sidecar import SIDECAR
from builder.read.text_edits import write_flow, write_text
from builder.records.facts import Fact
from builder.records.piece import OWN_FIELDS, Piece
from builder.records.record import Record
from builder.relate.next_tests import NextTest
from builder.relate.next_words import Hidden, hide_nothing, say_why
from builder.relate.planned import piece_of
from builder.safe_files import write_whole

_NUMBERED = re.compile(r"(?P<stem>.*?)(?P<figures>[0-9]{1,9})")
_LONGEST = 16_384  # bytes; a planned sidecar is a few lines
_FIRST = ("TP-", ["000"])  # what a library without numbers counts from


@dataclass(frozen=True)
class PlannedFolder:
    """A piece's number and the text of its sidecar."""

    number: str
    text: str


def plan_folders(
    tests: Sequence[NextTest],
    numbers: Iterable[str],
    taken: Iterable[str] = (),
    hidden: Hidden = hide_nothing,
) -> tuple[PlannedFolder, ...]:
    """A folder a test, under the next free numbers. ``numbers`` are those of the library's pieces,
    each as often as it was tried; ``taken`` other names that are in use; ``hidden``: what the
    published library does not tell, and so neither may the words why."""
    numbers = tuple(numbers)
    tries = _tried_again(numbers)
    free = find_free_numbers(sorted(set(numbers), key=order_number), taken, len(tests))
    return tuple(
        PlannedFolder(number, write_sidecar(test, number, tries, hidden))
        for number, test in zip(free, tests, strict=True)
    )


def choose_folder(root: Path, samples: str, folder: str) -> Path:
    """Where the tests' own folders go: ``folder``, or among the library's pieces for "".

    Raises ``LibraryError`` for one that is not there, or lies within the library ``root`` where no
    piece belongs.
    """
    pieces = root / samples
    if not folder or Path(folder).resolve() == pieces.resolve():
        return pieces
    place = Path(folder)
    if not place.is_dir():
        raise LibraryError(_say_no_folder(folder))
    if (place / SETTINGS_FILE).is_file():
        raise LibraryError(
            Problem(
                folder,
                0,
                "this is a whole library, and no folder to put pieces in",
                "the library first, then --write: “patinarium plan LIBRARY --write”",
                f"leave the folder out, and they are made in {samples}; or name one outside",
                Weight.STOPS,
            )
        )
    if place.resolve().is_relative_to(root.resolve()):
        raise LibraryError(
            Problem(
                folder,
                0,
                "this lies within the library, where no piece belongs",
                f"{samples}, or a folder outside the library",
                f"leave the folder out, and they are made in {samples}; or name one outside",
                Weight.STOPS,
            )
        )
    return place


def part_kept(
    tests: Sequence[NextTest],
    numbers: Iterable[str],
    place: Path,
    hidden: Hidden = hide_nothing,
) -> tuple[tuple[NextTest, ...], tuple[Path, ...]]:
    """The tests that no sidecar in ``place`` plans yet, and the sidecars of the others."""
    tries = _tried_again(numbers)
    kept = {_gist(text): path for path, text in _list_texts(place)}
    gists = [_gist(write_sidecar(test, "", tries, hidden)) for test in tests]
    return (
        tuple(test for test, gist in zip(tests, gists, strict=True) if gist not in kept),
        tuple(kept[gist] for gist in gists if gist in kept),
    )


def find_free_numbers(numbers: Sequence[str], taken: Iterable[str], count: int) -> tuple[str, ...]:
    """The numbers that come next in the library's own way of numbering: after the highest of those
    that begin as most do, as wide as it."""
    stems: dict[str, list[str]] = defaultdict(list)
    for number in numbers:
        if match := _NUMBERED.fullmatch(number):
            stems[match["stem"]].append(match["figures"])
    stem, figures = max(stems.items(), key=lambda item: len(item[1]), default=_FIRST)
    last = max(figures, key=int)
    used = {name.casefold() for name in (*numbers, *taken)}
    names = (f"{stem}{number:0{len(last)}d}" for number in itertools.count(int(last) + 1))
    return tuple(itertools.islice((n for n in names if n.casefold() not in used), count))


def write_sidecar(
    test: NextTest,
    number: str,
    tried_again: Collection[str] = (),
    hidden: Hidden = hide_nothing,
) -> str:
    """The sidecar of a test: "as that one, but…". ``tried_again`` are pieces of more than one
    attempt, whose attempt has to be named. What those it is like keep private it keeps too."""
    base = test.plan.base.entry.piece
    like = base.piece
    if like in tried_again:
        like = f"{like} attempt {base.attempt}"
    lines = [f"piece: {number}", f"same_as: {write_text(like)}", "change:"]
    lines += [f"  {key}: {value}".rstrip() for key, value in _list_changes(test)]
    lines += [
        "  started:                   # the day it is begun",
        f"why: {write_text(say_why(test, hidden))}",
    ]
    likes = [strand for strand in (test.plan.donor, test.plan.base) if strand]
    shares = (s.entry.piece.share.items() for s in likes)
    if share := {part: who if len(who) > 1 else who[0] for s in shares for part, who in s if who}:
        lines.append(f"share: {write_flow(dict(sorted(share.items())))}")
    return "\n".join(lines) + "\n"


def keep_folders(folders: Sequence[PlannedFolder], target: Path) -> tuple[Path, ...]:
    """Write each folder into ``target``, never over one that is there. The library's lock is held.

    Raises ``LibraryError``; folders before the one it names are whole.
    """
    made = []
    for folder in folders:
        place = target / folder.number
        try:
            place.mkdir()
            write_whole(place / SIDECAR, folder.text.encode())
        except OSError as error:
            raise LibraryError(_say_refused(place, error)) from error
        made.append(place / SIDECAR)
    return tuple(made)


def _tried_again(numbers: Iterable[str]) -> frozenset[str]:
    return frozenset(number for number, count in Counter(numbers).items() if count > 1)


def _list_texts(place: Path) -> Iterator[tuple[Path, str]]:
    """Sidecars in the folders of ``place`` that can be read and are no longer than ours."""
    for path in sorted(place.glob(f"*/{SIDECAR}")):
        try:
            if path.stat().st_size <= _LONGEST:
                yield path, path.read_text("utf-8")
        except (OSError, UnicodeDecodeError):
            continue


def _gist(text: str) -> str:
    """What a sidecar plans, without its number and its day."""
    lines = text.splitlines()
    return "\n".join(line for line in lines if not line.startswith(("piece:", "  started:")))


def _list_changes(test: NextTest) -> Iterable[tuple[str, str]]:
    """What differs from the piece it is like, and what of that piece's own days it is not to
    inherit."""
    base, planned = test.plan.base.entry.piece, piece_of(test.plan)
    for field in Piece.model_fields:
        value = getattr(planned, field)
        if field in OWN_FIELDS or field == "started" or value == getattr(base, field):
            continue
        plain = plain_value(value)
        yield field, "" if plain in ("", {}) else write_flow(plain)


def plain_value(value: Any) -> Any:
    """A record as its maker writes it: words, lists and mappings, nothing that is not told."""
    if isinstance(value, Fact):
        return value.written
    if isinstance(value, tuple):
        return [plain_value(part) for part in value]
    if isinstance(value, Record):
        named = {
            info.alias or name: plain_value(getattr(value, name))
            for name, info in type(value).model_fields.items()
        }
        told = {name: part for name, part in named.items() if part not in ("", {}, [])}
        return told["kind"] if told == {"kind": "none"} else told
    return value


def _say_no_folder(folder: str) -> Problem:
    if folder.isdecimal():
        return Problem(
            folder,
            0,
            "--write takes a folder, and there is none of this name",
            "how many tests, behind --count",
            f"give “--count {folder} --write”",
            Weight.STOPS,
        )
    return Problem(
        folder,
        0,
        "there is no such folder",
        "a folder to make the tests' own folders in",
        "make it, or name another with --write",
        Weight.STOPS,
    )


def _say_refused(place: Path, error: OSError) -> Problem:
    if error.errno == errno.EEXIST:
        return Problem(
            place.as_posix(),
            0,
            "this folder is here already",
            "a number that is free",
            "give the command again; folders that were made are kept",
            Weight.STOPS,
        )
    return Problem(
        place.as_posix(),
        0,
        f"could not be written ({error.strerror or error})",
        "a folder you may write to",
        "name another one with --write, or change its permissions",
        Weight.STOPS,
    )
