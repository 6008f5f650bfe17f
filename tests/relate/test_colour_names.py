from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest

from builder.measure.difference import delta_e_2000
from builder.measure.spaces import (
    D65,
    SRGB,
    adapt_white,
    as_lab,
    white_from_chromaticity,
    xyz_to_lab,
)
from builder.records.photo import Lab
from builder.relate.colour_names import (
    find_named,
    list_centroids,
    list_neutrals,
    name_colour,
    name_colours,
    spell_both,
)
from tests.reference import colour

DATA = Path(__file__).parents[1] / "data"
ILLUMINANT_C = white_from_chromaticity("C", (0.31006, 0.31616))  # CIE 15:2004, 2° observer
ROUNDED = 0.15  # ΔE00: the table has one place
#: The sRGB list is a monitor's: what lies outside its gamut was drawn in by some way not told.
STRONG = re.compile("vivid|brilliant|strong|deep")


def lab_of(hex_: str) -> Lab:
    rgb = np.array([int(hex_[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return as_lab(xyz_to_lab(SRGB.to_xyz @ SRGB.decode(rgb)))


def munsell(notation: str) -> Lab:
    """L*a*b* (D65) of a Munsell notation, by colour-science: renotation and ASTM D1535."""
    x, y, Y = colour.munsell_colour_to_xyY(notation.replace("N ", "N"))
    xyz = np.array([x * Y / y, Y, (1 - x - y) * Y / y])
    return as_lab(xyz_to_lab(adapt_white(xyz, ILLUMINANT_C, D65)))


def published() -> dict[str, Lab]:
    with (DATA / "iscc_nbs_srgb.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: lab_of(row["hex"]) for row in csv.DictReader(file)}


def test_there_are_267_blocks_numbered_from_one() -> None:
    assert [centroid.number for centroid in list_centroids()] == list(range(1, 268))


def test_the_middle_of_a_block_bears_the_name_of_the_block() -> None:
    centroids = list_centroids()
    assert name_colours([c.lab for c in centroids]) == tuple(c.name for c in centroids)


@pytest.mark.filterwarnings("ignore")  # colour-science's own, at the rim of the renotation
def test_the_table_is_what_its_munsell_notations_come_to() -> None:
    for centroid in list_centroids():
        if not re.search(r" 0\.\d/", centroid.munsell):  # below value 1 the renotation has nothing
            apart = float(delta_e_2000(munsell(centroid.munsell), centroid.lab))
            assert apart < ROUNDED, centroid.name


def test_names_agree_with_the_list_of_centroids_in_srgb() -> None:
    """Another working-out of the same centroids: NBS Special Publication 440's, in sRGB."""
    listed = published()
    assert set(listed) == {centroid.name for centroid in list_centroids()}
    muted = {name: lab for name, lab in listed.items() if not STRONG.search(name)}
    same = sum(name_colour(lab) == name for name, lab in muted.items())
    assert len(muted) > 150
    assert same / len(muted) > 0.9


#: Munsell chips with their blocks, by the charts of NBS Special Publication 440 (1976), section 13,
#: as transcribed with the R package munsellinterpol.
CHIPS = (
    ("7.5BG 5/4", "moderate bluish green"),
    ("5BG 7/2", "pale green"),
    ("5G 4/1", "dark greenish grey"),
    ("10GY 5/4", "moderate yellowish green"),
    ("5B 4/4", "moderate greenish blue"),
    ("5YR 3/4", "moderate brown"),
    ("10R 2/4", "dark reddish brown"),
    ("7.5YR 7/8", "moderate orange yellow"),
    ("5Y 2/2", "dark greyish olive"),
    ("2.5R 7/8", "strong pink"),
)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("chip", "name"), CHIPS)
def test_a_chip_from_within_a_block_bears_its_name(chip: str, name: str) -> None:
    assert name_colour(munsell(chip)) == name


#: Munsell value in the middle of each neutral block: the charts of NBS Special Publication 440.
GREYS = (
    ("9", "white"),
    ("7.5", "light grey"),
    ("5.5", "medium grey"),
    ("3.5", "dark grey"),
    ("1.25", "black"),
)
HUES = [
    f"{step}{hue}"
    for hue in ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
    for step in (2.5, 5, 7.5, 10)
]


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("value", "name"), GREYS)
def test_a_chip_within_chroma_a_half_bears_the_name_of_a_neutral(value: str, name: str) -> None:
    neutrals = {neutral.name for neutral in list_neutrals()}
    within = [munsell(f"{hue} {value}/0.44") for hue in HUES]
    beyond = [munsell(f"{hue} {value}/0.56") for hue in HUES]
    assert set(name_colours(within)) == {name}
    assert not neutrals & set(name_colours(beyond))


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(("border", "dark", "light"), [
    (2.5, "black", "dark grey"), (4.5, "dark grey", "medium grey"),
    (6.5, "medium grey", "light grey"), (8.5, "light grey", "white"),
])  # fmt: skip
def test_neutrals_meet_where_the_charts_have_it(border: float, dark: str, light: str) -> None:
    assert name_colour(munsell(f"N {border - 0.05}")) == dark
    assert name_colour(munsell(f"N {border + 0.05}")) == light


def test_screen_black_is_black_and_screen_white_white() -> None:
    assert name_colour((0.0, 0.0, 0.0)) == "black"
    assert name_colour((100.0, 0.0, 0.0)) == "white"


def test_a_name_is_found_again_in_either_spelling() -> None:
    assert find_named("Greyish green") == find_named("grayish  Green")
    assert name_colour(find_named("grayish green") or (0, 0, 0)) == "greyish green"
    assert find_named("a nice green") is None
    assert spell_both("greyish green") == "greyish green grayish green"
    assert spell_both("dark green") == "dark green"


def test_nothing_is_named_where_there_is_nothing() -> None:
    assert name_colours(()) == ()
