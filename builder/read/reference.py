"""The guide's page on the sidecar, made from the vocabulary itself."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from pydantic.fields import FieldInfo

from builder.read.fields import find_key, find_marker, find_record, is_list, list_fields
from builder.read.guide_words import AFTER_FIELDS, BEFORE_FIELDS
from builder.records import words
from builder.records.kinds import Expected, Vocabulary
from builder.records.piece import OWN_FIELDS, Piece
from builder.records.record import Record

# A plain scalar may hold none of these, or YAML would take it for something else.
_NEEDS_QUOTES = re.compile(r"""^[\s\[\]{}&*!|>%@`"'#,?:-]|: |:$| #|\s$|^$""")
_NEEDS_QUOTES_INSIDE = re.compile(r"[\[\]{},]")
_LISTS = (
    ("metals", words.METALS),
    ("methods", words.METHODS),
    ("forms", words.FORMS),
    ("tempers", words.TEMPERS),
    ("surfaces", words.SURFACES),
    ("sealants", words.SEALANTS),
    ("sheens, dull to bright", words.SHEENS),
    ("outcomes *", words.OUTCOMES),
    ("causes", words.CAUSES),
    ("states of a piece and a photo *", words.STATES),
    ("light of a photo *", words.LIGHTS),
    ("sides of a photo", words.SIDES),
    ("conditions", words.CONDITIONS),
    ("extents, % of the area", words.EXTENTS),
    ("severities *", words.SEVERITIES),
    ("movement", words.MOVING),
    ("audiences *", words.AUDIENCES),
)


def reference_page() -> str:
    """Markdown: how a sidecar is written, and every key with meaning, form and example."""
    parts = [BEFORE_FIELDS, "## Every key", _say_own(), *_make_table(Piece, "A piece")]
    for name, record in _list_records(Piece):
        parts += _make_table(record, f"`{name}`")
    parts += [_make_word_lists(), AFTER_FIELDS]
    return "\n\n".join(part.strip() for part in parts) + "\n"


def write_value(value: Any, inside: bool = False) -> str:
    """An example as YAML on one line, in quotation marks only where YAML needs them; ``inside``
    brackets commas and brackets need them too."""
    if isinstance(value, dict):
        parts = (f"{key}: {write_value(part, True)}" for key, part in value.items())
        return f"{{{', '.join(parts)}}}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(write_value(part, True) for part in value)}]"
    text = str(value)
    quoted = _NEEDS_QUOTES.search(text) or (inside and _NEEDS_QUOTES_INSIDE.search(text))
    return f'"{text}"' if quoted else text


def _list_records(model: type[Record], above: str = "") -> Iterator[tuple[str, type[Record]]]:
    """Records with the path of keys that leads to them, each record once."""
    seen: dict[type[Record], str] = {}
    waiting = [(above, model)]
    while waiting:
        path, current = waiting.pop(0)
        for name, info in list_fields(current).items():
            record = find_record(info)
            if record is None:
                continue
            place = f"{path}{name}"
            seen[record] = f"{seen[record]}`, `{place}" if record in seen else place
            if seen[record] == place:
                waiting.append((f"{place} → ", record))
    yield from ((names, record) for record, names in seen.items())


def _make_table(model: type[Record], title: str) -> list[str]:
    meaning = " ".join((model.__doc__ or "").split())
    rows = ["| key | what it says | written as | example |", "| --- | --- | --- | --- |"]
    for name, info in list_fields(model).items():
        row = (f"`{name}`", str(info.description), _say_form(info), _say_examples(name, info))
        cells = (cell.replace("|", "\\|") for cell in row)
        rows.append(f"| {' | '.join(cells)} |")
    return [f"### {title}", meaning.replace("``", "`"), "\n".join(rows)]


def _say_form(info: FieldInfo) -> str:
    expected, vocabulary = find_marker(info, Expected), find_marker(info, Vocabulary)
    several = is_list(info)
    if expected:
        kept = f"; kept in {expected.unit}" if expected.unit else ""
        return f"{'a list, each ' if several else ''}{expected.phrase}{kept}"
    if find_record(info):
        short = find_key(info)
        alone = f", or its `{short}` alone" if short else ""
        return f"a list, each of the keys below{alone}" if several else f"the keys below{alone}"
    if several:
        return "a list"
    if info.annotation is int:
        return "a whole number from 1"
    if "dict" in str(info.annotation):
        return "keys and values"
    return "one of the words below" if vocabulary and vocabulary.flagged else "words"


def _say_examples(name: str, info: FieldInfo) -> str:
    return "<br>".join(f"`{name}: {write_value(example)}`" for example in info.examples or ())


def _say_own() -> str:
    own = ", ".join(f"`{name}`" for name in Piece.model_fields if name in OWN_FIELDS)
    return f"`same_as` carries everything over but what is a piece's own: {own}."


def _make_word_lists() -> str:
    rows = [f"- **{name.rstrip(' *')}**{' *' if name.endswith('*') else ''}: {', '.join(listed)}"
            for name, listed in _LISTS]  # fmt: skip
    intro = (
        "## The trade's words\n\nWrite your own words where these do not fit; they are kept as "
        "you write them. The lists marked * are those the pages sort by: a word outside them is "
        "kept too, and pointed out with the nearest one."
    )
    return f"{intro}\n\n{chr(10).join(rows)}"
