"""A picture of twelve megapixels is looked at reduced, and read as the one it was enlarged from."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from builder.kept import Seen
from builder.look.opening import Opened
from builder.measure.difference import delta_e_2000
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.read.settings import read_settings_file
from builder.records.photo import PhotoFile
from tests.observing.test_places import LIBRARY, PHOTO, bench

LARGE = (4000, 3000)
# Enlarging and encoding anew move a mean by a tenth of what noise does: by experiment, 0.03.
SAME = 0.1
JUST_SEEN_OF_U = 0.1


@cache
def settings():
    return read_settings_file(LIBRARY)


def task(folder: Path, name: str, **changes: object) -> Task:
    (folder / "pictures").mkdir(exist_ok=True)
    return Task(
        folder,
        folder / "pictures",
        PhotoFile(name, "SH-002"),
        bench(),
        (),
        replace(settings(), web_widths=(480,), **changes),  # type: ignore[arg-type]
    )


@pytest.fixture
def both(tmp_path: Path) -> tuple[Seen, Seen]:
    with Image.open(LIBRARY / "samples" / PHOTO) as image:
        image.convert("RGB").save(tmp_path / "small.jpg", quality=95)
        large = image.convert("RGB").resize(LARGE, Image.Resampling.BICUBIC)
        large.save(tmp_path / "large.jpg", quality=95)
    return see(task(tmp_path, "small.jpg")), see(task(tmp_path, "large.jpg"))


@pytest.fixture
def unasked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever asks for all pixels as an array is told."""

    def refuse(_: Opened) -> None:
        raise AssertionError("all pixels were asked for")

    monkeypatch.setattr(Opened, "rgb", property(refuse))


def test_it_reads_as_the_smaller_one(both: tuple[Seen, Seen]) -> None:
    (small,), (large,) = both[0].readings, both[1].readings
    assert delta_e_2000(np.array(small.mean), np.array(large.mean)) < SAME
    assert delta_e_2000(np.array(small.colours[0].lab), np.array(large.colours[0].lab)) < SAME
    assert abs(small.u - large.u) < JUST_SEEN_OF_U
    assert (large.withheld, large.flags) == (small.withheld, small.flags)
    assert (large.clipped_pct, large.glare_pct) == pytest.approx(
        (small.clipped_pct, small.glare_pct), abs=0.1
    )


def test_its_size_and_scale_are_its_own(both: tuple[Seen, Seen]) -> None:
    small, large = both
    assert small.picture is not None and large.picture is not None
    assert small.sheet is not None and large.sheet is not None
    assert (large.picture.width, large.picture.height) == LARGE
    times = LARGE[0] / small.picture.width
    assert large.sheet.mm_per_px == pytest.approx(small.sheet.mm_per_px / times, rel=1e-3)
    assert large.picture.labels == small.picture.labels
    assert large.picture.view_mm == small.picture.view_mm
    views = [seen.picture.view for seen in both if seen.picture]
    assert views[0] and views[1]
    assert (views[0].width, views[0].height) == (views[1].width, views[1].height)


@pytest.mark.usefixtures("unasked")
def test_its_pixels_are_never_all_unpacked(tmp_path: Path) -> None:
    with Image.open(LIBRARY / "samples" / PHOTO) as image:
        image.convert("RGB").resize(LARGE).save(tmp_path / "large.jpg", quality=90)
    seen = see(task(tmp_path, "large.jpg"))
    assert seen.readings and not seen.readings[0].withheld


def test_a_view_finer_than_the_reduced_picture_is_cut_from_all_pixels(tmp_path: Path) -> None:
    with Image.open(LIBRARY / "samples" / PHOTO) as image:
        large = np.array(image.convert("RGB").resize(LARGE, Image.Resampling.BICUBIC))
    # A checkerboard a pixel wide: gone where four are averaged.
    board = 12 * ((np.add.outer(np.arange(LARGE[1]), np.arange(LARGE[0])) % 2) * 2 - 1)
    large = np.clip(large.astype(int) + board[..., None], 0, 255).astype(np.uint8)
    Image.fromarray(large).save(tmp_path / "fine.png")
    rough = {}
    for width in (500, 1200):
        seen = see(task(tmp_path, "fine.png", view_width=width))
        assert seen.picture and seen.picture.view
        with Image.open(tmp_path / "pictures" / seen.picture.view.name) as view:
            grey = np.asarray(view.convert("L")).astype(int)
        middle = grey[200:400, 200:400]
        rough[width] = float(np.abs(np.diff(middle, axis=1)).mean())
    assert rough[1200] > 2 * rough[500]
