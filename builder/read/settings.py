"""The plugin's part of ``mkdocs.yml`` to :class:`Settings`.

Settings that cannot be read stop the run, all their problems told at once; only a card that cannot
be used is left out by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from builder.errors import LibraryError, Problem, SidecarError, Weight
from builder.read.audience_settings import read_audiences
from builder.read.lines import Lines, Location, find_line
from builder.read.option_values import (
    SETTINGS_FILE,
    OptionError,
    read_day,
    read_decimal,
    read_inside,
    read_prices,
    read_spans,
    read_text,
    read_whole,
    read_wholes,
    read_word,
)
from builder.read.plain_text import read_plain_text
from builder.read.setups import SetUpReader
from builder.read.text_yaml import Caps, Document, read_text_yaml
from builder.read.wording import describe_value, name_place, suggest
from builder.records.settings import POLICIES, Limits, Settings, Tolerances

PLUGIN = "patinarium"
_PARENT = "INHERIT"
_FOLDERS = ("docs_dir", "site_dir")  # MkDocs goes wherever they say
_MOST_BYTES = 1_000_000  # of mkdocs.yml itself
_CAPS = Caps(nodes=20_000, depth=40)  # it is the maker's own, and other plugins nest deeply
_OWN_THRESHOLD = "set in mkdocs.yml, no source given"
_MOST_WIDTHS = 12  # every picture is written at each
_MOST_PIXELS = 1_000_000_000
_MOST_FILE_BYTES = 10_000_000_000

_PLAIN: Mapping[str, Callable[[Any], Any]] = {
    "title": read_text,
    "samples": read_inside,
    "invented": read_text,
    "default_setup": read_text,
    "threshold": lambda value: read_decimal(value, 0.1, 50),
    "threshold_source": read_text,
    "web_widths": partial(read_wholes, least=16, most=20_000, longest=_MOST_WIDTHS),
    "view_width": lambda value: read_whole(value, 16, 10_000),
    "rechecks": read_spans,
    "rechecks_heat": partial(read_spans, least=0),
    "prices": read_prices,
    "today": read_day,
    "policy": partial(read_word, words=POLICIES),
}
_LIMITS: Mapping[str, int] = {
    "pixels": _MOST_PIXELS,
    "picture_bytes": _MOST_FILE_BYTES,
    "sidecar_bytes": 100_000_000,
    "sidecar_values": 1_000_000,
    "sidecar_depth": 100,  # deeper than the interpreter's own stack allows for
    "text_characters": 1_000_000,
    "pieces": 1_000_000,
    "photos": 100_000,
}
_TOLERANCES: Mapping[str, float] = {
    "temperature_c": 50.0,
    "humidity_pct": 100.0,
    "thickness_mm": 5.0,
    "time_pct": 50.0,
    "amount_pct": 50.0,
}
#: Every key of the plugin's settings.
SETTINGS_KEYS = (*_PLAIN, "limits", "tolerances", "setups", "audiences")
TOLERANCE_KEYS = tuple(_TOLERANCES)


def read_settings_file(root: Path) -> Settings:
    """The settings in the ``mkdocs.yml`` of a library's folder.

    Raises ``LibraryError`` where there is none, or it cannot be used.
    """
    document = read_settings_document(root)
    options, base = find_options(document.tree)
    if options is None:
        raise LibraryError(
            Problem(
                SETTINGS_FILE,
                find_line(document.lines, base),
                f"{PLUGIN} is not among the plugins",
                f"expected “- {PLUGIN}” under “plugins:”",
                "add it",
                Weight.STOPS,
            )
        )
    title = document.tree.get("site_name", "")
    return read_settings(
        options, root, title if isinstance(title, str) else "", document.lines, base
    )


def read_settings_document(root: Path) -> Document:
    """The whole ``mkdocs.yml`` of a library's folder. Raises ``LibraryError``."""
    try:
        text = read_plain_text(root / SETTINGS_FILE, SETTINGS_FILE, _MOST_BYTES)
        document = read_text_yaml(text, SETTINGS_FILE, _CAPS, strict=False)[0]
    except SidecarError as error:
        raise LibraryError(
            replace(problem, weight=Weight.STOPS) for problem in error.problems
        ) from None
    if _PARENT in document.tree:  # MkDocs would follow it without any of these checks
        raise LibraryError(
            Problem(
                SETTINGS_FILE,
                find_line(document.lines, (_PARENT,)),
                f"{_PARENT} takes settings from another file",
                "expected all settings of a library in this one",
                "write here what is wanted of the other",
                Weight.STOPS,
            )
        )
    if outside := [key for key in _FOLDERS if _leads_outside(document, key)]:
        raise LibraryError(_say_outside(document, key) for key in outside)
    return document


def _leads_outside(document: Document, key: str) -> bool:
    if key not in document.tree:
        return False
    try:
        read_inside(document.tree[key])
    except OptionError:
        return True
    return False


def _say_outside(document: Document, key: str) -> Problem:
    return Problem(
        SETTINGS_FILE,
        find_line(document.lines, (key,)),
        f"{key} leads out of the library's folder, where a build would write or publish what is "
        "not the library's",
        "a folder inside it, such as site or docs",
        "name one inside; copy the site from there to where it is to be",
        Weight.STOPS,
    )


def read_settings(
    options: Mapping[str, Any],
    root: Path,
    site_name: str = "",
    lines: Lines | None = None,
    base: Location = (),
) -> Settings:
    """The plugin's options, as text or as another YAML reader typed them; ``root`` is the
    library's folder, ``site_name`` the title where the options give none. ``lines`` and ``base``
    say where in ``mkdocs.yml`` each stands, if that is known.

    Raises ``LibraryError`` with every problem.
    """
    reader = _Reader(lines or {}, base)
    given = {key: value for key, value in options.items() if not _is_blank(value)}
    for key in given:
        if key not in SETTINGS_KEYS:
            reader.note_unknown((key,), SETTINGS_KEYS)
    values = {
        key: reader.read((key,), given[key], convert)
        for key, convert in _PLAIN.items()
        if key in given
    }
    if site_name and not values.get("title"):
        values["title"] = site_name
    if "threshold" in given and not values.get("threshold_source"):
        values["threshold_source"] = _OWN_THRESHOLD
    limits = reader.read_limits(given.get("limits", {}))
    values["tolerances"] = reader.read_tolerances(given.get("tolerances", {}))
    sidecar_bytes = (limits or Limits()).sidecar_bytes
    samples = values.get("samples") or Settings().samples
    setups = SetUpReader(root, samples, sidecar_bytes, reader.note, reader.locate)
    values["setups"] = setups.read_all(given.get("setups", {}))
    _check_default(reader, values)
    values["audiences"] = read_audiences(
        given.get("audiences", {}), reader.note, reader.note_unknown
    )
    if reader.problems:
        raise LibraryError(reader.problems)
    values = {key: value for key, value in values.items() if value is not None}
    if widths := values.get("web_widths"):
        values["web_widths"] = tuple(sorted(set(widths)))
    return Settings(**values, limits=limits or Limits(), problems=tuple(setups.left_out))


class _Reader:
    """Collects the problems of one reading."""

    def __init__(self, lines: Lines, base: Location) -> None:
        self.problems: list[Problem] = []
        self._lines, self._base = lines, base

    def locate(self, place: Location) -> int:
        return find_line(self._lines, (*self._base, *place)) if self._lines else 0

    def note(self, place: Location, found: str, expected: str, remedy: str) -> None:
        line = self.locate(place)
        self.problems.append(
            Problem(SETTINGS_FILE, line, found, f"expected {expected}", remedy, Weight.STOPS)
        )

    def note_unknown(self, place: Location, known: tuple[str, ...]) -> None:
        key = str(place[-1])
        around = f" of {name_place(place[:-1])}" if place[:-1] else f" of {PLUGIN}"
        self.note(
            place,
            f"“{key}” is no setting{around}",
            f"one of: {', '.join(known)}",
            suggest(key, known, "delete it"),
        )

    def read(self, place: Location, value: Any, convert: Callable[[Any], Any]) -> Any:
        try:
            return convert(value)
        except OptionError as error:
            found = f"{name_place(place)} is {describe_value(value)}"
            self.note(place, found, str(error), "correct it, or delete the line")
            return None

    def read_limits(self, written: Any) -> Limits | None:
        values = self._read_part(
            "limits",
            written,
            {key: partial(read_whole, least=1, most=most) for key, most in _LIMITS.items()},
        )
        return None if values is None else Limits(**values)

    def read_tolerances(self, written: Any) -> Tolerances | None:
        values = self._read_part(
            "tolerances",
            written,
            {key: partial(read_decimal, least=0, most=most) for key, most in _TOLERANCES.items()},
        )
        return None if values is None else Tolerances(**values)

    def _read_part(
        self, part: str, written: Any, kinds: Mapping[str, Callable[[Any], Any]]
    ) -> dict[str, Any] | None:
        """The values of a setting that has keys of its own; those that cannot be read are noted."""
        if not isinstance(written, Mapping):
            found = f"{part} is {describe_value(written)}"
            self.note((part,), found, f"keys such as {', '.join(kinds)}", "correct it")
            return None
        values = {}
        for key, value in written.items():
            if key not in kinds:
                self.note_unknown((part, key), tuple(kinds))
                continue
            read = self.read((part, key), value, kinds[key])
            if read is not None:
                values[key] = read
        return values


def _check_default(reader: _Reader, values: Mapping[str, Any]) -> None:
    name = values.get("default_setup")
    names = [setup.name for setup in values["setups"]]
    if name and name != "none" and name not in names and not reader.problems:
        reader.note(
            ("default_setup",),
            f"default_setup is “{name}”",
            "one of the setups",
            suggest(name, names, "write it down under setups"),
        )


def find_options(tree: Mapping[str, Any]) -> tuple[Mapping[str, Any] | None, Location]:
    """The plugin's options and their place; None where the plugin is not used."""
    plugins = tree.get("plugins", [])
    if isinstance(plugins, Mapping):
        plugins = [{name: options} for name, options in plugins.items()]
        places: list[Location] = [("plugins",)] * len(plugins)
    else:
        plugins = plugins if isinstance(plugins, list) else []
        places = [("plugins", index) for index in range(len(plugins))]
    for plugin, place in zip(plugins, places, strict=True):
        if plugin == PLUGIN:
            return {}, place
        if isinstance(plugin, Mapping) and PLUGIN in plugin:
            options = plugin[PLUGIN]
            return (options if isinstance(options, Mapping) else {}), (*place, PLUGIN)
    return None, ("plugins",)


def _is_blank(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())
