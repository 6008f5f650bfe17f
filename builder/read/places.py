"""Which folders and files of its own a library's ``mkdocs.yml`` names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.errors import LibraryError, Problem, Weight
from builder.read.option_values import SETTINGS_FILE, OptionError, read_inside
from builder.read.settings import PLUGIN, find_options, read_settings_document
from builder.read.text_yaml import Document
from builder.read.wording import describe_value
from builder.records.settings import Settings

#: What these make of a page depends on the library alone.
USUAL_PLUGINS = frozenset({PLUGIN, "search"})


@dataclass(frozen=True)
class Places:
    """Paths inside the library, with ``/``: its folders of pieces and of pages, card files that are
    there, and where its site is made. ``runs_code``: a build of it runs programs of its own
    (MkDocs hooks, overrides of the theme), or plugins besides the usual ones."""

    samples: str
    docs: str
    cards: tuple[str, ...]
    site: str
    runs_code: bool


def read_places(root: Path) -> Places:
    """The places that the settings of the library at ``root`` name.

    Raises ``LibraryError`` where they cannot be read, or the pages lie outside the library.
    """
    document = read_settings_document(root)
    options = find_options(document.tree)[0] or {}
    samples = _read(document, "samples", options.get("samples") or Settings().samples)
    docs = _read(document, "docs_dir", document.tree.get("docs_dir") or "docs")
    site = _read(document, "site_dir", document.tree.get("site_dir") or "site")
    return Places(
        samples,
        docs,
        tuple(dict.fromkeys(_find_cards(root, options, samples))),
        site,
        _runs_code(document.tree),
    )


def _runs_code(tree: Mapping[str, Any]) -> bool:
    theme, plugins = tree.get("theme"), tree.get("plugins")
    named = [*plugins] if isinstance(plugins, (list, dict)) else []
    names = {name for one in named for name in (one if isinstance(one, dict) else [str(one)])}
    overrides = isinstance(theme, dict) and theme.get("custom_dir")
    return bool(tree.get("hooks") or overrides or names - USUAL_PLUGINS)


def _read(document: Document, key: str, value: Any) -> str:
    try:
        return read_inside(value)
    except OptionError as error:
        raise LibraryError(
            Problem(
                SETTINGS_FILE,
                document.lines.get((key,), 0),
                f"{key} is {describe_value(value)}",
                f"expected {error}",
                "name a folder inside the library",
                Weight.STOPS,
            )
        ) from None


def _find_cards(root: Path, options: Mapping[str, Any], samples: str) -> list[str]:
    """Card files as set-ups find them: in the library's folder, else in that of the pieces."""
    setups = options.get("setups")
    found = []
    for setup in setups.values() if isinstance(setups, Mapping) else ():
        card = setup.get("card") if isinstance(setup, Mapping) else None
        if not isinstance(card, str) or not card:
            continue
        try:
            written = read_inside(card)
        except OptionError:
            continue
        places = (written, f"{samples}/{written}")
        found += [file for file in places if (root / file).is_file()][:1]
    return found
