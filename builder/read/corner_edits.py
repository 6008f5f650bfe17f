"""Writing a set-up's corners into the text of ``mkdocs.yml``, every other sign left as it was.

The text is the maker's own, with comments and an order. Only the value's place is written over, or
a line added; then the text is read again and must give what it gave before and the new corners.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import yaml

from builder.errors import LibraryError, Problem, SidecarError, Weight
from builder.read.lines import Location, find_line
from builder.read.option_values import SETTINGS_FILE
from builder.read.plain_text import decode_plain_text
from builder.read.settings import PLUGIN
from builder.read.text_edits import STEP, add_below, add_in_brackets, find_line_end, quote_text
from builder.read.text_yaml import Caps, Document, read_text_yaml
from builder.read.wording import quote
from builder.read.yaml_spans import Kind, Span, find_spans
from builder.records.photo import Quad

CORNER_KEYS = ("piece_at", "card_at")
_CAPS = Caps(nodes=20_000, depth=40)
_PLAIN_NAME = re.compile(r"[^\W\d_](?:[\w -]*\w)?")
_TYPED = {"y", "n", "yes", "no", "on", "off", "true", "false", "null"}  # YAML 1.1 types


@dataclass(frozen=True)
class Edited:
    """The new text as bytes, and the line (from 1) of each key that was written."""

    data: bytes
    lines: Mapping[str, int]


class _CannotEditError(ValueError):
    """The text is written in a way this module does not change. Never leaves it."""


def write_corners(data: bytes, setup: str, corners: Mapping[str, Quad]) -> Edited:
    """The bytes of a ``mkdocs.yml`` with ``corners`` (``piece_at``, ``card_at``: fractions 0 to 1,
    written to four decimals) in the set-up named, which is added where there is none.

    Raises ``LibraryError`` saying what to write by hand where that cannot be done safely.
    """
    before = _read(data)
    text = data.decode("utf-8")  # a byte order mark and the line ends stay as they are
    try:
        for key, quad in corners.items():
            text = _put(text, setup, key, quad)
        edited = text.encode("utf-8")
        after = _read(edited)
        place = _check(before, after, setup, corners)
    except (_CannotEditError, yaml.YAMLError, SidecarError):
        raise _refuse(before, setup, corners) from None
    return Edited(edited, {key: find_line(after.lines, (*place, key)) for key in corners})


def show_corners(quad: Quad) -> str:
    """A quad as it is written: ``[[0.2334, 0.1867], …]``."""
    return "[" + ", ".join(f"[{x:.4f}, {y:.4f}]" for x, y in quad) + "]"


def _read(data: bytes) -> Document:
    text = decode_plain_text(data, SETTINGS_FILE)
    return read_text_yaml(text, SETTINGS_FILE, _CAPS, strict=False)[0]


def _put(text: str, setup: str, key: str, quad: Quad) -> str:
    """``text`` with one value written."""
    root = find_spans(text)
    plugins = root.find("plugins") if root else None
    if plugins is None:
        raise _CannotEditError
    holder = plugins[1]
    steps = [PLUGIN, "setups", setup, key]
    if holder.kind is Kind.LIST:
        bare, named = _find_item(holder)
        if bare:
            return _open_item(text, holder, bare, steps[1:], quad)
        holder = named
    for depth, step in enumerate(steps):
        if holder.kind is not Kind.MAPPING:
            raise _CannotEditError
        entry = holder.find(step)
        if entry is None:
            return _insert(text, holder, steps[depth:], quad)
        name, value = entry
        if step == key and depth == len(steps) - 1:
            return _replace(text, value, quad)
        if value.is_blank:
            return _fill(text, holder, name, value, steps[depth + 1 :], quad)
        holder = value
    raise _CannotEditError


def _find_item(plugins: Span) -> tuple[Span | None, Span]:
    """The plugin in a list of plugins: its bare name, or the mapping that holds its options."""
    for item in plugins.values:
        if item.kind is Kind.PLAIN and item.value == PLUGIN:
            return item, item
        if item.kind is Kind.MAPPING and item.find(PLUGIN):
            return None, item
    raise _CannotEditError


def _open_item(text: str, plugins: Span, bare: Span, steps: list[str], quad: Quad) -> str:
    """``- patinarium`` given its first option."""
    if plugins.flow:
        written = f"{{{text[bare.start : bare.end]}: {_in_flow(steps, quad)}}}"
        return text[: bare.start] + written + text[bare.end :]
    opened = f"{text[: bare.end]}:{text[bare.end :]}"
    lines = _in_block(steps, quad, bare.column + STEP)
    return add_below(opened, bare.end + 1, lines).put_into(opened)


def _insert(text: str, mapping: Span, steps: list[str], quad: Quad) -> str:
    """A key added to a mapping, after its neighbour or at its end."""
    others = [found[1] for key in CORNER_KEYS if (found := mapping.find(key))]
    beside = others[0].end if len(steps) == 1 and others else 0
    if mapping.flow:
        written = _in_flow(steps, quad)[1:-1]
        if beside:
            return f"{text[:beside]}, {written}{text[beside:]}"
        return add_in_brackets(text, mapping, written).put_into(text)
    lines = _in_block(steps, quad, mapping.column, _step_of(mapping))
    return add_below(text, beside or mapping.values[-1].end, lines).put_into(text)


def _fill(text: str, holder: Span, name: Span, value: Span, steps: list[str], quad: Quad) -> str:
    """A key without a value given one."""
    start = text[: value.start].rstrip(" ")
    if not start.endswith(":") or len(start) <= name.start:
        raise _CannotEditError
    if holder.flow:
        return f"{start} {_in_flow(steps, quad)}{text[value.end :]}"
    step = _step_of(holder)
    lines = _in_block(steps, quad, name.column + step, step)
    closed = start + text[value.end :]
    return add_below(closed, len(start), lines).put_into(closed)


def _replace(text: str, value: Span, quad: Quad) -> str:
    """New corners in the place of others, in the manner in which those were written."""
    numbers = [number for corner in value.values for number in corner.values]
    by_corner = all(len(corner.values) == 2 for corner in value.values)
    if by_corner and len(numbers) == 8 and all(n.kind is Kind.PLAIN for n in numbers):
        wanted = [f"{part:.4f}" for corner in quad for part in corner]
        for number, written in reversed(list(zip(numbers, wanted, strict=True))):
            text = text[: number.start] + written + text[number.end :]
        return text
    if "#" in text[value.start : value.end] or value.kind is Kind.MAPPING:
        raise _CannotEditError
    if value.kind is Kind.LIST and not value.flow:
        margin = find_line_end(text, value.start) + " " * value.column
        written = margin.join(f"- [{x:.4f}, {y:.4f}]" for x, y in quad)
        return text[: value.start] + written + text[value.end :]
    start = text[: value.start].rstrip(" ")
    return f"{start} {show_corners(quad)}{text[value.end :]}"


def _in_block(steps: list[str], quad: Quad, column: int, step: int = STEP) -> list[str]:
    lines = [f"{' ' * (column + step * at)}{_name(key)}:" for at, key in enumerate(steps)]
    lines[-1] += f" {show_corners(quad)}"
    return lines


def _in_flow(steps: list[str], quad: Quad) -> str:
    written = show_corners(quad)
    for key in reversed(steps):
        written = f"{{{_name(key)}: {written}}}"
    return written


def _name(key: str) -> str:
    plain = _PLAIN_NAME.fullmatch(key) and key.casefold() not in _TYPED
    return key if plain else quote_text(key)


def _step_of(mapping: Span) -> int:
    """Columns from a key to the keys under it, as the mapping's own are written."""
    inner = [v for v in mapping.values if v.kind is Kind.MAPPING and not v.flow]
    return inner[0].column - mapping.column if inner else STEP


def _check(before: Document, after: Document, setup: str, corners: Mapping[str, Quad]) -> Location:
    """Where the set-up stands in ``after``, if that is ``before`` with the corners and no more."""
    wanted: Any = copy.deepcopy(before.tree)
    plugins = wanted.get("plugins")
    place: Location = ("plugins",)
    holder: Any = plugins
    if isinstance(plugins, list):
        named = (i for i, p in enumerate(plugins) if p == PLUGIN or _holds(p))
        index = next(named, None)
        if index is None:
            raise _CannotEditError
        if plugins[index] == PLUGIN:
            plugins[index] = {PLUGIN: ""}
        holder, place = plugins[index], ("plugins", index)
    for step in (PLUGIN, "setups", setup):
        if not isinstance(holder, dict):
            raise _CannotEditError
        if not holder.get(step):
            holder[step] = {}
        holder, place = holder[step], (*place, step)
    for key, quad in corners.items():
        holder[key] = [[f"{part:.4f}" for part in corner] for corner in quad]
    if wanted != after.tree:
        raise _CannotEditError
    return place


def _holds(plugin: Any) -> bool:
    return isinstance(plugin, dict) and PLUGIN in plugin


def _refuse(before: Document, setup: str, corners: Mapping[str, Quad]) -> LibraryError:
    by_hand = "; ".join(f"{key}: {show_corners(quad)}" for key, quad in corners.items())
    return LibraryError(
        Problem(
            SETTINGS_FILE,
            before.lines.get(("plugins",), 0),
            "the settings are written in a way that cannot be changed here without touching more",
            f"expected {PLUGIN} under plugins, and plain keys under setups",
            f"nothing was changed; write under the set-up {quote(setup)} by hand: {by_hand}",
            Weight.STOPS,
        )
    )
