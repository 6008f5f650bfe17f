"""What mkdocs.yml names of a library's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.errors import LibraryError
from builder.read.places import read_places

PLUGIN = "plugins:\n  - patinarium:\n"


def write(root: Path, text: str) -> Path:
    (root / "mkdocs.yml").write_text(text, encoding="utf-8")
    return root


def test_the_usual_places_where_none_are_named(tmp_path: Path) -> None:
    places = read_places(write(tmp_path, "site_name: A\nplugins:\n  - patinarium\n"))
    assert (places.samples, places.docs, places.cards, places.site) == (
        "samples",
        "docs",
        (),
        "site",
    )
    assert not places.runs_code


def test_places_and_cards_are_found_as_set_ups_find_them(tmp_path: Path) -> None:
    (tmp_path / "pieces").mkdir()
    (tmp_path / "pieces/card.txt").write_text("x", encoding="utf-8")
    (tmp_path / "other.txt").write_text("x", encoding="utf-8")
    text = (
        "docs_dir: words\nsite_dir: public\nhooks: [a.py]\n"
        f"{PLUGIN}      samples: pieces\n      setups:\n        a: {{card: card.txt}}\n"
        "        b: {card: other.txt}\n        c: {card: gone.txt}\n        d: {card: ../x.txt}\n"
        "        e: {card: {A1: [1, 2, 3]}}\n"
    )
    places = read_places(write(tmp_path, text))
    assert places.cards == ("pieces/card.txt", "other.txt")
    assert (places.samples, places.docs, places.site) == ("pieces", "words", "public")
    assert places.runs_code


@pytest.mark.parametrize("line", ["docs_dir: ../docs", "docs_dir: .", "docs_dir: [a, b]"])
def test_pages_outside_the_library_are_refused(tmp_path: Path, line: str) -> None:
    with pytest.raises(LibraryError, match=r"mkdocs.yml:1: docs_dir leads out"):
        read_places(write(tmp_path, f"{line}\nplugins:\n  - patinarium\n"))
