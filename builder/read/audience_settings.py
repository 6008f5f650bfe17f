"""The ``audiences`` of the settings: each a built-in one with more shown, or less."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from builder.read.lines import Location
from builder.read.wording import describe_value, quote, suggest
from builder.records.audiences import (
    ALIASES,
    BUILT_IN,
    CLIENTS,
    FIELDS,
    PAGES,
    PARTS,
    PRIVATE,
    PRIVATE_NAME,
    PUBLIC,
    THINGS,
    Audience,
    expand,
    make_audience,
)

AUDIENCE_KEYS = ("like", "show", "hide")
_NAME = re.compile(r"[a-z][a-z0-9-]{0,29}")
_LIKE = tuple(audience.name for audience in BUILT_IN if audience is not PRIVATE)
_KNOWN = (*FIELDS, *PARTS, *THINGS, *PAGES)

Note = Callable[[Location, str, str, str], None]


def read_audiences(
    written: Any, note: Note, note_unknown: Callable[[Location, tuple[str, ...]], None]
) -> tuple[Audience, ...]:
    """The built-in audiences and those of the settings, by name; what cannot be used is noted."""
    found = {audience.name: audience for audience in BUILT_IN}
    place: Location = ("audiences",)
    if not isinstance(written, Mapping):
        note(place, f"audiences is {describe_value(written)}", "names, each with rules", "see docs")
        return BUILT_IN
    for key, rules in written.items():
        name, at = str(key).strip().casefold(), (*place, str(key))
        if not _NAME.fullmatch(name) or name in (PUBLIC, PRIVATE_NAME, *ALIASES):
            expected = "small letters, digits and hyphens, and none of: "
            expected += ", ".join((PUBLIC, PRIVATE_NAME, *ALIASES))
            note(at, f"an audience is called {quote(str(key))}", expected, "choose another name")
            continue
        if not isinstance(rules, Mapping):
            expected = f"keys: {', '.join(AUDIENCE_KEYS)}"
            note(at, f"{name} of audiences is {describe_value(rules)}", expected, "write it so")
            continue
        for unknown in set(rules) - set(AUDIENCE_KEYS):
            note_unknown((*at, unknown), AUDIENCE_KEYS)
        like = str(rules.get("like") or (name if name in _LIKE else CLIENTS)).strip().casefold()
        if like not in _LIKE:
            remedy = suggest(like, _LIKE, "choose one of them")
            note((*at, "like"), f"like is {quote(like)}", f"one of: {', '.join(_LIKE)}", remedy)
            continue
        show, hide = (_read_names(rules.get(part), (*at, part), note) for part in ("show", "hide"))
        found[name] = make_audience(name, like, show, hide)
    return tuple(found.values())


def _read_names(written: Any, at: Location, note: Note) -> tuple[str, ...]:
    """Names of fields, parts, things and pages."""
    several = written if isinstance(written, (list, tuple)) else [written or ""]
    names = tuple(str(name).strip() for name in several if str(name).strip())
    for name in names:
        if not expand(name):
            expected = "a field of a sidecar, a part, a thing or a page (docs: audiences)"
            note(at, f"{at[-1]} names {quote(name)}", expected, suggest(name, _KNOWN, "delete it"))
    return names
