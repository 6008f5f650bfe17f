"""Values of a sidecar changed one by one, every other sign of it left as its maker wrote it.

What is to be said no more is emptied, not deleted, so that remarks beside it stay; an ingredient
that is gone is taken out with its line. Each change is proved by reading the text again: it must
give what it gave before, and the change. One that cannot be proved is not made.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import yaml

from builder.errors import SidecarError
from builder.read.fields import find_key, list_fields
from builder.read.leaves import NAMED, Path, Value, put_leaf, widen
from builder.read.plain_text import decode_plain_text
from builder.read.sidecar import read_documents
from builder.read.sidecar_edits import CannotAddError, insert_item
from builder.read.sidecar_text import write_block
from builder.read.spelling import spell_key
from builder.read.text_edits import (
    add_below,
    add_in_brackets,
    find_end,
    find_line_end,
    pass_remarks,
    write_flow,
)
from builder.read.yaml_spans import Kind, Span, find_spans
from builder.records.piece import Piece


@dataclass(frozen=True)
class Changed:
    """The new text as bytes; ``refused`` are the changes that were not made."""

    data: bytes
    refused: tuple[Path, ...]


def change_values(data: bytes, name: str, changes: Mapping[Path, Value | None]) -> Changed:
    """The bytes of a sidecar with each path of its first document at its new value; None says
    nothing there any more. ``name`` is the sidecar's in problems. Raises ``SidecarError`` where it
    cannot be read."""
    decode_plain_text(data, name)
    text, refused = data.decode("utf-8"), []
    for path, value in changes.items():
        edited = _try(text, name, path, value)
        if edited is None:
            refused.append(path)
        else:
            text = edited
    return Changed(text.encode("utf-8"), tuple(refused))


def _try(text: str, name: str, path: Path, value: Value | None) -> str | None:
    before = _read(text, name)
    wanted = copy.deepcopy(before)
    put_leaf(wanted[0], path, value)
    try:
        root = find_spans(text)
        edited = _change(text, root, path, value) if root else None
        if edited is None or not _agree(_read(edited, name), wanted):
            return None
    except (CannotAddError, SidecarError, yaml.YAMLError):
        return None
    return edited


def _read(text: str, name: str) -> list[dict[str, Any]]:
    plain = decode_plain_text(text.encode("utf-8"), name)
    return [document.tree for document in read_documents(plain, name)]


def _agree(found: list[dict[str, Any]], wanted: list[dict[str, Any]]) -> bool:
    return found[1:] == wanted[1:] and _plain(found[0]) == _plain(wanted[0])


def _plain(tree: dict[str, Any]) -> dict[str, Any]:
    """A tree with short ways written out, and without what is empty."""
    plain: dict[str, Any] = {}
    for key, value in tree.items():
        if key == NAMED:
            items = value if isinstance(value, list) else [value] if value else []
            listed = [item if isinstance(item, dict) else {"name": item} for item in items]
            value = [{k: v for k, v in item.items() if v != ""} for item in listed]
        elif (info := list_fields(Piece).get(key)) and find_key(info) and key != "prep":
            value = widen(key, value) or value
        if isinstance(value, dict):
            value = {k: v for k, v in value.items() if v != ""}
        if value not in ("", [], {}):
            plain[key] = value
    return plain


def _change(text: str, span: Span, path: Path, value: Value | None, top: bool = True) -> str | None:
    """The text with what stands at ``path`` of the mapping ``span`` changed."""
    entry = _find(span, path[0])
    if entry is None:
        return text if value is None else _add(text, span, path, value, top)
    held = entry[1]
    if top and path[0] == NAMED and len(path) > 1:
        return _change_item(text, span, held, path, value)
    if len(path) == 1:
        return _replace(text, held, value, span.column if top and not span.flow else None)
    if held.kind is Kind.MAPPING:
        return _change(text, held, path[1:], value, False)
    if held.kind is not Kind.PLAIN:
        return None
    if value is None and held.is_blank:
        return text
    tree: dict[str, Any] = dict(widen(path[0], held.value))
    put_leaf(tree, path[1:], value)
    return _put(text, held, write_flow({k: v for k, v in tree.items() if v != ""}))


def _change_item(text: str, root: Span, held: Span, path: Path, value: Value | None) -> str | None:
    """One ingredient, or what is said of it."""
    items = held.values if held.kind is Kind.LIST else () if held.is_blank else (held,)
    item = next((item for item in items if _name(item) == path[1]), None)
    if item is None:
        if value is None:
            return text
        return _insert(text, root, path, value)
    if len(path) == 2:
        return _take_out(text, held, item)
    if item.kind is Kind.MAPPING:
        return _change(text, item, path[2:], value, False)
    said = {"name": item.value, **({} if value is None else {path[2]: value})}
    return _put(text, item, write_flow(said))


def _name(item: Span) -> str:
    if item.kind is Kind.PLAIN:
        return item.value
    entry = _find(item, "name") if item.kind is Kind.MAPPING else None
    return entry[1].value if entry else ""


def _insert(text: str, root: Span, path: Path, value: Value) -> str:
    item: dict[str, Any] = {"name": path[1]}
    if path[2] != "name":
        item[path[2]] = value
    return insert_item(text, root, NAMED, item).put_into(text)


def _add(text: str, span: Span, path: Path, value: Value, top: bool) -> str:
    """A new key at the end of a mapping."""
    if top and path[0] == NAMED and len(path) > 1:
        return _insert(text, span, path, value)
    tree: Any = list(value) if isinstance(value, tuple) else value
    for step in reversed(path[1:]):
        tree = {step: tree}
    if span.flow:
        return add_in_brackets(text, span, f"{path[0]}: {write_flow(tree)}").put_into(text)
    after = pass_remarks(text, find_end(text, span), span.column)
    margin = " " * span.column
    written = write_block(tree, span.column) if top else write_flow(tree)
    end = find_line_end(text, after)
    lines = f"{margin}{path[0]}: {written}".replace("\n", end).split(end)
    return add_below(text, after, lines).put_into(text)


def _replace(text: str, held: Span, value: Value | None, column: int | None) -> str | None:
    if held.kind is Kind.REPEAT:
        return None
    if value is None and column is None:
        return text if held.is_blank else _put(text, held, '""')
    if value is None:
        end = find_end(text, held)
        start = len(text[: held.start].rstrip(" "))
        return text if held.is_blank else text[:start] + text[end:]
    tree = list(value) if isinstance(value, tuple) else value
    written = write_flow(tree) if column is None else write_block(tree, column)
    return _put(text, held, written.replace("\n", find_line_end(text, held.start)))


def _put(text: str, held: Span, written: str) -> str:
    gap = " " if held.start == held.end and text[held.start - 1 : held.start] == ":" else ""
    return text[: held.start] + gap + written + text[find_end(text, held) :]


def _take_out(text: str, held: Span, item: Span) -> str | None:
    """An item that has its line, or lines, to itself."""
    if held.kind is not Kind.LIST or held.flow:
        return None
    start = text.rfind("\n", 0, item.start) + 1
    end = find_end(text, item)
    until = text.find("\n", end)
    until = len(text) if until < 0 else until + 1
    before, after = text[start : item.start].strip(), text[end:until].strip()
    if before != "-" or (after and not after.startswith("#")):
        return None
    return text[:start] + text[until:]


def _find(span: Span, key: str) -> tuple[Span, Span] | None:
    pairs = zip(span.keys, span.values, strict=True)
    return next(((name, value) for name, value in pairs if spell_key(name.value) == key), None)
