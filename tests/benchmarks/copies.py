"""How far copies of a photograph lie from it, and other photographs: ``builder.relate.copies``.

``python -m tests.benchmarks.copies [folder]`` opens every photograph of the folder (``samples``),
makes its copies and prints the misfits; some two minutes. ``--stand SH-004 SH-014`` draws those
pieces under a camera that never moves instead, and prints the nearest of their photographs.
"""

from __future__ import annotations

import argparse
import dataclasses
import io
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.look.formats import ENDINGS
from builder.look.opening import open_original
from builder.look.thumbnails import shrink
from builder.measure.thumbnails import describe, misfit_cropped, misfit_whole
from builder.records.settings import Limits
from tests.studio import camera, scene
from tests.studio.diary import Shot, list_shots
from tests.studio.files import draw, file_name
from tests.studio.lying import Lie, lie_of
from tests.studio.paint import prepare
from tests.studio.pieces import read_pieces

Picture = NDArray[np.uint8]
Floats = NDArray[np.float64]
SCREEN = 900  # pixels high
_NEAREST = 6
_QUANTILES = (0.5, 0.99, 1.0)


def copies_of(rgb: Picture) -> Iterator[tuple[str, Picture]]:
    """What becomes of a picture on its way through other hands, by name."""
    image = Image.fromarray(rgb)
    width, height = image.size
    yield "re-encoded", _encode(image, 60)
    yield "half the size", _encode(image.resize((width // 2, height // 2)))
    yield "10 % lighter", _encode(image.point(lambda value: min(255, round(value * 1.1))))
    yield "10 % darker", _encode(image.point(lambda value: round(value * 0.9)))
    yield "at a screen's size", np.asarray(image.resize((SCREEN * width // height, SCREEN)))
    for name, left, top, right, bottom in (
        ("cropped all round", 0.015, 0.015, 0.015, 0.015),
        ("cropped at two sides", 0.03, 0.0, 0.0, 0.03),
    ):
        box = (left * width, top * height, (1 - right) * width, (1 - bottom) * height)
        yield name, _encode(image.crop(tuple(map(round, box))))  # type: ignore[arg-type]


def tiny(rgb: Picture) -> Floats:
    return shrink(rgb).astype(np.float64)


def measure_folder(folder: Path) -> None:
    endings = {ending for kinds in ENDINGS.values() for ending in kinds}
    files = sorted(file for file in folder.rglob("*") if file.suffix.lower() in endings)
    originals: dict[str, Floats] = {}
    copies: dict[str, list[tuple[float, float, float]]] = {}
    for file in files:
        opened = open_original(folder, file.relative_to(folder).as_posix(), Limits())
        if opened.sha256 in originals:
            continue
        original = originals[opened.sha256] = tiny(opened.rgb)
        for name, rgb in copies_of(opened.rgb):
            copy = tiny(rgb)
            traits = float(np.abs(describe(original) - describe(copy)).max())
            misfits = misfit_whole(original, copy), misfit_cropped(original, copy)
            copies.setdefault(name, []).append((*misfits, traits))
    print(f"{len(originals)} photographs; middling, 99 in 100, worst copy")
    for name, found in copies.items():
        print(f"{name:22}", *(_say(values) for values in zip(*found, strict=True)), sep="  ")
    print_nearest(list(originals.values()))


def print_nearest(thumbnails: list[Floats]) -> None:
    """The nearest that are no copies: whole, and cropped among each one's nearest four."""
    whole = np.full((len(thumbnails),) * 2, np.inf)
    for one, two in combinations(range(len(thumbnails)), 2):
        whole[one, two] = whole[two, one] = misfit_whole(thumbnails[one], thumbnails[two])
    cropped = sorted(
        misfit_cropped(thumbnails[one], thumbnails[two])
        for one in range(len(thumbnails))
        for two in np.argsort(whole[one])[:4]
        if one != two
    )
    print("nearest others, whole  ", np.sort(whole[np.triu_indices_from(whole, 1)])[:_NEAREST])
    print("nearest others, cropped", np.array(cropped[:_NEAREST]))


def draw_on_a_stand(numbers: list[str]) -> list[Floats]:
    """The pieces' photographs under one view, with only the piece laid anew."""
    first: list[Lie] = []

    def lie_on_stand(shot: Shot) -> Lie:
        lie = lie_of(shot)
        first.append(lie)
        return dataclasses.replace(lie, view=first[0].view, card=first[0].card)

    scene.lie_of = camera.lie_of = lie_on_stand
    thumbnails = []
    for number in numbers:
        shots = list_shots(read_pieces()[number])
        blank = prepare(shots[0])
        for shot in shots:
            thumbnails.append(tiny(draw(shot, blank).pixels))
            print("drawn", file_name(shot), flush=True)
    return thumbnails


def _encode(image: Image.Image, quality: int = 80) -> Picture:
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=quality)
    return np.asarray(Image.open(stream).convert("RGB"))


def _say(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:.4f}" for value in np.quantile(values, _QUANTILES))


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.copies", description=__doc__)
    parser.add_argument("folder", type=Path, nargs="?", default=Path("samples"))
    parser.add_argument("--stand", nargs="+", metavar="SH-004", help="draw these on a fixed stand")
    wanted = parser.parse_args()
    if wanted.stand:
        print_nearest(draw_on_a_stand(wanted.stand))
    else:
        measure_folder(wanted.folder)


if __name__ == "__main__":
    main()
