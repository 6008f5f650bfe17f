"""The plugin's settings."""

import datetime as dt
from pathlib import Path

import pytest
import yaml

from builder.errors import LibraryError, Weight
from builder.read.option_values import read_prices
from builder.read.settings import SETTINGS_KEYS, read_settings, read_settings_file
from builder.records.settings import Limits, Settings, Tolerances
from builder.records.spans import Span

CARD = (
    "CGATS.17\nWHITE_POINT D65\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\n"
    "BEGIN_DATA\nA1 92 0 0\nB2 22 0 0\nEND_DATA\n"
)
FULL = """
site_name: A library
theme:
  name: material
markdown_extensions:
  - emoji: {generator: !!python/name:material.extensions.emoji.twemoji }
plugins:
  - search
  - patinarium:
      samples: pieces
      invented: all made up
      default_setup: bench
      threshold: 2.0
      threshold_source: a book
      web_widths: [960, 480, 480]
      view_width: 500
      today: 2025-11-01
      rechecks: [2 d, 1 week, 6 months, 1 year]
      rechecks_heat: []
      limits: {pixels: 50_000_000}
      tolerances: {temperature_c: 1, time_pct: 2.5}
      setups:
        bench:
          piece_at: [0.1, 0.2, 0.5, 0.8]
          card_at: [[0.6, 0.2], [0.9, 0.2], [0.9, 0.5], [0.6, 0.5]]
          card: card.txt
          card_grid: [3, 3]
          piece_mm: [100, 150]
          read_at: [0.2, 0.2, 0.8, 0.8]
          light: xpol
        sheet:
          sheet: letter
          sheet_number: 12
          card_mm: 70 × 105
"""


@pytest.fixture
def root(tmp_path):
    (tmp_path / "pieces").mkdir()
    (tmp_path / "samples").mkdir()
    (tmp_path / "pieces" / "card.txt").write_text(CARD)
    return tmp_path


def read_file(root, text):
    (root / "mkdocs.yml").write_text(text, encoding="utf-8")
    return read_settings_file(root)


def refuse(root, options):
    with pytest.raises(LibraryError) as refusal:
        read_settings(options, root)
    assert {problem.weight for problem in refusal.value.problems} == {Weight.STOPS}
    return [str(problem) for problem in refusal.value.problems]


def test_everything_written_is_read(root):
    settings = read_file(root, FULL)
    assert (settings.title, settings.samples, settings.invented) == (
        "A library",
        "pieces",
        "all made up",
    )
    assert (settings.threshold, settings.threshold_source) == (2.0, "a book")
    assert (settings.web_widths, settings.view_width) == ((480, 960), 500)
    assert settings.today == dt.date(2025, 11, 1)
    assert settings.rechecks == (Span(days=2), Span(days=7), Span(months=6), Span(months=12))
    assert settings.rechecks_heat == ()
    assert settings.limits == Limits(pixels=50_000_000)
    assert settings.tolerances == Tolerances(temperature_c=1, time_pct=2.5)
    setup = settings.setup_named("bench")
    assert setup.piece_at == ((0.1, 0.2), (0.5, 0.2), (0.5, 0.8), (0.1, 0.8))
    assert setup.card_at[2] == (0.9, 0.5)
    assert (setup.card.rows, setup.card.columns, setup.card.white) == (3, 3, "D65")
    assert (setup.piece_mm, setup.read_at) == ((100, 150), (0.2, 0.2, 0.8, 0.8))
    assert setup.light == "cross-polarised"
    sheet = settings.setup_named("sheet")
    assert (sheet.sheet, sheet.sheet_number, sheet.card_mm) == ("Letter", 12, (70, 105))
    assert settings.problems == ()


def test_options_typed_by_another_reader_mean_the_same(root):
    text = FULL.replace(
        "  - emoji: {generator: !!python/name:material.extensions.emoji.twemoji }\n", "  - toc\n"
    )
    options = yaml.safe_load(text)["plugins"][1]["patinarium"]
    assert read_settings(options, root, "A library") == read_file(root, FULL)


def test_no_options_are_the_usual_settings(root):
    assert read_settings({}, root) == Settings()
    assert read_settings({"setups": None, "invented": "", "today": None}, root) == Settings()


@pytest.mark.parametrize(
    "plugins",
    ["plugins: [search, patinarium]", "plugins:\n  patinarium:\n", "plugins:\n  - patinarium:\n"],
)
def test_the_plugin_may_be_named_in_several_ways(root, plugins):
    assert read_file(root, f"site_name: A\n{plugins}\n").title == "A"


def test_all_problems_are_told_at_once_with_their_lines(root):
    text = (
        "site_name: A\nplugins:\n  - patinarium:\n      treshold: 2\n      threshold: visible\n"
        "      web_widths: wide\n      today: 1/11/2025\n      samples: ../elsewhere\n"
        "      limits: {pixels: many, bites: 3}\n      setups:\n        bench:\n"
        "          piece_at: [0.5, 0, 0.1, 1]\n          card_grid: [3]\n          lamp: red\n"
    )
    with pytest.raises(LibraryError) as refusal:
        read_file(root, text)
    said = [str(problem) for problem in refusal.value.problems]
    lines = sorted(int(line.split(":")[1]) for line in said)
    assert lines == [4, 5, 6, 7, 8, 9, 9, 12, 13, 14]
    assert "mkdocs.yml:4: “treshold” is no setting of patinarium;" in said[0]
    assert "did you mean “threshold”?" in said[0]


@pytest.mark.parametrize(
    ("options", "why"),
    [
        ({"threshold": 0}, "a number from 0.1 to 50"),
        ({"threshold": "nan"}, "a number from 0.1 to 50"),
        ({"web_widths": []}, "a list of one or more whole numbers"),
        ({"web_widths": [1]}, "a whole number from 16"),
        ({"rechecks": []}, "a rising list of times"),
        ({"rechecks": "1 week"}, "a rising list of times"),
        ({"rechecks": ["1 week", "now and then"]}, "a rising list of times"),
        ({"rechecks": ["1 month", "1 week"]}, "a rising list of times"),
        ({"rechecks_heat": [["3 d"]]}, "a rising list of times"),
        ({"view_width": [640]}, "view_width is a list; expected a whole number"),
        ({"limits": {"pixels": 0}}, "a whole number from 1"),
        ({"limits": "none"}, "limits is “none”"),
        ({"tolerances": {"humidity_pct": "wide"}}, "a number from 0 to 100"),
        ({"tolerances": {"temp": 3}}, "“temp” is no setting of tolerances"),
        ({"tolerances": [2]}, "tolerances is a list"),
        ({"samples": "/etc"}, "a path inside the library's folder"),
        ({"setups": ["bench"]}, "setups is a list; expected names"),
        ({"setups": {"bench": "here"}}, "the set-up “bench” is “here”"),
        ({"setups": {"none": {}}}, "a set-up is named “none”"),
        ({"setups": {"bench": {"piece_at": [[0, 0], [0, 1], [1, 1], [1, 0]]}}}, "clockwise"),
        ({"setups": {"bench": {"piece_at": [0, 0, 100, 100]}}}, "from 0 to 1"),
        ({"setups": {"bench": {"blur": [[0, 0, 2, 1]]}}}, "from 0 to 1"),
        ({"setups": {"bench": {"blur": [[0, 0, 1, 1]] * 13}}}, "at most 12"),
        ({"setups": {"bench": {"piece_mm": [100]}}}, "width and height in mm"),
        ({"setups": {"bench": {"sheet": "A3"}}}, "one of: A4, Letter"),
        ({"setups": {"bench": {"sheet_number": "ten"}}}, "a whole number from 0 to 9999"),
        ({"setups": {"bench": {"light": "moonlight"}}}, "one of: plain, cross-polarised, raking"),
        ({"setups": {"bench": {"card_grid": [27, 3]}}}, "at most 26 rows"),
        ({"setups": {"bench": {"white": "A"}}}, "one of: D50, D65"),
        ({"setups": {"bench": {"card": "../card.txt"}}}, "a path inside the library's folder"),
        ({"default_setup": "bench", "setups": {"bells": {}}}, "default_setup is “bench”"),
    ],
)
def test_a_setting_that_cannot_be_read_stops_the_run(root, options, why):
    assert any(why in said for said in refuse(root, options))


def test_a_threshold_of_ones_own_does_not_borrow_another_source(root):
    assert "no source given" in read_settings({"threshold": 3}, root).threshold_source


@pytest.mark.parametrize(
    ("card", "why"),
    [
        ("nowhere.txt", "there is no card file “nowhere.txt”"),
        ("bad.txt", "there is no table in this file"),
        ({"A1": [92, 0, 0]}, "does not say which white"),
        ({"white": "D50", "A1": [92, 0]}, "expected three numbers"),
    ],
)
def test_a_card_that_cannot_be_used_leaves_its_setup_without_one(root, card, why):
    (root / "samples" / "bad.txt").write_text("hello")
    settings = read_settings({"setups": {"bench": {"card": card}}}, root)
    assert settings.setups[0].card is None
    (problem,) = settings.problems
    assert problem.weight is Weight.LEFT_OUT
    assert why in str(problem)


def test_a_card_may_be_written_into_the_settings(root):
    for setup in (
        {"card": {"white": "D50", "A1": [92, 0, 0]}},
        {"card": {"A1": [92, 0, 0]}, "white": "D50"},
    ):
        card = read_settings({"setups": {"bench": setup}}, root).setups[0].card
        assert (card.white, card.patches[0].lab) == ("D50", (92, 0, 0))


def test_a_card_is_looked_for_beside_mkdocs_yml_first(root):
    (root / "card.txt").write_text(CARD.replace("92", "91"))
    settings = read_settings({"samples": "pieces", "setups": {"b": {"card": "card.txt"}}}, root)
    assert settings.setups[0].card.patches[0].lab[0] == 91


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("site_name: [\n", "not closed"),
        ("site_name: A\nplugins: [search]\n", "patinarium is not among the plugins"),
        ("site_name: A\n", "patinarium is not among the plugins"),
        ("", "nothing in this file"),
    ],
)
def test_an_mkdocs_yml_that_cannot_be_used_stops_the_run(root, text, why):
    with pytest.raises(LibraryError) as refusal:
        read_file(root, text)
    assert why in str(refusal.value)
    assert refusal.value.problems[0].weight is Weight.STOPS


def test_no_mkdocs_yml_stops_the_run(root):
    with pytest.raises(LibraryError, match="cannot be opened"):
        read_settings_file(root)


def test_every_setting_is_a_key_of_the_record():
    assert set(SETTINGS_KEYS) == set(Settings.__dataclass_fields__) - {"problems"}


def test_prices_come_in_one_unit_of_each_kind():
    prices = read_prices(
        {
            "copper sheet": "0.12 per cm2",
            "brass sheet": "900 / m²",
            "ammonia": "3 per l",
            "salt": "2 a kg",
            "wax": "0.3 per coat",
            "gloves": "0.2 per piece",
        }
    )
    assert [(price.name, round(price.each, 6), price.unit) for price in prices] == [
        ("copper sheet", 0.12, "cm2"),
        ("brass sheet", 0.09, "cm2"),
        ("ammonia", 0.003, "ml"),
        ("salt", 0.002, "g"),
        ("wax", 0.3, "coat"),
        ("gloves", 0.2, "plate"),
    ]


@pytest.mark.parametrize("prices", ["3", ["3 per l"], {"a": "3"}, {"a": "3 per oz"},
                                    {"a": "-3 per l"}, {"a": ["3 per l"]}])  # fmt: skip
def test_a_price_without_a_unit_it_can_be_reckoned_by_stops_the_run(root, prices):
    with pytest.raises(LibraryError, match="prices"):
        read_settings({"prices": prices}, root)


@pytest.mark.parametrize("place", ["/elsewhere", "../beside/site", "C:/site"])
@pytest.mark.parametrize("key", ["docs_dir", "site_dir"])
def test_a_folder_out_of_the_library_is_refused(tmp_path: Path, key: str, place: str) -> None:
    text = f"site_name: X\n{key}: {place}\nplugins:\n  - patinarium\n"
    (tmp_path / "mkdocs.yml").write_text(text, encoding="utf-8")
    with pytest.raises(LibraryError) as stopped:
        read_settings_file(tmp_path)
    (problem,) = stopped.value.problems
    assert (problem.file, problem.line) == ("mkdocs.yml", 2)
    assert problem.found.startswith(f"{key} leads out of the library's folder")
