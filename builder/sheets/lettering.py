"""How wide words are, and how large they may be.

Widths are those of Helvetica, one of the fonts every reader of PDF has (ISO 32000-1, 9.6.2.2); its
figures are all of one width.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from reportlab.pdfbase.pdfmetrics import stringWidth

CAP = 0.72  # height of capitals in Helvetica over its size
_LONG = 14  # signs; a longer number is better read on several lines
_LINES = 4
_LEADING = 1.15
#: Signs the font has not, by ones that mean the same.
_PLAINLY = str.maketrans({"\u2044": "/", "\u2212": "-", "\u2248": "~"})
_MIXED = re.compile(r"(?<=[0-9])(?=[⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])")


def name_font(bold: bool) -> str:
    return "Helvetica-Bold" if bold else "Helvetica"


def spell(text: str) -> str:
    """``text`` in letters the font has: others lose their accents, or become "?". A fraction is
    written out, 2⅓ as "2 1/3": never as another number."""
    text = _MIXED.sub(" ", unicodedata.normalize("NFC", text))
    return "".join(_spell_letter(letter) for letter in text)


def _spell_letter(letter: str) -> str:
    apart = unicodedata.normalize("NFKD", letter).translate(_PLAINLY)
    for way in (letter, apart):
        known = way.encode("cp1252", "ignore").decode("cp1252")
        if known:
            return known
    return "?"


def measure_words(text: str, size: float, bold: bool = False) -> float:
    """Width of ``text`` at ``size``, both mm."""
    return float(stringWidth(spell(text), name_font(bold), size))


def fit_size(text: str, width: float, most: float, bold: bool = False) -> float:
    """The largest size, at most ``most``, at which ``text`` is no wider than ``width``; mm."""
    wide = measure_words(text, 1.0, bold)
    return min(most, width / wide) if wide else most


def shorten(text: str, width: float, size: float, bold: bool = False) -> str:
    """``text``, or as many of its words as fit with an ellipsis after them."""
    words = text.split()
    kept = " ".join(words)
    while words and measure_words(kept, size, bold) > width:
        words.pop()
        kept = " ".join(words).rstrip(",;") + " …"
    return kept if words else ""


def wrap(text: str, width: float, size: float, bold: bool = False) -> tuple[str, ...]:
    """``text`` on lines no wider than ``width``, parted between words; a word that is too long for
    a line is parted anywhere. One line at least."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if measure_words(longer, size, bold) <= width:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if lines[-1] and measure_words(lines[-1] + letter, size, bold) > width:
                lines.append("")
            lines[-1] += letter
    return tuple(lines)


def fit_lines(
    text: str, width: float, height: float, most: float, bold: bool = False
) -> tuple[tuple[str, ...], float]:
    """``text`` on as many lines as let it be largest in ``width`` by ``height``, and its size; mm.

    Short text stays on one line. Lines are parted after ``-``, ``_`` or ``.`` where there is one
    near, else anywhere.
    """
    choices: list[tuple[str, ...]] = [(text,)]
    if len(text) > _LONG:
        choices += [tuple(_part(text, lines)) for lines in range(2, _LINES + 1)]

    def size_of(lines: tuple[str, ...]) -> float:
        high = height / (CAP + (len(lines) - 1) * _LEADING)
        return min(high, *(fit_size(line, width, most, bold) for line in lines))

    best = max(choices, key=size_of)
    return best, size_of(best)


def leading(size: float) -> float:
    """From one line to the next, mm."""
    return _LEADING * size


def _part(text: str, lines: int) -> Iterator[str]:
    rest = text
    for left in range(lines, 1, -1):
        aim = len(rest) / left
        ends = [end for end in _ends(rest) if abs(end - aim) <= aim / 2]
        end = min(ends, key=lambda end: abs(end - aim)) if ends else round(aim)
        yield rest[:end]
        rest = rest[end:]
    yield rest


def _ends(text: str) -> list[int]:
    return [found.end() for found in re.finditer(r"[-_.\s]+", text) if found.end() < len(text)]
