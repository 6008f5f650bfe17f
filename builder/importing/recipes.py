"""A recipe in one cell: "200 ml ammonia; 3 tsp salt + a splash of vinegar", to its ingredients."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice

from builder.records.numbers import split_measure
from builder.records.units import COUNTED, MASSES, VOLUMES

# A comma before a figure is a decimal's, and what stands in brackets stays together.
_PARTS = re.compile(r"\s*(?:[;\n+&]|,(?![0-9])|\band\b|\bwith\b)\s*(?![^()]*\))", re.IGNORECASE)
_ROUGH = re.compile(
    r"(?P<amount>(?:(?:a|an|one|some)\s+(?:good\s+|small\s+|large\s+|tiny\s+)?|"
    r"(?:small|large|tiny|big)\s+)(?:splash(?:es)?|pinch(?:es)?|"
    r"dash(?:es)?|drop|handful|bit|little|glug|lump|few\s+\w+|spoonful|capful))\s+"
    r"(?:of\s+)?(?P<name>.+)",
    re.IGNORECASE,
)
#: Words that say how, and name nothing: “small lump in”, “stirred well”.
_REMARK = re.compile(
    r"(?:in|on|over|under|to|for|until|then|not|left|stirred|shaken|mixed|dissolved|added|applied|"
    r"put|sprayed|brushed)\b.*|(?:.*\s)?(?:in|on|over|off|up|out|together|well|overnight|first|"
    r"after|before|dissolved|stirred|added|mixed|again|splash|pinch|dash|lump|handful|bit)",
    re.IGNORECASE,
)
_STRENGTH = re.compile(
    r"(?P<strength>(?:(?:about|approx\.?|ca\.?)\s+|~\s*)?\b[0-9]*\.?[0-9]+\s*"
    r"(?:%(?:\s*(?:w/w|w/v|v/v))?|g/l\b|vols?\b))",
    re.IGNORECASE,
)
_RATIO = re.compile(
    r"(?<![0-9.:])[0-9]{1,4}(?:\.[0-9]{1,4})?(?:\s*:\s*[0-9]{1,4}(?:\.[0-9]{1,4})?)+(?![0-9:])"
)
_BARE_FIGURE = re.compile(r"(?<![A-Za-z0-9])[0-9]")  # not that of H2O2
_AFTER = re.compile(r"(?P<name>[^0-9½⅓⅔¼¾:(]*?[^\W\d_])[\s:,(]+(?P<amount>(?:about\s+|ca\.?\s+)?"
                    r"[0-9.½⅓⅔¼¾/]+.*?)\)?")  # fmt: skip
_UNITS = sorted((*MASSES, *VOLUMES, *COUNTED, "part", "parts"), key=len, reverse=True)
_WINDOW = 60  # signs in which an amount and its unit stand
_MOST_FOUND = 3
_MOST_LOOKED_AT = 200  # numbers of a text
_AMOUNT = re.compile(r"[0-9]+\.?[0-9]*|[½⅓⅔¼¾]")


def read_recipe(text: str) -> tuple[dict[str, str], ...]:
    """The ingredients of a cell, each with its name, and its amount and strength where it says
    them. What could not be split surely is one, with its words whole ``as_written``."""
    shared = _share_ratio(text)
    if shared:
        return shared
    items: list[dict[str, str]] = []
    for part in _split(text):
        if items and _is_amount(part) and items[-1].keys() == {"name"}:
            items[-1]["amount"] = part
        elif items and _REMARK.fullmatch(part):
            last = items[-1]
            said = last.get("as_written") or " ".join(last.values())
            last["as_written"] = f"{said}, {part}"
        else:
            items += _share_ratio(part) or (_read_part(part),)
    return tuple(items)


def _split(text: str) -> list[str]:
    return [part.strip() for part in _PARTS.split(text) if part.strip()]


def _share_ratio(text: str) -> tuple[dict[str, str], ...]:
    """Substances in the parts of a ratio that stands between two of them, before them all or
    after; () where it does not tell whose its figures are."""
    ratios = list(_RATIO.finditer(text))
    if len(ratios) != 1:
        return ()
    figures = re.split(r"\s*:\s*", ratios[0][0])
    sides = [text[: ratios[0].start()], text[ratios[0].end() :]]
    named = [part for side in sides for part in _split(side)]
    between = all(len(_split(side)) == 1 for side in sides)
    one_side = not all(side.strip() for side in sides) and len(named) > 1
    items = [_read_part(part) for part in named]
    plain = all(item.keys() <= {"name", "strength"} for item in items)
    if len(figures) != len(named) or not (between or one_side) or not plain:
        return ()
    if any(_REMARK.fullmatch(part) or re.match(r"(?i)by\b", part) for part in named):
        return ()
    return tuple(
        {"name": item["name"], "amount": f"{figure} part{'' if figure == '1' else 's'}", **item}
        for item, figure in zip(items, figures, strict=True)
    )


def _is_amount(part: str) -> bool:
    measure = split_measure(part)
    return bool(measure and measure.rest and measure.rest == _find_unit(measure.rest))


def find_amounts(text: str) -> tuple[str, ...]:
    """Amounts with their units in a text that is no recipe: "added 3 tsp salt" has "3 tsp"; the
    first few."""
    return tuple(islice(_walk_amounts(text), _MOST_FOUND))


def _read_part(part: str) -> dict[str, str]:
    strengths = list(_STRENGTH.finditer(part))
    plain = re.sub(r"\([\s,]*\)", " ", _STRENGTH.sub(" ", part))
    plain = re.sub(r"\([\s,]+", "(", " ".join(plain.split())).strip(" ,:")
    if len(strengths) > 1 or not plain or _REMARK.fullmatch(part):
        return {"name": part, "as_written": part}
    name, amount = _find_amount(plain)
    item = {"name": name}
    if amount:
        item["amount"] = amount
    if strengths:
        item["strength"] = strengths[0]["strength"]
    if _BARE_FIGURE.search(name):
        return {"name": part, "as_written": part}
    return item


def _find_amount(part: str) -> tuple[str, str]:
    """The name and the amount, "" for none, in a part that says no strength."""
    rough = _ROUGH.fullmatch(part)
    if rough:
        return rough["name"].strip(), rough["amount"].strip()
    measure = split_measure(part)
    if measure and measure.rest and (unit := _find_unit(measure.rest)):
        at = part.casefold().find(unit) + len(unit)
        amount, name = part[:at].strip(), part[at:].strip(" .")
        name = re.sub(r"^of\s+", "", name, flags=re.IGNORECASE)
        if name:
            return name, amount
    after = _AFTER.fullmatch(part)
    if after:
        return after["name"].strip(), after["amount"].strip()
    return part, ""


def _find_unit(rest: str) -> str:
    return next((unit for unit in _UNITS if re.match(rf"{re.escape(unit)}(?![\w])", rest)), "")


def _walk_amounts(text: str) -> Iterator[str]:
    for match in islice(_AMOUNT.finditer(text), _MOST_LOOKED_AT):
        window = text[match.start() : match.start() + _WINDOW]
        measure = split_measure(window)
        if measure and (unit := _find_unit(measure.rest)) and unit not in COUNTED:
            end = window.casefold().find(unit) + len(unit)
            yield " ".join(window[:end].split())
