"""Large libraries, grown from the demo: its pieces over and over, under other numbers.

Each block of thirty has a prefix, a sheet of metal and a finish of its own, so that pieces of two
blocks never differ by one thing alone. No two photographs have the same bytes: the demo's picture
with its new name after its end, or, where a library is ``hollow``, the name alone. What was seen of
the demo's photographs can be written into the store as if the new ones had been read.
"""

from __future__ import annotations

import os
import re
import shutil
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from itertools import count, islice, product
from pathlib import Path
from string import ascii_uppercase

import numpy as np

from builder.digests import digest_file
from builder.holding import STORE
from builder.kept import Seen, Stamp, open_kept
from builder.measure.thumbnails import pack_thumbnail
from builder.pipeline import SIGHT, code_digest, fingerprint_of, plan_tasks
from builder.read.library import read_library
from builder.read.settings import read_settings_file
from builder.records.photo import THUMBNAIL_SIDE, Picture, WebImage
from builder.records.texts import fetch_text
from tests.pipeline.demo_library import ROOT, TODAY, gathered_demo, texts_of_demo

_PICTURES = frozenset({".jpg", ".jpeg", ".heic", ".tif", ".tiff", ".png"})
_SETTINGS = """\
site_name: Grown
theme: {name: material, font: false, features: [navigation.tabs]}
plugins:
  - search
  - patinarium:
      default_setup: bench
      setups:
        bench: {sheet: A4, card: sparrowhithe-card.txt, card_grid: [3, 3], card_mm: [70, 70]}
"""


@dataclass(frozen=True)
class Grown:
    """A library's folder, and how many pieces and photographs it has."""

    root: Path
    pieces: int
    photographs: int


def grow(root: Path, pieces: int, *, hollow: bool, seen: bool) -> Grown:
    """Make a library of so many pieces in ``root``, which is emptied. ``seen``: its photographs
    count as read."""
    shutil.rmtree(root, ignore_errors=True)
    samples = root / "samples"
    samples.mkdir(parents=True)
    (root / "docs").mkdir()
    (root / "mkdocs.yml").write_text(_SETTINGS, encoding="utf-8")
    shutil.copy(ROOT / "samples" / "sparrowhithe-card.txt", samples)
    folders = sorted(path for path in (ROOT / "samples").iterdir() if path.is_dir())
    photographs = 0
    endless = ((prefix, folder) for prefix in _prefixes() for folder in folders)
    for prefix, folder in islice(endless, pieces):
        photographs += _plant(folder, samples / _renumber(folder.name, prefix), prefix, hollow)
    if seen:
        _remember(root)
    return Grown(root, pieces, photographs)


def _prefixes() -> Iterator[str]:
    for length in count(2):
        yield from ("".join(letters) for letters in product(ascii_uppercase, repeat=length))


def _renumber(text: str, prefix: str) -> str:
    return re.sub(r"\bSH-(?=\d)", f"{prefix}-", text)


def _plant(source: Path, target: Path, prefix: str, hollow: bool) -> int:
    """One piece; how many photographs it has."""
    target.mkdir()
    pictures = 0
    for file in sorted(source.iterdir()):
        new = target / _renumber(file.name, prefix)
        if file.suffix.lower() in _PICTURES:
            pictures += 1
            name = new.name.encode()
            new.write_bytes(name if hollow else file.read_bytes() + _after_end(file, name))
        else:
            text = _renumber(file.read_text(encoding="utf-8"), prefix)
            if file.name == "sample.yaml" and "same_as:" not in text:
                text = re.sub(r"(?m)^(alloy|surface):.*\n", "", text)
                text += f"alloy: sheet {prefix}\nsurface: finish {prefix}\n"
            elif file.name == "sample.yaml":  # what a piece made like another has of its own
                text = re.sub(r"(?m)^(\s+(?:alloy|surface): .*)$", rf"\1 {prefix}", text)
            new.write_text(text, encoding="utf-8")
    return pictures


def _after_end(file: Path, name: bytes) -> bytes:
    """Bytes that no reader looks at; in HEIC a box of its own (ISO/IEC 14496-12, ``free``)."""
    return struct.pack(">I4s", len(name) + 8, b"free") + name if file.suffix == ".heic" else name


def _remember(root: Path) -> None:
    """Fill the store with what was seen of the demo, under the new names."""
    demo = gathered_demo()
    by_path = {one.file.path: one for one in demo.findings.observations}
    settings = read_settings_file(root)
    library = read_library(root, settings, TODAY)
    pictures = root / STORE / "pictures"
    pictures.mkdir(parents=True)
    code = code_digest(*SIGHT)
    rng = np.random.default_rng(1)
    with open_kept(root / STORE, root) as kept:
        for task in plan_tasks(library, pictures):
            path = task.photo.path
            prefix = path.split("/")[1].partition("-")[0]
            old = by_path.get(path.replace(f"{prefix}-", "SH-"))
            if old is None:
                continue
            picture = _rename(_fetch_grid(old.picture, texts_of_demo()), path, prefix, rng)
            picture = replace(picture, sha256=digest_file(root / path))
            for image in _images(old.picture):
                new = pictures / f"{prefix}{image.name}"
                if not new.exists():
                    os.link(demo.pictures / image.name, new)
            seen = Seen(picture, old.card, old.readings, None, picture.sha256, old.sheet)
            kept.keep(path, Stamp.of(root / path), fingerprint_of(task, code), seen)


def _images(picture: Picture) -> list[WebImage]:
    return [one for one in (*picture.webs, picture.view, picture.card_strip) if one]


def _fetch_grid(picture: Picture, texts: Mapping[str, str]) -> Picture:
    """The picture with the text of its squares in place."""
    if picture.grid is None:
        return picture
    packed = fetch_text(picture.grid.packed, texts)
    return replace(picture, grid=replace(picture.grid, packed=packed))


def _rename(picture: Picture, path: str, prefix: str, rng: np.random.Generator) -> Picture:
    """The same picture of another piece, taken at another time of that second."""

    def named(image: WebImage | None) -> WebImage | None:
        return replace(image, name=f"{prefix}{image.name}") if image else None

    taken = picture.exif.taken
    block = int.from_bytes(prefix.encode(), "big") % 1_000_000
    return replace(
        picture,
        path=path,
        exif=replace(picture.exif, taken=taken + timedelta(microseconds=block) if taken else None),
        webs=tuple(image for image in map(named, picture.webs) if image),
        view=named(picture.view),
        card_strip=named(picture.card_strip),
        labels=tuple(label.replace("SH-", f"{prefix}-") for label in picture.labels),
        thumbnail=pack_thumbnail(rng.integers(0, 255, (THUMBNAIL_SIDE,) * 2, dtype=np.uint8)),
    )
