"""Files from strangers: whatever their bytes, a picture comes out or a PictureError."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from builder.errors import PictureError
from builder.look.opening import open_original
from builder.records.settings import Limits
from tests.look.icc_writing import curv, matrix_profile
from tests.look.pictures import encode, exif_with
from tests.look.test_icc import d50_colorants

# Small enough that a mutated size cannot cost minutes.
SMALL = Limits(pixels=4_000_000)


def whole_picture(kind: str) -> bytes:
    noise = np.random.default_rng(8).integers(0, 256, (24, 32, 3), dtype=np.uint8)
    exif = exif_with(main={0x0112: 6, 0x010F: "Barnlight"}, camera={0x9003: "2024:10:01 12:00:00"})
    icc = matrix_profile(d50_colorants("Display P3"), [curv(563)] * 3)
    return encode(Image.fromarray(noise), kind, exif=exif, icc_profile=icc)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WebP", "HEIC"])
@settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_mutated_picture_opens_or_is_refused(
    tmp_path: Path, kind: str, data: st.DataObject
) -> None:
    picture = bytearray(whole_picture(kind))
    # The headers of all kinds lie at the start: half of the damage goes there.
    head = st.integers(0, min(200, len(picture) - 1))
    anywhere = st.integers(0, len(picture) - 1)
    for _ in range(data.draw(st.integers(1, 20))):
        picture[data.draw(head | anywhere)] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(picture)) | st.just(len(picture)))
    (tmp_path / "a.jpg").write_bytes(bytes(picture[:cut]))
    try:
        opened = open_original(tmp_path, "a.jpg", SMALL)
    except PictureError:
        return
    assert opened.rgb.dtype == np.uint8
    assert opened.rgb.shape[2] == 3
