"""Setting text on a picture: the fonts that come with the house, and lines that fit.

Inter (SIL Open Font License 1.1, licence beside the files), cut down to European scripts. The plain
layout engine is asked for, so that the same text gives the same pixels on every machine.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from PIL import ImageDraw, ImageFont

_FILES = Path(__file__).parent / "type"
# Of the font's size: room for accents above and tails below, and air between lines.
_LEADING = 1.38
#: No block of text on a plate needs more; a stranger's endless text ends here.
MOST_LINES = 40


@dataclass(frozen=True)
class Style:
    """How text is set: ``size`` in pixels, ``colour`` in RGB, ``strong`` for the heavier weight."""

    size: int
    colour: tuple[int, int, int]
    strong: bool = False

    @property
    def leading(self) -> int:
        """Pixels from one line to the next."""
        return round(self.size * _LEADING)

    @property
    def font(self) -> ImageFont.FreeTypeFont:
        return _load(self.strong, self.size)


@dataclass(frozen=True)
class Block:
    """Lines that are known to fit their width."""

    lines: tuple[str, ...]
    style: Style

    @property
    def height(self) -> int:
        return len(self.lines) * self.style.leading

    def paint(self, draw: ImageDraw.ImageDraw, left: int, top: int) -> None:
        """Draw with the first line's top at ``top``."""
        for number, line in enumerate(self.lines):
            baseline = top + number * self.style.leading + self.style.size
            draw.text((left, baseline), line, self.style.colour, font=self.style.font, anchor="ls")


def set_text(text: str, style: Style, width: int) -> Block:
    """``text`` broken into lines of at most ``width`` pixels; a word wider than that is broken
    where it must be."""
    lines: list[str] = []
    for paragraph in text.splitlines():
        lines += _break(paragraph, style.font, width)
    if len(lines) > MOST_LINES:
        lines = [*lines[: MOST_LINES - 1], "…"]
    return Block(tuple(lines), style)


def _break(paragraph: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    lines: list[str] = []
    line = ""
    for word in _printable(paragraph).split():
        joined = f"{line} {word}" if line else word
        if font.getlength(joined) <= width:
            line = joined
            continue
        if line:
            lines.append(line)
        *full, line = _cut(word, font, width)
        lines += full
        if len(lines) > MOST_LINES:
            break
    if line:
        lines.append(line)
    return lines


def _cut(word: str, font: ImageFont.FreeTypeFont, width: int) -> list[str]:
    parts = [""]
    for character in word:
        if parts[-1] and font.getlength(parts[-1] + character) > width:
            parts.append("")
        parts[-1] += character
        if len(parts) > MOST_LINES:
            break
    return parts


def _printable(text: str) -> str:
    return "".join(character if character.isprintable() else " " for character in text)


@cache
def _load(strong: bool, size: int) -> ImageFont.FreeTypeFont:
    name = "inter-semibold.ttf" if strong else "inter-regular.ttf"
    return ImageFont.truetype(str(_FILES / name), size, layout_engine=ImageFont.Layout.BASIC)
