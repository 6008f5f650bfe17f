"""What a maker says was seen, in one line, to the words of the trade.

"powdering, lower edge, 12 %, slight, active" is the condition and, in any order, its place, its
share of the area, how bad it is, and whether it is still moving.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from builder.errors import FilingError, Problem, Weight
from builder.read.wording import find_nearest, quote
from builder.records.notes import SeenNote
from builder.records.quantities import read_percent
from builder.records.words import CONDITIONS, EXTENTS, MOVING, SEVERITIES, choose_word

OPTION = "--seen"
_NOTHING = ("none", "nothing")
_PARTS = {"extent": EXTENTS, "severity": SEVERITIES, "moving": MOVING}
_WORDS = (*CONDITIONS, *EXTENTS, *SEVERITIES, *MOVING)
_SLIP = 0.82  # likeness from which a word is taken for a slip of the finger, not for a place
_BEYOND = re.compile(r"(?:over|above|more than|>)\s*50\s*(?:%|per cent)?")
_WITHIN = re.compile(r"(?:under|below|less than|<)\s*5\s*(?:%|per cent)?")
_RANGE = re.compile(r"([0-9.]+)\s*(?:-|–|to)\s*([0-9.]+)\s*(?:%|per cent)?")
_LETTER = re.compile(r"[^\W\d_]")


def read_seen(lines: Sequence[str]) -> tuple[SeenNote, ...] | None:
    """One condition for each line; an empty tuple where the one line is "none" or "nothing", None
    where there is no line, so that nothing is said of it.

    A word that is not the trade's is the place, if it is the only one and is like none of them.
    Raises ``FilingError`` with every word that cannot be placed.
    """
    if not lines:
        return None
    if len(lines) == 1 and lines[0].strip().casefold() in _NOTHING:
        return ()
    problems: list[Problem] = []
    seen = [_read_line(line, problems) for line in lines]
    if problems:
        raise FilingError(problems)
    return tuple(seen)


def find_extent(text: str) -> str:
    """The class of a share of the area: "12 %" is "5-25"; 25 and 50 count to the smaller class.
    "" where ``text`` is no such share, or is nought."""
    tidy = " ".join(text.casefold().split())
    word = choose_word(EXTENTS)(tidy)
    if word in EXTENTS:
        return word
    if _BEYOND.fullmatch(tidy) or _WITHIN.fullmatch(tidy):
        return EXTENTS[3] if _BEYOND.fullmatch(tidy) else EXTENTS[0]
    if both := _RANGE.fullmatch(tidy):
        if (written := f"{both[1]}-{both[2]}") in EXTENTS:
            return written
        classes = {find_extent(both[1]), find_extent(both[2])}
        return classes.pop() if len(classes) == 1 else ""
    share = read_percent(tidy)
    if share is None or share.number == 0:
        return ""
    return EXTENTS[(share.number >= 5) + (share.number > 25) + (share.number > 50)]


def _read_line(line: str, problems: list[Problem]) -> SeenNote:
    parts = [" ".join(part.split()) for part in line.split(",")]
    first, *rest = [part for part in parts if part] or [""]
    found = {"what": choose_word(CONDITIONS)(first)}
    problems += _note_condition(first, rest)
    strange = []
    for part in rest:
        kind, word = _place(part)
        if kind == "where":
            strange.append(part)
        elif kind in found:
            problems.append(_say_second(kind, part))
        found[kind] = word
    problems += _note_strange(strange)
    return SeenNote(**found)


def _place(part: str) -> tuple[str, str]:
    """What these words say of a condition, and the trade's word for it."""
    if extent := find_extent(part):
        return "extent", extent
    for kind, words in {"what": CONDITIONS, **_PARTS}.items():
        word = choose_word(words)(part)
        if word in words:
            return kind, word
    return "where", part


def _note_condition(first: str, rest: Sequence[str]) -> list[Problem]:
    """A first part that is no condition. One the trade has no word for is as good as another."""
    if not first:
        return [_say("nothing is said", "expected a condition, or “none”", "such as “powdering”")]
    if first.casefold() in _NOTHING:
        remedy = "say that alone, or leave it out"
        return [_say(f"{quote(first)} beside what was seen", "expected one or the other", remedy)]
    kind, _ = _place(first)
    later = next((part for part in rest if _place(part)[0] == "what"), "")
    slip = _find_slip(first, CONDITIONS)
    if kind == "what" or (kind == "where" and not later and not slip):
        return _note_run_together(first) if kind == "where" else []
    otherwise = f"begin with {quote(later or 'powdering')}"
    remedy = otherwise if later or not slip else f"did you mean {quote(slip)}?"
    return [_say(f"{quote(first)} is no condition", "expected the condition first", remedy)]


def _note_run_together(first: str) -> list[Problem]:
    """Several words of the trade with no comma between them."""
    words = first.casefold().split()
    met = [word for word in words if _place(word)[0] != "where"]
    if len(words) < 2 or len(met) < 2 or words[0] not in CONDITIONS:
        return []
    remedy = f"such as “{words[0]}, {' '.join(words[1:])}”, and further commas within"
    return [_say(f"{quote(first)} runs together", "expected a comma between the words", remedy)]


def _find_slip(part: str, words: Sequence[str]) -> str:
    """The word of the trade that a part is a slip of the finger for, "" where it is none: very like
    it, and begun with the same letter."""
    near = find_nearest(part, words, _SLIP)
    return near if near and near[0] == part.casefold()[:1] else ""


def _note_strange(parts: Sequence[str]) -> list[Problem]:
    """Words that are not the trade's and cannot all be the place."""
    slips = {part: _find_slip(part, _WORDS) for part in parts}
    places = [part for part in parts if not slips[part]]
    alone = len(places) == 1 and len(parts) == 1
    if not parts or (alone and _LETTER.search(parts[0]) and "%" not in parts[0]):
        return []
    # One of them may be the place: then only the slips are at fault.
    blamed = [part for part in parts if slips[part]] if len(places) <= 1 else list(parts)
    blamed = blamed or list(parts)
    named = " and ".join(quote(part) for part in blamed)
    near = [word for part in blamed if (word := slips[part])]
    known = "; ".join(", ".join(words) for words in _PARTS.values())
    meant = f"did you mean {' or '.join(map(quote, near))}? " if near else ""
    return [
        _say(
            f"{named} {'is no word' if len(blamed) == 1 else 'are no words'} of the trade",
            f"expected one place, and of: {known}",
            f"{meant}write a place without a comma, in words unlike these",
        )
    ]


def _say_second(kind: str, part: str) -> Problem:
    if kind == "what":
        remedy = f"give it a {OPTION} of its own"
        return _say(f"{quote(part)} is a second condition", "expected one at a time", remedy)
    expected = f"expected one of: {', '.join(_PARTS[kind])}"
    return _say(f"{quote(part)} is a second word for one thing", expected, "keep one of the two")


def _say(found: str, expected: str, remedy: str) -> Problem:
    return Problem(OPTION, 0, found, expected, remedy, Weight.LEFT_OUT)
