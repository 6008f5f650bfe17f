from __future__ import annotations

import csv
import datetime as dt
import io
import json
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from builder.publish.data import COLUMNS, data_parts, library_json, tables
from builder.publish.next_tests import find_open_tests
from builder.records.photo import CardReport, ColourShare, Evidence, Observation, SheetReport, State
from builder.relate.findings import Findings
from tests.relate.demo import entry_of, find, find_demo, photo, read
from tests.telling.told import tell_students

Row = dict[str, str]

#: What other programs rely on: not to be changed without telling their users.
GOLDEN = {
    "readings.csv": "piece,zone,attempt,photo,sha256,taken,taken_from,state,days_since_coloured,"
    "days_since_sealed,reference,L,a,b,u,card_error,coverage_pct,mottle,glare_pct,flags,"
    "followed_pct,bare_photo,rim_dE00,rim_u,rim_direction,sheet,mm_per_px,light_uneven_pct",
    "verdicts.csv": "piece,zone,baseline_photo,latest_photo,days,drift,u,verdict,grade,direction,"
    "u_of",
    "sisters.csv": "sealed,bare,months,seal_cost,sealed_drift,bare_drift,held_pct,held_words,"
    "nearer,u",
    "pairs.csv": "piece_a,piece_b,factor,value_a,value_b,unrecorded,dE00_fresh,u",
    "series.csv": "series,factor,place,value,piece,unrecorded",
    "effects.csv": "factor,value_1,value_2,sets,pieces,aspect,told_sets,median,lower_quartile,"
    "upper_quartile,rose,fell,size,noise,p,direction,claimed",
    "repeats.csv": "pieces,read,dE00_apart,dE00_from_mean,noise,spread,words,unrecorded",
    "next_tests.csv": "rank,like,factor,what,why,squares,joins,days,score,metal,size,thickness",
}


@cache
def demo() -> Findings:
    return find_demo()


def rows_of(findings: Findings, name: str) -> list[Row]:
    return list(csv.DictReader(io.StringIO(tables(findings)[name])))


@pytest.mark.parametrize("name", GOLDEN)
def test_headings_are_the_promised_ones(name: str) -> None:
    assert tables(demo())[name].split("\n")[0] == GOLDEN[name]


def test_every_table_is_there_and_pieces_begins_with_the_number() -> None:
    assert set(tables(demo())) == {*GOLDEN, "pieces.csv"}
    assert tables(demo())["pieces.csv"].startswith("piece,zone,attempt,")


def test_every_column_is_documented() -> None:
    assert all(words for columns in COLUMNS.values() for words in columns.values())


def test_lines_end_in_lf_and_each_row_is_whole() -> None:
    for name, text in tables(demo()).items():
        assert "\r" not in text
        assert text.endswith("\n")
        widths = {len(row) for row in csv.reader(io.StringIO(text))}
        assert widths == {len(COLUMNS[name])}


def test_one_row_a_fact() -> None:
    looks = sum(len(strand.looks) for strand in demo().strands)
    counts = {name: len(rows_of(demo(), name)) for name in COLUMNS}
    assert counts == {
        "pieces.csv": len(demo().strands),
        "readings.csv": looks,
        "verdicts.csv": len(demo().strands),
        "sisters.csv": len(demo().sisters),
        "pairs.csv": len(demo().pairs),
        "series.csv": sum(len(series.strands) for series in demo().series),
        "effects.csv": sum(max(1, len(effect.shifts)) for effect in demo().effects),
        "repeats.csv": len(demo().repeats) + len(demo().singles),
        "next_tests.csv": 10,
    }


def test_verdict_row_tells_what_the_strand_tells() -> None:
    row = next(r for r in rows_of(demo(), "verdicts.csv") if r["piece"] == "SH-012")
    assert (row["days"], row["verdict"], row["direction"]) == ("365", "moved", "darker; yellower")
    assert float(row["drift"]) == pytest.approx(6.34, abs=0.1)  # colours in tenths
    assert row["baseline_photo"].endswith("SH-012_2024-10-15_dry.jpg")


def test_sisters_row_names_zones() -> None:
    row = next(r for r in rows_of(demo(), "sisters.csv") if r["sealed"] == "SH-024 left")
    assert (row["bare"], row["months"], row["nearer"]) == ("SH-024 centre", "12.0", "sealed")
    assert row["held_words"] == "Held 57 %."


def test_series_row_has_the_place_of_its_value() -> None:
    times = [row for row in rows_of(demo(), "series.csv") if row["series"] == "time 1"]
    assert [(row["place"], row["value"], row["piece"]) for row in times] == [
        ("1", "15 s", "SH-001"), ("2", "45 s", "SH-002"), ("2", "45 s", "SH-006"),
        ("2", "45 s", "SH-007"), ("3", "120 s", "SH-003"),
    ]  # fmt: skip


def test_effect_of_few_sets_has_no_figure() -> None:
    few = [row for row in rows_of(demo(), "effects.csv") if int(row["sets"]) < 3]
    assert few
    assert {row["aspect"] + row["median"] + row["claimed"] for row in few} == {""}


def test_repeats_row_is_the_trios() -> None:
    row = next(r for r in rows_of(demo(), "repeats.csv") if "SH-006" in r["pieces"])
    assert (row["pieces"], row["dE00_apart"], row["words"]) == (
        "SH-002; SH-006; SH-007", "2.65", "repeats closely",
    )  # fmt: skip


def private_series() -> Findings:
    """Longer times have lower numbers, and one of them is kept private."""
    times = ("900 s", "300 s", "100 s")
    share: dict[str, Any] = {"share": {"exposure": "private"}}
    return tell_students(
        find(
            tuple(
                entry_of(
                    piece=f"P-{n}", exposure=time, temperature_c="45", outcome="success",
                    **(share if n == 1 else {}),
                )
                for n, time in enumerate(times)
            ),
            [],
        )
    )  # fmt: skip


def test_order_of_a_series_does_not_give_a_private_value_away() -> None:
    rows = rows_of(private_series(), "series.csv")
    assert [(r["piece"], r["place"], r["value"]) for r in rows] == [
        ("P-0", "", "900 s"), ("P-1", "", "withheld"), ("P-2", "", "100 s"),
    ]  # fmt: skip
    effects = rows_of(private_series(), "effects.csv")
    assert [(r["value_1"], r["value_2"]) for r in effects] == [
        ("100 s", "900 s"), ("withheld", "withheld"), ("withheld", "withheld"),
    ]  # fmt: skip
    assert "300 s" not in library_json(private_series())


def test_same_findings_same_bytes() -> None:
    assert tables(find_demo()) == tables(demo())
    assert library_json(find_demo()) == library_json(demo())


def test_json_has_the_same_content() -> None:
    whole = json.loads(library_json(demo()))
    assert set(whole) == {"about", *(name.removesuffix(".csv") for name in COLUMNS)}
    for name in COLUMNS:
        told = whole[name.removesuffix(".csv")]
        for row, cells in zip(told, rows_of(demo(), name), strict=True):
            assert list(row) == sorted(cells)
            assert {k: "" if v is None else str(v) for k, v in row.items()} == cells


def small(*observations: Observation, **told: Any) -> Findings:
    return find((entry_of(**told),), list(observations))


def shot(reading: Any, card: CardReport | None = None) -> Observation:
    seen = photo("SH-901", dt.date(2024, 10, 3), State.DRY, (reading,))
    return Observation(seen.file, seen.picture, card, seen.readings)


def test_hostile_words_of_a_sidecar_run_nowhere() -> None:
    findings = small(notes="=HYPERLINK(1)", why="@home", metal="-2+3")
    (row,) = rows_of(findings, "pieces.csv")
    assert (row["notes"], row["why"], row["metal"]) == ("'=HYPERLINK(1)", "'@home", "'-2+3")
    assert json.loads(library_json(findings))["pieces"][0]["notes"] == "=HYPERLINK(1)"


def test_no_number_stands_beside_a_picture_that_cannot_carry_it() -> None:
    odd = shot(read((33.0, 10.0, 12.0), evidence=Evidence.NONE), CardReport("grey steps", 9.0))
    (row,) = rows_of(small(odd), "readings.csv")
    assert row["reference"] == "none"
    assert {row[name] for name in ("L", "a", "b", "u", "card_error", "coverage_pct", "mottle",
                                   "glare_pct")} == {""}  # fmt: skip
    assert row["flags"] == "no reference card in it"


def test_reading_row_tells_the_colour_its_noise_and_what_it_rests_on() -> None:
    seen = shot(
        read((33.004, 10.0, -0.001), u=1.234, flags=("some glare",)), CardReport("grey steps", 0.5)
    )
    (row,) = rows_of(small(seen, started="2024-10-01", exposure="45 s"), "readings.csv")
    assert (row["L"], row["a"], row["b"], row["u"]) == ("33.0", "10.0", "0.0", "1.23")
    assert (row["reference"], row["card_error"], row["followed_pct"]) == ("grey", "0.5", "100.0")
    assert row["coverage_pct"] == row["bare_photo"] == ""  # never photographed bare
    assert (row["taken"], row["taken_from"], row["days_since_coloured"]) == (
        "2024-10-03", "camera", "2",
    )  # fmt: skip
    assert row["flags"] == "some glare"


def test_coverage_is_told_against_the_blank_photographed_bare() -> None:
    metal, brown = (63.0, 19.0, 23.0), (34.0, 10.0, 12.0)
    bare = photo("SH-901", dt.date(2024, 9, 30), State.BARE, (read(metal),))
    shares = (ColourShare(brown, 0.58), ColourShare((60.0, 19.0, 23.0), 0.42))
    seen = replace(shot(read(shares)), sheet=SheetReport("A4", 3, 4, 0.2, 0.1, uneven_pct=12.0))
    found = small(bare, seen, started="2024-10-01", exposure="45 s")
    blank, row = rows_of(found, "readings.csv")
    assert blank["coverage_pct"] == ""
    assert (row["coverage_pct"], row["followed_pct"]) == ("58.0", "58.0")
    assert row["bare_photo"] == blank["photo"]
    assert (row["sheet"], row["mm_per_px"], row["light_uneven_pct"]) == ("A4 3", "0.2", "12.0")


def test_missing_unknown_and_not_measured_stay_three_things() -> None:
    cells = [
        rows_of(small(**told), "pieces.csv")[0]["humidity_pct"]
        for told in ({}, {"humidity_pct": "unknown"}, {"humidity_pct": "not measured"})
    ]
    assert cells == ["", "unknown", "not measured"]


def test_figures_are_in_the_columns_unit_and_odd_words_as_written() -> None:
    told = {"temperature_c": "113 °F", "thickness": "20", "exposure": "overnight"}
    (row,) = rows_of(small(**told), "pieces.csv")
    assert (row["temperature_c"], row["thickness_mm"], row["exposure"]) == ("45", "20", "overnight")


def test_what_the_maker_keeps_back_is_in_no_byte() -> None:
    secret = {"ingredients": [{"name": "dragon's blood", "amount": "3 g"}], "exposure": "77 min",
              "temperature_c": "61.5", "notes": "the old well", "share":
              {"recipe": "private", "notes": "private"}}  # fmt: skip
    other = {"ingredients": [{"name": "salt"}], "exposure": "77 min", "temperature_c": "61.5"}
    found = find((entry_of(**secret, piece="SH-901"), entry_of(**other, piece="SH-902")), [])
    assert [pair.factor for pair in found.pairs] == ["recipe"]
    findings = tell_students(found)
    written = "".join([*tables(findings).values(), library_json(findings)])
    assert "dragon" not in written
    assert "old well" not in written
    (row, _) = rows_of(findings, "pieces.csv")
    assert (row["recipe"], row["exposure"], row["notes"]) == ("withheld", "withheld", "withheld")
    assert rows_of(findings, "pairs.csv") == []  # else the other one would tell its time


def test_photographs_kept_back_have_no_rows() -> None:
    findings = tell_students(small(shot(read((33.0, 10.0, 12.0))), share={"photos": "private"}))
    assert rows_of(findings, "readings.csv") == rows_of(findings, "verdicts.csv") == []


def test_empty_library_has_headings_alone() -> None:
    found = find((), [])
    assert all(text.count("\n") == 1 for text in tables(found).values())
    assert json.loads(library_json(found))["pieces"] == []


def test_the_parts_of_each_file_are_its_whole_text_and_json_is_laid_out_as_the_library_does() -> (
    None
):
    """Python's own writer is asked beside ours."""
    told = {name: "".join(parts) for name, parts in data_parts(demo(), find_open_tests(demo()))}
    assert told.pop("library.json") == library_json(demo())
    assert told == tables(demo())
    whole = json.loads(library_json(demo()))
    plainly = json.dumps(whole, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
    assert library_json(demo()) == plainly
