"""What an import shows: its columns, its pieces, its doubts, each as rows of words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from builder.importing.columns import DROP, Column
from builder.importing.doubts import Doubt, gather_doubts
from builder.importing.merging import list_paths
from builder.importing.planning import Action, PiecePlan
from builder.importing.preparing import Prepared
from builder.importing.tables import name_column
from builder.read.wording import show_name

_EXAMPLE, _WORDS, _CHANGES = 28, 24, 60  # signs that are shown of a cell, a value, the changes
_SHOWN = ("metal", "method", "started")


def list_columns(prepared: Prepared) -> list[tuple[str, ...]]:
    """A row a column: its letter, heading, what it becomes, its unit, and its first cell."""
    body = prepared.table.rows[prepared.mapping.header[1] :]
    rows: list[tuple[str, ...]] = [("", "column", "becomes", "unit", "such as")]
    for at, column in prepared.placed:
        example = next((row[at] for row in body if row[at]), "")
        shown = (column.heading, _say_target(column), column.unit, _cut(example, _EXAMPLE))
        rows.append((name_column(at), *map(show_name, shown)))
    return rows


def list_pieces(plans: Sequence[PiecePlan]) -> list[tuple[str, ...]]:
    """A row a piece: where it stands in the table, its number, what becomes of it, what it is, and
    what changes."""
    rows: list[tuple[str, ...]] = [("row", "piece", "", "metal", "method", "date", "what")]
    for plan in plans:
        words = [plan.said.leaves.get((key,), "") for key in _SHOWN]
        shown = [_cut(word if isinstance(word, str) else "", _WORDS) for word in words]
        rows.append((str(plan.row), plan.number, str(plan.action), *shown, _say_changes(plan)))
    return rows


def list_doubts(doubts: Iterable[Doubt]) -> Iterator[str]:
    """Each doubt as a sentence, with all rows that give it."""
    for doubt in gather_doubts(doubts):
        row = f"row{'s' if len(doubt.rows) > 1 else ''} {doubt.say_rows()}"
        row = row if doubt.rows[0] else "table"
        where = f"{row}, {show_name(doubt.column)}" if doubt.column else row
        left = " [left out]" if doubt.left_out else ""
        yield f"{where}: {show_name(doubt.found)}; {doubt.todo}{left}"


def count_pieces(plans: Sequence[PiecePlan]) -> str:
    """“58 new, 1 left”."""
    counts = [(sum(p.action is action for p in plans), str(action)) for action in Action]
    return ", ".join(f"{count} {word}" for count, word in counts if count) or "no pieces"


def _say_target(column: Column) -> str:
    if column.field == DROP:
        return "(left out)"
    if column.name:
        return f"ingredient {column.name}, {column.part}"
    return column.field


def _say_changes(plan: PiecePlan) -> str:
    parts = [f"was {plan.was}"] if plan.was else []
    return _cut("; ".join([*parts, *list_paths(plan.changes)]), _CHANGES)


def _cut(text: str, most: int) -> str:
    text = show_name(" ".join(text.split()))
    return text if len(text) <= most else text[: most - 1] + "…"
