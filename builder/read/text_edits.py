"""Adding to a YAML text that is its maker's own: where new lines go, and how a value is written.

An :class:`Insertion` takes nothing away, so that every sign that was there is there after it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from builder.read.yaml_spans import Span

STEP = 2  # columns a level, where the text shows no habit of its own
_BREAKS = "\r\n\x85\u2028\u2029"  # YAML 1.1, 5.4
_BREAK = re.compile(f"\r\n|[{_BREAKS}]")
_REMARK = re.compile(f"#[^{_BREAKS}]*")
_REMARK_LINE = re.compile(f"( *)#[^{_BREAKS}]*")
_KEPT_TEXT = re.compile(r"(?:&\S+\s+)?[|>][0-9]?\+")  # its empty lines belong to it
_KEPT_FIRST = re.compile("[?:,[\\]{}#&*!|>'\"%@`]|-(?: |$)")  # for YAML itself: 1.1, 5.3
_MARKS_IN_BRACKETS = ",?[]{}"
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t"}


@dataclass(frozen=True)
class Insertion:
    """``added`` goes before sign ``at`` (from 0) of a text."""

    at: int
    added: str

    def put_into(self, text: str) -> str:
        return text[: self.at] + self.added + text[self.at :]


def add_below(text: str, after: int, lines: Sequence[str]) -> Insertion:
    """Whole lines below the line in which ``after`` stands; at ``after`` where a line begins
    there, as it does after text set in with | or >."""
    line_end = find_line_end(text, after)
    if _begins_line(text, after):
        return Insertion(after, "".join(line + line_end for line in lines))
    found = _BREAK.search(text, after)
    at = found.start() if found else len(text)
    return Insertion(at, "".join(line_end + line for line in lines))


def add_in_brackets(text: str, span: Span, written: str) -> Insertion:
    """``written`` as the last part of a list or mapping in brackets.

    On a line of its own where the closing bracket stands on one, led by the comma that is missing
    before it; else before the bracket.
    """
    opening = re.compile(r"[\[{]").search(text, span.start, span.end)
    after = span.values[-1].end if span.values or opening is None else opening.end()
    close = span.end - 1
    between = _REMARK.sub(lambda remark: " " * len(remark[0]), text[after:close])
    comma = between.find(",") + 1
    after += comma
    if not _BREAK.search(text, after, close):
        lead = "" if not span.values else " " if comma else ", "
        return Insertion(after, lead + written)
    column = _find_column(text, span)
    lead = ", " if span.values and not comma else ""
    line = " " * column + lead + written + "," * bool(comma)
    return add_below(text, pass_remarks(text, after, column), [line])


def find_end(text: str, span: Span) -> int:
    """Where the last sign of ``span`` ends that says something: empty lines after text set in
    with | or > are not of it, unless it says so (|+)."""
    said = len(text[: span.end].rstrip(_BREAKS))
    last = span
    while last.values and not last.flow:
        last = last.values[-1]
    return span.end if said < span.end and _KEPT_TEXT.match(text, last.start) else said


def pass_remarks(text: str, after: int, column: int) -> int:
    """The end of the remarks directly below ``after`` that are set in deeper than ``column``, and
    so belong to what stands there; ``after`` where there are none, or a line begins there."""
    while not _begins_line(text, after) and (found := _BREAK.search(text, after)):
        remark = _REMARK_LINE.match(text, found.end())
        if not remark or len(remark[1]) <= column:
            break
        after = remark.end()
    return after


def find_line_end(text: str, at: int) -> str:
    """The signs that end the line in which ``at`` stands; those of the line before the last,
    where it is the last."""
    found = _BREAK.search(text, at)
    found = found or max(_BREAK.finditer(text), key=re.Match.start, default=None)
    return found[0] if found and found[0] in ("\r\n", "\r") else "\n"


def write_flow(value: Any) -> str:
    """A tree of mappings, lists and text on one line: ``{date: 2025-01-14, seen: []}``."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {write_flow(part)}" for key, part in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(write_flow, value)) + "]"
    return write_text(str(value))


def write_text(text: str) -> str:
    """``text`` as it may stand anywhere in YAML, in quotation marks only where it must."""
    plain = (
        text.strip() == text != ""
        and not _KEPT_FIRST.match(text)
        and not any(mark in text for mark in (*_MARKS_IN_BRACKETS, ": ", " #"))
        and not text.endswith(":")
        and all(map(_prints, text))
    )
    return text if plain else quote_text(text)


def quote_text(text: str) -> str:
    """``text`` in quotation marks; in double ones with what does not print as its code."""
    if all(map(_prints, text)) and ('"' in text or "\\" in text):
        return "'" + text.replace("'", "''") + "'"
    return '"' + "".join(map(_show_sign, text)) + '"'


def _show_sign(sign: str) -> str:
    if sign in _SHORT:
        return _SHORT[sign]
    if _prints(sign):
        return sign
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"


def _prints(sign: str) -> bool:
    return sign.isprintable() or unicodedata.category(sign) == "Zs"


def _begins_line(text: str, at: int) -> bool:
    return at > 0 and text[at - 1] in _BREAKS


def _find_column(text: str, span: Span) -> int:
    """Where the line of the last part begins; a step in from the margin where there is none."""
    parts = span.keys or span.values
    if not parts:
        start = max(text.rfind(sign, 0, span.start) for sign in _BREAKS) + 1
        return STEP + len(text[start:]) - len(text[start:].lstrip(" "))
    same_line = [part for part in parts if not _BREAK.search(text, part.start, parts[-1].start)]
    return same_line[0].column
