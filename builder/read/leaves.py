"""What a sidecar says, leaf by leaf: each text or list of texts by its path from the top.

A path is keys in their usual spelling; within ``ingredients`` the second step is the ingredient's
name: ``("ingredients", "salt", "amount")``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from builder.read.fields import find_key, list_fields
from builder.records.piece import Piece

Path = tuple[str, ...]
#: Words, or a list of them; None where nothing is said.
Value = str | tuple[str, ...]
Leaves = Mapping[Path, Value]

NAMED = "ingredients"  # the one list whose items have names


def make_tree(leaves: Leaves) -> dict[str, Any]:
    """The tree of a sidecar that says just this, in the order of the vocabulary."""
    tree: dict[str, Any] = {}
    for path, value in leaves.items():
        put_leaf(tree, path, value)
    return {key: tree[key] for key in list_fields(Piece) if key in tree}


def look_up(tree: Mapping[str, Any], path: Path) -> Value | None:
    """What ``tree`` says at ``path``; a plain value that is short for a mapping is looked into."""
    value: Any = tree.get(path[0], "")
    if path[0] == NAMED and len(path) > 1:
        value = find_item(value, path[1])
        steps: Path = path[2:]
    else:
        value = widen(path[0], value) if len(path) > 1 else value
        steps = path[1:]
    for step in steps:
        value = value.get(step, "") if isinstance(value, dict) else ""
    if isinstance(value, list):
        return tuple(map(str, value)) if all(isinstance(v, str) for v in value) else (repr(value),)
    if isinstance(value, dict):
        return repr(value) if value else None
    return value or None


def put_leaf(tree: dict[str, Any], path: Path, value: Value | None) -> None:
    """Say ``value`` at ``path`` of ``tree``; None says nothing there, and takes a named item that
    is the whole path out of its list."""
    written: Any = "" if value is None else list(value) if isinstance(value, tuple) else value
    if path[0] == NAMED and len(path) > 1:
        _put_named(tree, path, written)
        return
    for number, step in enumerate(path[:-1]):
        held = tree.get(step, "")
        tree[step] = dict(held) if isinstance(held, dict) else widen(path[number], held)
        tree = tree[step]
    tree[path[-1]] = written


def find_item(items: Any, name: str) -> Any:
    """The ingredient of that name as a mapping, {} where there is none."""
    for item in items if isinstance(items, list) else [items]:
        widened = item if isinstance(item, dict) else {"name": item}
        if widened.get("name", "") == name:
            return widened
    return {}


def widen(field: str, value: Any) -> Any:
    """The mapping a plain value of ``field`` is short for."""
    if isinstance(value, (dict, list)):
        return value
    info = list_fields(Piece).get(field)
    key = find_key(info) if info else ""
    return {key: value} if key and value else {}


def _put_named(tree: dict[str, Any], path: Path, written: Any) -> None:
    held = tree.get(NAMED, "")
    items = [
        dict(item) if isinstance(item, dict) else {"name": item}
        for item in (held if isinstance(held, list) else [held] if held else [])
    ]
    at = next((n for n, item in enumerate(items) if item.get("name", "") == path[1]), None)
    if len(path) == 2:
        items = [item for n, item in enumerate(items) if n != at]
    elif at is None:
        items.append({"name": path[1], **({} if path[2] == "name" else {path[2]: written})})
    else:
        items[at][path[2]] = written
    tree[NAMED] = items
