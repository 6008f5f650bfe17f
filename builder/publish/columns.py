"""The data files of the site, with what each column holds, for the page that offers them."""

from __future__ import annotations

from dataclasses import dataclass

from builder.publish.data import COLUMNS

_WORDS = {
    "pieces.csv": "What was done to each piece, one row a zone of an attempt.",
    "readings.csv": "One row a zone of a photograph: its colour, its noise, what it rests on.",
    "verdicts.csv": "What may be said of the drift of each zone.",
    "sisters.csv": "Sealed pieces against their bare sisters.",
    "pairs.csv": "Pieces with one recorded difference; no factor for repeats.",
    "series.csv": "Pieces equal in all but one thing, in the order of that thing: one row a piece.",
    "effects.csv": "What one change does over all sets that share everything else.",
    "repeats.csv": "Pieces made again with no recorded difference, and looks made only once.",
    "next_tests.csv": "What to try next, best first, and why.",
    "library.json": "All of it in one file, with what every column holds.",
    "provenance.jsonld": "What each photograph, reading and verdict comes from, as JSON-LD in the "
    "terms of W3C PROV-O.",
}


@dataclass(frozen=True)
class DataFile:
    """One file of the data folder; ``columns`` are (name, what it holds)."""

    name: str
    words: str
    columns: tuple[tuple[str, str], ...] = ()


def list_data_files() -> tuple[DataFile, ...]:
    return tuple(
        DataFile(name, words, tuple(COLUMNS.get(name, {}).items()))
        for name, words in _WORDS.items()
    )
