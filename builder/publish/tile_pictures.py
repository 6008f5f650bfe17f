"""Pictures as small as a tile shows them: cut once from the views, kept with the made pictures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from PIL import Image

from builder.digests import digest_bytes
from builder.look.web import QUALITY, encode_jpeg
from builder.publish.pictures import FOLDER, Shown

PREFIX = "tile-"
#: Pixels over a tile's mat, which takes some 200 of a page: finer screens gain little by more, and
#: the bytes of a first view grow with it.
_OVER_MAT = 320
_UNSCALED_OF_MAT = 60.0  # %, of a picture whose size is not known


def cut_tile_pictures(pictures: Iterable[Shown], made: Path) -> dict[str, Shown]:
    """For each picture of a whole piece by its address: the same, as small as a tile needs it.

    One that is small enough as it is, or cannot be opened, is left out. Raises ``OSError`` where
    the folder ``made`` cannot be written to.
    """
    cut = {}
    for shown in pictures:
        width = round(_OVER_MAT * (shown.of_mat or _UNSCALED_OF_MAT) / 100)
        height = max(1, round(shown.height * width / shown.width))
        source = made / Path(shown.src).name
        if width >= shown.width or shown.crop or not source.is_file():
            continue
        key = digest_bytes(f"{source.name} {width} {QUALITY}".encode())[:16]
        name = f"{PREFIX}{key}.jpg"
        if (made / name).is_file() or _cut(source, width, height, made / name):
            cut[shown.src] = replace(shown, src=f"{FOLDER}/{name}", width=width, height=height)
    return cut


def list_tile_names(cut: Mapping[str, Shown]) -> tuple[str, ...]:
    """File names of the small pictures in the folder they were made in."""
    return tuple(sorted({Path(shown.src).name for shown in cut.values()}))


def _cut(source: Path, width: int, height: int, file: Path) -> bool:
    try:
        with Image.open(source) as image:
            image.draft("RGB", (width, height))  # a JPEG decoded no larger than is wanted
            small = image.convert("RGB").resize((width, height), Image.Resampling.LANCZOS)
    except (OSError, SyntaxError, ValueError):
        return False  # the view itself is shown
    unfinished = file.with_suffix(".part")
    unfinished.write_bytes(encode_jpeg(small))
    unfinished.replace(file)
    return True
