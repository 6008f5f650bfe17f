"""A small library with a photograph, and its marking page open on this machine."""

from __future__ import annotations

import http.client
import queue
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import numpy as np
from PIL import Image

from builder.collect.marking import mark_photo

ORIENTATION = 0x0112  # Exif 2.32 (CIPA DC-008)
_TURN_RIGHT = 6  # "the 0th row is the visual right-hand side": 90° clockwise shows it upright
CARD = (
    "CGATS.17\nWHITE_POINT D65\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
    "BEGIN_DATA\nA1 92 0 0\nA2 40 0 0\nB1 60 20 10\nB2 22 0 0\nEND_DATA\n"
)
SETTINGS = """\
# our own library
site_name: Bench tests
plugins:
  - search
  - patinarium:
      # where things lie
      setups:
        bench:  # the north window
          card: card.txt   # two by two
          piece_at: [[0.2, 0.2], [0.5, 0.2], [0.5, 0.8], [0.2, 0.8]]  # by eye
          card_at: [[0.6, 0.2], [0.9, 0.2], [0.9, 0.5], [0.6, 0.5]]
        shelf:
          light: raking
nav: []  # none yet
"""
PIECE = ((0.25, 0.2), (0.55, 0.2), (0.55, 0.8), (0.25, 0.8))
SIZE = (900, 600)  # pixels, upright


def make_library(root: Path, settings: str = SETTINGS) -> Path:
    """Settings, a card and a photograph that its camera stored lying on its side."""
    root.mkdir(parents=True, exist_ok=True)
    (root / "mkdocs.yml").write_bytes(settings.encode())
    (root / "card.txt").write_text(CARD, encoding="utf-8")
    exif = Image.Exif()
    exif[ORIENTATION] = _TURN_RIGHT
    lying = draw_bench().transpose(Image.Transpose.ROTATE_90)
    lying.save(root / "bench.jpg", quality=92, exif=exif)
    return root


def draw_bench() -> Image.Image:
    """A pale bench with a copper piece at ``PIECE`` and a card of four patches."""
    width, height = SIZE
    rgb = np.full((height, width, 3), 214, dtype=np.uint8)
    (left, top), _, (right, bottom), _ = PIECE
    rgb[_part(top, bottom, height), _part(left, right, width)] = (150, 92, 66)
    for row, column, grey in ((0, 0, 232), (0, 1, 95), (1, 0, 150), (1, 1, 54)):
        down = _part(0.2 + 0.15 * row, 0.35 + 0.15 * row, height)
        across = _part(0.62 + 0.14 * column, 0.76 + 0.14 * column, width)
        rgb[down, across] = grey
    return Image.fromarray(rgb)


def _part(start: float, end: float, of: int) -> slice:
    return slice(round(start * of), round(end * of))


@dataclass
class OpenPage:
    """A marking under way: where its page is, what the terminal was told, how it ended."""

    address: str
    thread: threading.Thread
    said: list[str]
    failed: list[BaseException] = field(default_factory=list)


@contextmanager
def marking(library: Path, photo: str = "bench.jpg", setup: str = "bench") -> Iterator[OpenPage]:
    """The page of ``mark_photo`` for as long as the block lasts, or until it is told to stop."""
    told: queue.Queue[str] = queue.Queue()
    said: list[str] = []
    failed: list[BaseException] = []

    def say(words: str) -> None:
        said.append(words)
        told.put(words)

    def run() -> None:
        try:
            mark_photo(library, library / photo, setup, 0, False, say)
        except BaseException as error:
            failed.append(error)
            told.put("")

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    first = told.get(timeout=60)
    if not first:
        raise failed[0]
    address = first.split(": ")[-1]
    try:
        yield OpenPage(address, thread, said, failed)
    finally:
        stop(address)
        thread.join(timeout=60)
    assert not thread.is_alive()


def stop(address: str) -> None:
    """Say Done, if anybody still listens."""
    where = urlsplit(address)
    line = http.client.HTTPConnection(where.netloc, timeout=30)
    try:
        line.request("POST", where.path, '{"done": true}', {"Content-Type": "application/json"})
        line.getresponse().read()
    except ConnectionError:
        return
    finally:
        line.close()
