from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from PIL import Image

from builder.publish.site import lay_out_site
from builder.publish.subjects import list_subjects, sort_key
from builder.publish.tile_pictures import cut_tile_pictures
from builder.publish.wall import (
    FIRST,
    SCRIPT,
    Tile,
    hang_wall,
    list_facets,
    sort_by_hue,
    wall_script,
)
from tests.publish.fixture import findings
from tests.publish.large_wall import hang_many, wall_html
from tests.publish.rendered import render_pages
from tests.telling.told import tell_students

FOUND = findings(numbers=("SH-003", "SH-009", "SH-012", "SH-014", "SH-026"))
TILES = hang_wall(list_subjects(FOUND))
BYTES_A_PIECE = 115  # of data: 3,000 pieces are then less than the theme's own script and style
BYTES_OF_PAGE = 30_000  # the wall's own part of its page, however many pieces there are


def given(tiles: Sequence[Tile]) -> dict[str, Any]:
    text = wall_script(tiles)
    assert text.startswith("window.patWall=")
    told: dict[str, Any] = json.loads(text.removeprefix("window.patWall=").rstrip(";\n"))
    return told


def test_every_piece_hangs_on_the_wall_by_number() -> None:
    assert [tile.subject.number for tile in TILES] == [
        "SH-003", "SH-009", "SH-012", "SH-014", "SH-026",
    ]  # fmt: skip


def test_numbers_in_a_name_count_as_numbers() -> None:
    names = ["SH-10", "SH-9", "B-2", "SH-9a"]
    assert sorted(names, key=sort_key) == ["B-2", "SH-9", "SH-9a", "SH-10"]


def test_greys_stand_after_every_hue() -> None:
    order = [tile.subject.number for tile in sort_by_hue(TILES)]
    assert order[-1] == "SH-003"  # near-black, chroma about 5
    assert order.index("SH-009") < order.index("SH-014") < order.index("SH-026")


def test_a_filter_that_tells_nothing_apart_is_not_offered() -> None:
    names = {facet.name for facet in list_facets(TILES)}
    assert "metal" in names
    assert "age" not in names  # all were watched for a year


def test_counts_are_of_pieces() -> None:
    metals = next(facet for facet in list_facets(TILES) if facet.name == "metal")
    assert dict(metals.values) == {"brass": 1, "copper": 3, "mild steel": 1}


def test_an_ingredient_finds_every_piece_it_went_into() -> None:
    with_salt = [t.subject.number for t in TILES if "salt" in dict(t.facets)["ingredient"]]
    assert with_salt == ["SH-012", "SH-014"]


def test_zones_are_found_under_each_of_their_sealants() -> None:
    (tile,) = hang_wall(list_subjects(findings(numbers=("SH-024",))))
    assert dict(tile.facets)["sealant"] == ("microcrystalline wax", "bare", "acrylic lacquer")


def test_the_script_is_told_of_every_tile_what_the_page_would_have_said() -> None:
    told = given(TILES)
    words = told["words"]
    assert len(told["rows"]) == len(TILES)
    for row, tile in zip(told["rows"], TILES, strict=True):
        number, picture, frame, metal, look, alt, *_ = row
        shown = tile.shown
        assert shown
        assert number == tile.subject.number
        assert picture == shown.src
        assert told["frames"][frame] == [shown.width, shown.height, round(shown.of_mat or 0, 1)]
        assert words[metal] == tile.subject.metal
        assert ", ".join(words[at] for at in look) == tile.words
        assert number + ", ".join(words[at] for at in alt) == shown.alt
        values = row[9:]
        assert told["facets"] == [name for name, _ in tile.facets]
        for value, (_, wanted) in zip(values, tile.facets, strict=True):
            listed = value if isinstance(value, list) else [value]
            assert tuple(words[at] for at in listed) == wanted


def test_the_script_is_told_the_orders() -> None:
    tiles = hang_wall(list_subjects(findings()))
    rows = given(tiles)["rows"]
    by_hue, by_lightness, by_date = (
        [tiles[row[0]] for row in sorted(enumerate(rows), key=lambda one, at=at: one[1][at])]
        for at in (6, 7, 8)
    )
    assert by_hue == list(sort_by_hue(tiles))
    assert [t.lightness for t in by_lightness] == sorted(t.lightness for t in tiles)
    assert [t.day for t in by_date] == sorted((t.day for t in tiles), reverse=True)


def test_what_the_script_is_given_is_small() -> None:
    count = 3000
    assert len(wall_script(hang_many(count)).encode()) / count < BYTES_A_PIECE


def test_the_page_grows_with_what_can_be_chosen_and_not_with_the_pieces() -> None:
    html = wall_html(hang_many(3000))
    assert len(re.findall("<li>", html)) == FIRST
    assert "3,000 of 3,000 pieces" in html
    assert len(html.encode()) < BYTES_OF_PAGE


def test_a_plain_list_leads_to_every_piece() -> None:
    pages = {page.path: page.html for page in render_pages(findings())}
    numbers = [tile.subject.number for tile in hang_wall(list_subjects(findings()))]
    assert re.findall(r'<a href="pieces/([^"]+).html">', pages["every-piece.md"]) == numbers
    assert 'href="every-piece.html"' in pages["wall.md"]


def test_hostile_words_cannot_leave_the_script() -> None:
    found = findings(numbers=("SH-014",), SH_014={"metal": "</script><b>copper"})
    assert "</" not in wall_script(hang_wall(list_subjects(found)))


def test_private_photographs_stay_private() -> None:
    found = findings(numbers=("SH-012", "SH-014"), SH_012={"share": {"photos": "private"}})
    hidden, open_row = given(hang_wall(list_subjects(tell_students(found))))["rows"]
    assert hidden[1] == ""
    assert open_row[1].startswith("pictures/")


def test_tiles_show_small_pictures_and_the_site_holds_no_others_for_them(tmp_path: Path) -> None:
    site = lay_out_site(findings(tmp_path, numbers=("SH-014",)), tmp_path)
    page = next(page.render().html for page in site.pages if page.path == "wall.md")
    (name, width, height) = re.findall(
        r'<img src="pictures/(tile-[0-9a-f]{16}\.jpg)" width="(\d+)" height="(\d+)"', page
    )[0]
    assert name in site.pictures
    with Image.open(tmp_path / name) as picture:
        assert picture.size == (int(width), int(height))
        assert not picture.getexif()
    told = "".join(dict(site.files())[SCRIPT])
    assert f'"{name.removeprefix("tile-").removesuffix(".jpg")}"' in told


def test_a_view_that_cannot_be_opened_is_shown_as_it_is(tmp_path: Path) -> None:
    found = findings(tmp_path, numbers=("SH-014",))
    (tile,) = hang_wall(list_subjects(found))
    assert tile.shown
    (tmp_path / Path(tile.shown.src).name).write_bytes(b"no picture")
    assert cut_tile_pictures([tile.shown], tmp_path) == {}
