"""What is blurred is blurred in every picture that is made, and measured as if it were not."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import segno
from numpy.typing import NDArray
from PIL import Image

from builder.kept import Seen
from builder.measure.grids import read_grid
from builder.observing.seeing import see
from builder.observing.task import Task
from builder.pipeline import fingerprint_of
from builder.read.settings import read_settings_file
from builder.records.photo import Box, PhotoFile, WebImage
from builder.records.settings import Settings, SetUp
from tests.look.drawn_words import draw

LIBRARY = Path(__file__).parents[2]
PHOTO = "SH-002/SH-002_2024-09-26_recheck_front.jpg"
ON_PIECE: Box = (0.2, 0.3, 0.35, 0.5)
ON_CARD: Box = (0.64, 0.28, 0.74, 0.4)


@cache
def settings() -> Settings:
    return read_settings_file(LIBRARY)


def bench() -> SetUp:
    setup = settings().setup_named("bench")
    assert setup is not None
    return setup


@cache
def original() -> NDArray[np.uint8]:
    with Image.open(LIBRARY / "samples" / PHOTO) as image:
        return np.asarray(image.convert("RGB"))


@cache
def noted() -> NDArray[np.uint8]:
    """The photograph with a slip of paper in its frame, on which a stranger's code stands."""
    code = io.BytesIO()
    segno.make_qr("13 Quay Lane").save(code, kind="png", scale=4, border=2)
    picture = Image.fromarray(original().copy())
    with Image.open(code) as mark:
        picture.paste(mark.convert("RGB"), (834, 800))
    return np.asarray(picture)


def see_blurred(folder: Path, *boxes: Box, picture: NDArray[np.uint8] | None = None) -> Seen:
    (folder / "pictures").mkdir(parents=True)
    shown = original() if picture is None else picture
    Image.fromarray(shown).save(folder / "shot.jpg", quality=92)
    return see(
        Task(
            folder, folder / "pictures", PhotoFile("shot.jpg", "SH-002"),
            replace(bench(), blur=boxes), (), replace(settings(), web_widths=(480,)),
        )
    )  # fmt: skip


def load(folder: Path, image: WebImage | None) -> NDArray[np.float64]:
    assert image is not None
    with Image.open(folder / "pictures" / image.name) as picture:
        return np.asarray(picture.convert("RGB"), dtype=np.float64)


def test_every_picture_is_blurred_and_no_reading_is(tmp_path: Path) -> None:
    plain = see_blurred(tmp_path / "plain")
    hidden = see_blurred(tmp_path / "hidden", ON_PIECE, ON_CARD)
    assert (hidden.readings, hidden.card, hidden.sheet) == (plain.readings, plain.card, plain.sheet)
    assert hidden.sha256 == plain.sha256
    assert hidden.picture is not None and plain.picture is not None
    for name in ("view", "card_strip"):
        one, two = getattr(plain.picture, name), getattr(hidden.picture, name)
        assert one.name != two.name, name
    (web,), (bare,) = hidden.picture.webs, plain.picture.webs
    made, before = (load(tmp_path / f, w) for f, w in (("hidden", web), ("plain", bare)))
    part = np.s_[round(0.33 * web.height) : round(0.47 * web.height), 110:160]
    # Neighbours of a texture differ; of a blend of nine cells they hardly do.
    assert abs(np.diff(made[part], axis=1)).mean() < abs(np.diff(before[part], axis=1)).mean() / 3
    assert hidden.picture.grid is not None and plain.picture.grid is not None
    missing, all_there = (np.isnan(read_grid(s.picture.grid)).any(-1) for s in (hidden, plain))
    assert missing.sum() > all_there.sum() + 100
    assert hidden.picture.thumbnail != plain.picture.thumbnail


def test_blurring_reads_that_photograph_alone_again() -> None:
    task = Task(Path(), Path(), PhotoFile("samples/shot.jpg", "SH-002"), bench(), (), settings())
    other = replace(task, photo=replace(task.photo, blur=(ON_PIECE,)))
    stand = replace(task, setup=replace(bench(), blur=(ON_PIECE,)))
    assert len({fingerprint_of(one, "code") for one in (task, other, stand)}) == 3
    assert replace(other, setup=stand.setup).blur == (ON_PIECE, ON_PIECE)


def test_a_code_that_is_none_of_ours_is_told_by_its_place_alone(tmp_path: Path) -> None:
    seen = see_blurred(tmp_path / "plain", picture=noted())
    assert seen.picture is not None
    assert any(abs(box[0] - 842 / 1600) < 0.01 for box in seen.picture.lettering)
    assert "Quay" not in repr(seen)


def test_a_code_is_told_until_all_of_it_is_blurred(tmp_path: Path) -> None:
    part = see_blurred(tmp_path / "part", (0.5, 0.66, 0.56, 0.8), picture=noted())
    whole = see_blurred(tmp_path / "whole", (0.515, 0.65, 0.61, 0.79), picture=noted())
    assert part.picture is not None and part.picture.lettering
    assert whole.picture is not None and whole.picture.lettering == ()


@pytest.mark.parametrize("kind", ["letterhead", "hand"])
def test_words_beside_the_sheet_are_found_and_its_own_are_not(tmp_path: Path, kind: str) -> None:
    assert see_blurred(tmp_path / "plain").picture.lettering == ()  # type: ignore[union-attr]
    wide = Image.new("RGB", (1600, 2400))
    wide.paste(Image.fromarray(original()), (0, 0))
    wide.paste(draw(kind, 3), (0, 1200))
    seen = see_blurred(tmp_path / "beside", picture=np.asarray(wide))
    assert seen.picture is not None and seen.sheet is not None and not seen.sheet.rejected
    assert seen.picture.lettering and all(box[1] > 0.49 for box in seen.picture.lettering)
