"""How often words in the frame are found, and how often something else is taken for them.

The rates are those that docs/privacy.md tells; the pictures are drawn, but for those of
scikit-image (BSD, skimage.data), which are real ones of no words.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import skimage.data
from PIL import Image

from builder.look.blurring import blur
from builder.look.lettering import find_lettering
from tests.look.drawn_words import draw

SEEDS = range(20)
#: Of twenty.
FOUND = {"letterhead": 17, "number": 11, "hand": 18}
#: Real pictures without words that can be read, and those of them that raise a false alarm: rows of
#: coins, cells of a stained slide, spokes and fins.
NO_WORDS = (
    "astronaut.png", "brick.png", "camera.png", "cell.png", "chelsea.png", "chessboard_GRAY.png",
    "chessboard_RGB.png", "clock_motion.png", "coffee.png", "coins.png", "color.png", "grass.png",
    "gravel.png", "horse.png", "hubble_deep_field.jpg", "ihc.png", "logo.png",
    "microaneurysms.png", "moon.png", "motorcycle_left.png", "motorcycle_right.png",
    "phantom.png", "retina.jpg", "rocket.jpg",
)  # fmt: skip
ALARMS = {"coins.png", "ihc.png", "motorcycle_left.png", "motorcycle_right.png"}


@pytest.mark.parametrize("kind", FOUND)
def test_most_words_are_found(kind: str) -> None:
    assert sum(bool(find_lettering(draw(kind, seed))) for seed in SEEDS) >= FOUND[kind]


def test_nothing_is_found_where_nothing_is() -> None:
    assert not [seed for seed in SEEDS if find_lettering(draw("nothing", seed))]


@pytest.mark.parametrize("name", NO_WORDS)
def test_few_real_pictures_of_no_words_raise_an_alarm(name: str) -> None:
    file = Path(skimage.data.__file__).parent / name
    if not file.is_file():
        pytest.skip("this release of scikit-image comes without it")
    with Image.open(file) as picture:
        assert not find_lettering(picture.convert("RGB")) or name in ALARMS


def test_words_are_found_where_they_are_and_not_where_they_are_known() -> None:
    picture = draw("letterhead", 0)
    places = find_lettering(picture)
    assert places
    known = [[(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]
             for box in places]  # fmt: skip
    assert find_lettering(picture, known) == ()
    hidden = blur(np.asarray(picture), places)
    assert find_lettering(Image.fromarray(hidden)) == ()


@pytest.mark.parametrize("size", [(1, 1), (7, 9), (3, 4000)])
def test_a_picture_of_any_size_is_looked_at(size: tuple[int, int]) -> None:
    noise = np.random.default_rng(0).integers(0, 256, (*size, 3)).astype(np.uint8)
    assert isinstance(find_lettering(Image.fromarray(noise)), tuple)
