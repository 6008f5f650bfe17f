"""A recipe in one cell: "200 ml ammonia; 3 tsp salt + a splash of vinegar", to its ingredients."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice

from builder.records.numbers import split_measure
from builder.records.units import COUNTED, MASSES, VOLUMES

_PARTS = re.compile(r"\s*(?:[;\n+&]|,(?![0-9])|\band\b|\bwith\b)\s*")
_ROUGH = re.compile(
    r"(?P<amount>(?:a|an|one|some)\s+(?:good\s+|small\s+|large\s+)?(?:splash(?:es)?|pinch(?:es)?|"
    r"dash(?:es)?|drop|handful|bit|little|glug|few\s+\w+|spoonful|capful))\s+(?:of\s+)?(?P<name>.+)",
    re.IGNORECASE,
)
_STRENGTH = re.compile(r"\(?\b(?P<strength>[0-9.]+\s*(?:%|g/l|vol))\)?", re.IGNORECASE)
_AFTER = re.compile(r"(?P<name>[^0-9½⅓⅔¼¾:(]*?[^\W\d_])[\s:,(]+(?P<amount>(?:about\s+|ca\.?\s+)?"
                    r"[0-9.½⅓⅔¼¾/]+.*?)\)?")  # fmt: skip
_UNITS = sorted((*MASSES, *VOLUMES, *COUNTED, "part", "parts"), key=len, reverse=True)
_WINDOW = 60  # signs in which an amount and its unit stand
_MOST_FOUND = 3
_MOST_LOOKED_AT = 200  # numbers of a text
_AMOUNT = re.compile(r"[0-9]+\.?[0-9]*|[½⅓⅔¼¾]")


def read_recipe(text: str) -> tuple[dict[str, str], ...]:
    """The ingredients of a cell, each with its name, and its amount and strength where it says
    them."""
    return tuple(_read_part(part) for part in _PARTS.split(text) if part.strip())


def find_amounts(text: str) -> tuple[str, ...]:
    """Amounts with their units in a text that is no recipe: "added 3 tsp salt" has "3 tsp"; the
    first few."""
    return tuple(islice(_walk_amounts(text), _MOST_FOUND))


def _read_part(part: str) -> dict[str, str]:
    rough = _ROUGH.fullmatch(part.strip())
    if rough:
        return {"name": rough["name"].strip(), "amount": rough["amount"].strip()}
    measure = split_measure(part)
    if measure and measure.rest and (unit := _find_unit(measure.rest)):
        at = part.casefold().find(unit) + len(unit)
        amount, name = part[:at].strip(), part[at:].strip(" .")
        name = re.sub(r"^of\s+", "", name, flags=re.IGNORECASE)
        if name:
            return _with_strength(name, amount)
    after = _AFTER.fullmatch(part.strip())
    if after and not _STRENGTH.fullmatch(after["amount"].strip()):
        return _with_strength(after["name"].strip(), after["amount"].strip())
    return _with_strength(part.strip(), "")


def _with_strength(name: str, amount: str) -> dict[str, str]:
    strength = _STRENGTH.search(name)
    plain = " ".join(_STRENGTH.sub(" ", name).split()) if strength else name
    item = {"name": plain or name}
    if amount:
        item["amount"] = amount
    if strength and plain:
        item["strength"] = strength["strength"]
    return item


def _find_unit(rest: str) -> str:
    return next((unit for unit in _UNITS if re.match(rf"{re.escape(unit)}(?![\w])", rest)), "")


def _walk_amounts(text: str) -> Iterator[str]:
    for match in islice(_AMOUNT.finditer(text), _MOST_LOOKED_AT):
        window = text[match.start() : match.start() + _WINDOW]
        measure = split_measure(window)
        if measure and (unit := _find_unit(measure.rest)) and unit not in COUNTED:
            end = window.casefold().find(unit) + len(unit)
            yield " ".join(window[:end].split())
