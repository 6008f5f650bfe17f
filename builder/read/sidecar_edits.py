"""Adding a look or a photograph to the text of a sidecar, every byte of its maker's left as it is.

The new text is the old one with one piece put in. It makes lines of its own, but in three cases,
where it makes one line of the maker's longer:

- ``checks: []`` and ``checks: [{…}]``, a list whose bracket closes on the line of its last item:
  the item goes before the bracket;
- a whole attempt in braces, ``{piece: A}``, without the key: the key goes before the brace;
- such an attempt with the key and no value, ``{piece: A, checks: }``: the list goes there.

A list whose bracket closes on a line of its own, with no comma after its last item, gets a line
that begins with the comma.

A new item stands below the last one and the remarks set in under that; a new key below the last
key of its attempt, before empty lines and remarks that begin in the keys' own column. Afterwards
the text is read again and must give what it gave before, and the item.
"""

from __future__ import annotations

import copy
import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

import yaml
from pydantic import ValidationError

from builder.errors import FilingError, Problem, SidecarError, Weight
from builder.read.attempts import Attempt
from builder.read.lines import find_line
from builder.read.plain_text import decode_plain_text
from builder.read.sidecar import Sidecar, read_attempts, read_documents
from builder.read.spelling import spell_key
from builder.read.text_edits import (
    STEP,
    Insertion,
    add_below,
    add_in_brackets,
    find_end,
    pass_remarks,
    write_flow,
)
from builder.read.text_yaml import Document
from builder.read.wording import describe_value
from builder.read.yaml_spans import Kind, Span, walk_spans
from builder.records.notes import CheckNote, PhotoLine
from builder.records.piece import Check, PhotoNote, Piece
from builder.records.record import Record

_RECORDS: Mapping[str, type[Record]] = {"checks": Check, "photos": PhotoNote}
_FIRST_DASH = re.compile("(?:&\\S+)?(?:\\s|#[^\r\n\x85\u2028\u2029]*+)*+-")


@dataclass(frozen=True)
class Edited:
    """The new text as bytes, and the lines (from 1) that were added, or that was added to."""

    data: bytes
    lines: tuple[int, ...]


@dataclass(frozen=True)
class _Place:
    """Where an item belongs: ``key`` of the document ``index`` (from 0) of the file ``name``."""

    name: str
    key: str
    attempt: int
    index: int


@dataclass(frozen=True)
class _Reading:
    documents: tuple[Document, ...]
    sidecar: Sidecar


class CannotAddError(ValueError):
    """The text is written in a way that is not added to. Never leaves this package."""


def append_check(data: bytes, name: str, attempt: int, check: CheckNote) -> Edited:
    """The bytes of a sidecar with one more item at the end of its ``checks``.

    ``name`` is the sidecar's, from the library's folder, with the piece's folder in it
    (``samples/SH-012/sample.yaml``); ``attempt`` counts from 1.
    Raises ``FilingError`` saying what to write by hand where that cannot be done safely.
    """
    return _append(data, name, "checks", attempt, _list_given(check))


def append_photo(data: bytes, name: str, attempt: int, note: PhotoLine) -> Edited:
    """As :func:`append_check`, to ``photos``."""
    return _append(data, name, "photos", attempt, _list_given(note))


def _list_given(note: CheckNote | PhotoLine) -> dict[str, Any]:
    """The tree of an item: only what is said."""
    item = {
        key: value for key, value in dataclasses.asdict(note).items() if value not in ("", None)
    }
    if "seen" in item:
        item["seen"] = [{k: v for k, v in seen.items() if v} for seen in item["seen"]]
    return item


def _append(data: bytes, name: str, key: str, attempt: int, item: dict[str, Any]) -> Edited:
    try:
        plain = decode_plain_text(data, name)
        before = _read(plain, name)
    except SidecarError as error:
        raise FilingError((*error.problems, _say_by_hand(name, key, item))) from None
    place = _find_place(before, name, key, attempt, item)
    text = data.decode("utf-8")  # a byte order mark and the line ends stay as they are
    try:
        insertion = insert_item(text, _find_spans(text)[place.index], key, item)
        edited = insertion.put_into(text).encode("utf-8")
        after = _read(decode_plain_text(edited, name), name)
        if insertion.at == len(text) and not plain.endswith("\n"):  # the last line has its end now
            before = dataclasses.replace(before, documents=read_documents(plain + "\n", name))
        _prove(before, after, place, item)
    except (CannotAddError, yaml.YAMLError, SidecarError, UnicodeError, ValidationError):
        raise _refuse(
            before, place, item,
            f"{key} cannot be added to here without touching more of the file",
            "expected a list, an item a line",
        ) from None  # fmt: skip
    return Edited(edited, _find_lines(before, after, place))


def _read(text: str, name: str) -> _Reading:
    documents = read_documents(text, name)
    folder = PurePosixPath(name).parent.name
    return _Reading(documents, read_attempts(documents, name, folder, audiences=None))


def _find_place(
    before: _Reading, name: str, key: str, attempt: int, item: dict[str, Any]
) -> _Place:
    """Where the item belongs, if a list is there or can be."""
    found = [read for read in before.sidecar.attempts if read.attempt == attempt]
    if len(found) != 1:
        raise _say_attempts(before, name, attempt, len(found))
    documents = [document.line for document in before.documents]
    place = _Place(name, key, attempt, documents.index(found[0].line))
    value = before.documents[place.index].tree.get(key, "")
    if value and not isinstance(value, list):
        raise _refuse(
            before, place, item,
            f"{key} is {describe_value(value)}",
            "expected a list, an item a line, each after “- ”",
        )  # fmt: skip
    if key in found[0].change:
        raise _refuse(
            before, place, item,
            f"{key} stands in change, which goes before what stands beside it",
            f"expected {key} beside change",
        )  # fmt: skip
    return place


def _say_attempts(before: _Reading, name: str, attempt: int, found: int) -> FilingError:
    left_out = [p for p in before.sidecar.problems if p.weight is Weight.LEFT_OUT]
    there = ", ".join(str(read.attempt) for read in before.sidecar.attempts)
    ours = Problem(
        name,
        0,
        f"there are {found} attempts numbered {attempt}" if found else f"no attempt {attempt} here",
        f"expected one of: {there}" if there and not found else "expected each attempt once",
        "nothing was changed; name another attempt, or number them with “attempt: …”",
        Weight.LEFT_OUT,
    )
    return FilingError((*left_out, ours))


def _find_spans(text: str) -> list[Span]:
    """One for each attempt."""
    try:
        return list(walk_spans(text))
    except yaml.YAMLError:  # the parser that counts signs takes no tabs between values
        return list(walk_spans(text.replace("\t", " ")))


def insert_item(text: str, root: Span, key: str, item: dict[str, Any]) -> Insertion:
    """One more item at the end of the list ``key`` of the mapping ``root``, the list begun where
    there is none. Raises :class:`CannotAddError`; what it gives is proved by reading it again."""
    written = write_flow(item)
    entry = _find(root, key)
    if entry is None:
        if root.flow:
            return add_in_brackets(text, root, f"{key}: [{written}]")
        margin = " " * root.column
        after = pass_remarks(text, find_end(text, root), root.column)
        line = f"{margin}{' ' * _step_of(text, root)}- {written}"
        return add_below(text, after, [f"{margin}{key}:", line])
    value = entry[1]
    if value.kind is Kind.LIST and value.flow:
        return add_in_brackets(text, value, written)
    if value.kind is Kind.LIST:
        column = around = _find_dash(text, value)
    elif value.kind is not Kind.PLAIN or value.start < value.end:
        raise CannotAddError
    elif root.flow:
        return Insertion(value.start, f" [{written}]")
    else:
        column, around = root.column + _step_of(text, root), root.column
    after = pass_remarks(text, find_end(text, value), around)
    return add_below(text, after, [f"{' ' * column}- {written}"])


def _find(root: Span, key: str) -> tuple[Span, Span] | None:
    """Key and value, however the key is spelled."""
    pairs = zip(root.keys, root.values, strict=True)
    return next(((name, value) for name, value in pairs if spell_key(name.value) == key), None)


def _find_dash(text: str, value: Span) -> int:
    """The column of a list's dashes, which its name (&name) may stand before."""
    dash = _FIRST_DASH.match(text, value.start)
    if not dash:
        raise CannotAddError
    at = dash.end() - 1
    return at - len(text[:at].rstrip(" "))


def _step_of(text: str, root: Span) -> int:
    """Columns from a key to the dashes under it, as the attempt's other lists are written."""
    lists = [v for v in root.values if v.kind is Kind.LIST and text[v.start] == "-"]
    return lists[0].column - root.column if lists else STEP


def _prove(before: _Reading, after: _Reading, place: _Place, item: dict[str, Any]) -> None:
    """Raises where ``after`` is not ``before`` with the item and no more, word for word and as
    pieces."""
    wanted = [copy.copy(document.tree) for document in before.documents]
    tree = wanted[place.index]
    tree[place.key] = [*(tree.get(place.key) or ()), item]
    pieces = [_make_piece(read) for read in before.sidecar.attempts]
    for number, piece in enumerate(pieces):
        if piece.attempt == place.attempt:
            items = (*getattr(piece, place.key), _RECORDS[place.key].model_validate(item))
            pieces[number] = piece.model_copy(update={place.key: items})
    same_text = wanted == [document.tree for document in after.documents]
    if not same_text or pieces != [_make_piece(read) for read in after.sidecar.attempts]:
        raise CannotAddError


def _make_piece(read: Attempt) -> Piece:
    """The attempt as a piece, ``same_as`` not followed."""
    own = {"piece": read.number, "attempt": read.attempt}
    return Piece.model_validate({**read.tree, **read.change, **own})


def _find_lines(before: _Reading, after: _Reading, place: _Place) -> tuple[int, ...]:
    old, new = before.documents[place.index], after.documents[place.index]
    last = find_line(new.lines, (place.key, len(new.tree[place.key]) - 1))
    first = last if place.key in old.tree else find_line(new.lines, (place.key,))
    return tuple(range(first, last + 1))


def _refuse(
    before: _Reading, place: _Place, item: dict[str, Any], found: str, expected: str
) -> FilingError:
    line = find_line(before.documents[place.index].lines, (place.key,))
    by_hand = _say_by_hand(place.name, place.key, item)
    return FilingError(dataclasses.replace(by_hand, line=line, found=found, expected=expected))


def _say_by_hand(name: str, key: str, item: dict[str, Any]) -> Problem:
    return Problem(
        name,
        0,
        f"nothing can be added to {key} until this file can be read",
        "",
        f"nothing was changed; put that right, or write under {key} by hand: - {write_flow(item)}",
        Weight.LEFT_OUT,
    )
