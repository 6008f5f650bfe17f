"""The files carry the faults that were planted in them, and nothing else of the kind."""

from __future__ import annotations

import io

import exifread
import numpy as np
import pi_heif
import pytest
from PIL import Image, ImageCms
from PIL.JpegImagePlugin import JpegImageFile

from tests.studio import faults
from tests.studio.colours import P3_PRIMARIES, SRGB_PRIMARIES
from tests.studio.diary import Shot, list_all_shots, list_shots
from tests.studio.files import encode, file_name, folder_of
from tests.studio.pieces import read_pieces
from tests.studio.profiles import write_profile

#: Chromaticities of primaries after two roundings to 1/65536 and the way to D50 and back.
ROUNDED = 0.0015


def _shot(key: tuple[str, int]) -> Shot:
    number, planned = key
    return next(s for s in list_shots(read_pieces()[number]) if s.planned == planned)


def _blank() -> np.ndarray:
    """A picture with a light left half and a dark right one."""
    pixels = np.full((1200, 1600, 3), 40, dtype=np.uint8)
    pixels[:, :800] = 200
    return pixels


def _tags(data: bytes) -> dict[str, object]:
    return dict(exifread.process_file(io.BytesIO(data), details=False))


def test_every_picture_says_when_and_with_what_it_was_taken() -> None:
    for shot in (_shot(("SH-012", 91)), _shot(("SH-012", 365))):
        tags = _tags(encode(shot, _blank()))
        assert str(tags["EXIF DateTimeOriginal"]) == f"{shot.taken:%Y:%m:%d %H:%M:%S}"
        assert str(tags["EXIF OffsetTimeOriginal"]) in ("+00:00", "+01:00")
        assert str(tags["Image Model"]) == shot.camera


def test_positions_are_in_the_planted_pictures_only() -> None:
    with_position = {
        (shot.piece.number, shot.planned)
        for shot in list_all_shots()
        if shot.planned in (0, 91, 365) and shot.piece.index in (1, 2, 8, 22)
        if "GPS GPSLatitude" in _tags(encode(shot, _blank())) and file_name(shot).endswith(".jpg")
    }
    assert with_position == set(faults.POSITION_IN_EXIF)


def test_one_position_lies_in_the_thumbnail_alone() -> None:
    data = encode(_shot(faults.POSITION_IN_THUMBNAIL), _blank())
    tags = exifread.process_file(io.BytesIO(data))
    assert "GPS GPSLatitude" not in tags
    inner = exifread.process_file(io.BytesIO(tags["JPEGThumbnail"]))
    assert str(inner["GPS GPSLatitude"]) == "[0, 0, 0]"


def test_the_turned_picture_is_upright_once_its_tag_is_followed() -> None:
    data = encode(_shot(faults.TURNED_BY_TAG), _blank())
    stored = Image.open(io.BytesIO(data))
    assert stored.size == (1200, 1600)
    assert stored.getexif()[0x0112] == 6
    # Orientation 6: turn a quarter clockwise (Exif 2.32, 4.6.4).
    upright = np.asarray(stored.transpose(Image.Transpose.ROTATE_270))
    assert upright[600, 100].mean() > 180
    assert upright[600, 1500].mean() < 60


def test_colour_is_kept_finer_than_lightness() -> None:
    # ISO/IEC 10918-1, annex K: at one quality the table of colour is the coarser of the two.
    opened = Image.open(io.BytesIO(encode(_shot(("SH-012", 91)), _blank())))
    assert isinstance(opened, JpegImageFile)
    lightness, tint = opened.quantization[0], opened.quantization[1]
    assert tint[0] < lightness[0] and sum(tint) < sum(lightness)


def test_the_wide_gamut_picture_is_heic_and_says_so() -> None:
    shot = _shot(faults.WIDE_GAMUT_HEIC)
    assert file_name(shot).endswith(".heic")
    opened = pi_heif.open_heif(io.BytesIO(encode(shot, _blank())))
    profile = ImageCms.ImageCmsProfile(io.BytesIO(opened.info["icc_profile"]))
    assert ImageCms.getProfileDescription(profile).strip() == "Display P3"


@pytest.mark.parametrize(("name", "primaries"), [("sRGB", SRGB_PRIMARIES),
                                                 ("Display P3", P3_PRIMARIES)])  # fmt: skip
def test_a_profile_holds_its_primaries(
    name: str, primaries: tuple[tuple[float, float], ...]
) -> None:
    read = ImageCms.ImageCmsProfile(io.BytesIO(write_profile(name))).profile
    # The colour engine undoes the adaptation it finds in the profile.
    found = read.chromaticity
    assert found is None or np.array(found)[:, :2] == pytest.approx(
        np.array(primaries), abs=ROUNDED
    )
    transform = ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(write_profile(name))),
        ImageCms.createProfile("sRGB"), "RGB", "RGB",
    )  # fmt: skip
    swatch = Image.new("RGB", (1, 1), (120, 140, 130))
    back = ImageCms.applyTransform(swatch, transform)
    assert back is not None
    red, green, blue = back.getpixel((0, 0))  # type: ignore[misc]
    if name == "sRGB":
        assert abs(red - 120) <= 1 and abs(green - 140) <= 1 and abs(blue - 130) <= 1
    else:
        assert red < 120 and green in (140, 141)  # P3's green is further out


def test_one_picture_lies_in_a_strange_folder() -> None:
    strayed = [s for s in list_all_shots() if folder_of(s) != s.piece.number]
    assert [(s.piece.number, s.planned, folder_of(s)) for s in strayed] == [faults.MISFILED]


def test_looks_are_missing_late_wet_and_misdated_as_planted() -> None:
    shots = list_all_shots()
    keys = {(s.piece.number, s.planned) for s in shots}
    assert faults.MISSING_RECHECK not in keys
    assert [s.piece.number for s in shots if s.state == "wet"] == [faults.WET]
    assert _shot(faults.LATE_RECHECK[:2]).days == faults.LATE_RECHECK[2]
    assert _shot(faults.CLOCK_RESET).taken == faults.RESET_TO
