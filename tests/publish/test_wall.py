from __future__ import annotations

from builder.publish.subjects import list_subjects, sort_key
from builder.publish.wall import hang_wall, list_facets, sort_by_hue
from tests.publish.fixture import findings

FOUND = findings(numbers=("SH-003", "SH-009", "SH-012", "SH-014", "SH-026"))
TILES = hang_wall(list_subjects(FOUND))


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
