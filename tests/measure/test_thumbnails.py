from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from builder.measure.thumbnails import (
    describe,
    misfit_cropped,
    misfit_whole,
    pack_thumbnail,
    read_thumbnail,
)
from builder.records.photo import THUMBNAIL_SIDE

Floats = NDArray[np.float64]
LARGE = 640  # pixels of the picture that a thumbnail is made of, square


def picture(seed: int = 1) -> Image.Image:
    """Blots of several sizes, the finest a tenth of the picture."""
    chance = np.random.default_rng(seed)
    y, x = np.mgrid[:LARGE, :LARGE] / LARGE
    values = np.full((LARGE, LARGE), 60.0)
    for _ in range(40):
        at, wide = chance.uniform(0, 1, 2), chance.uniform(0.05, 0.25)
        off = np.hypot(x - at[0], y - at[1])
        values += chance.uniform(-40, 60) * np.exp(-((off / wide) ** 2))
    return Image.fromarray(np.clip(values, 0, 255).astype(np.uint8))


def tiny(image: Image.Image) -> Floats:
    size = (THUMBNAIL_SIDE, THUMBNAIL_SIDE)
    return np.asarray(image.resize(size, Image.Resampling.BICUBIC), dtype=np.float64)


def test_what_is_packed_comes_back() -> None:
    grey = tiny(picture()).astype(np.uint8)
    packed = pack_thumbnail(grey)
    assert len(packed) < 1500
    np.testing.assert_array_equal(read_thumbnail(packed), grey)


@pytest.mark.parametrize("text", ["", "AAAA", "not base64!"])
def test_a_broken_text_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        read_thumbnail(text)


def test_brightness_and_contrast_make_no_misfit() -> None:
    one = tiny(picture())
    assert misfit_whole(one, 0.7 * one + 20) == pytest.approx(0, abs=1e-6)


def test_misfit_is_what_correlation_leaves() -> None:
    one, two = tiny(picture(1)), tiny(picture(2))
    correlation = np.corrcoef(one.ravel(), two.ravel())[0, 1]
    # Of a least-squares line 1 − r² of the variance is left: any textbook of statistics.
    assert misfit_whole(one, two) == pytest.approx(np.sqrt(1 - correlation**2))


@pytest.mark.parametrize(
    "sides", [(0.03, 0, 0, 0), (0.015, 0.015, 0.015, 0.015), (0, 0.03, 0.05, 0)]
)
def test_a_crop_is_found_again(sides: tuple[float, float, float, float]) -> None:
    top, bottom, left, right = (round(side * LARGE) for side in sides)
    whole = picture()
    part = whole.crop((left, top, LARGE - right, LARGE - bottom))
    assert misfit_cropped(tiny(whole), tiny(part)) < 0.01
    assert misfit_whole(tiny(whole), tiny(part)) > 0.05


def test_another_picture_is_no_crop() -> None:
    assert misfit_cropped(tiny(picture(1)), tiny(picture(2))) > 0.3


def test_a_blank_picture_is_like_none() -> None:
    blank = np.full((THUMBNAIL_SIDE, THUMBNAIL_SIDE), 128.0)
    assert misfit_whole(blank, tiny(picture())) == 1.0
    assert misfit_cropped(tiny(picture()), blank) == 1.0
    assert np.isnan(describe(blank)).all()


def test_traits_are_coarse_cosines() -> None:
    n = THUMBNAIL_SIDE
    wave = np.cos(np.pi * (np.arange(n) + 0.5) * 2 / n)
    traits = describe(128 + 50 * np.tile(wave, (n, 1)))
    # One wave alone holds all of the contrast, by Parseval's theorem.
    assert sorted(np.abs(traits))[-1] == pytest.approx(1.0)
    assert sorted(np.abs(traits))[-2] == pytest.approx(0.0, abs=1e-9)
