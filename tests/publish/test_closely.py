"""Looking closely at a piece, as its page shows it: colours with their areas, coverage, rim, and
the change map with its words."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from builder.publish.change_pictures import describe_map, draw_maps
from builder.publish.closely import list_legend, look_closely, say_sheet
from builder.publish.site import lay_out_site
from builder.publish.subjects import list_subjects
from builder.records.photo import SheetReport
from builder.relate.findings import ChangeMap, Coverage, Findings, Rim
from tests.publish.fixture import findings
from tests.publish.rendered import render_pages
from tests.telling.told import tell_students

WORDS = "Changed on 33 % of the face: the lower third; most in the lower left, ΔE00 9.6."
NUMBER = "SH-008"
SHEET = SheetReport("A4", 3, 4, 0.21, 0.2, uneven_pct=12.4, left_pct=0.6)


def looked_at(**more: Any) -> Findings:
    """SH-008 alone, with what is found of it when it is looked at closely."""
    found = findings(numbers=(NUMBER,), **more)
    strand = found.strands[0]
    assert strand.fresh and strand.latest and strand.fresh.reading
    second = strand.fresh.reading.colours[1].lab
    close = {
        "coverage": Coverage(
            0.58, "58 % covered; on the other 42 % the metal shows", (second,), "samples/bare.jpg"
        ),
        "rim": Rim(3.4, 0.8, ("darker",), "the rim is darker"),
    }
    looks = tuple(
        replace(look, **close, observation=replace(look.observation, sheet=SHEET))
        for look in strand.looks
    )
    again = dict(zip(map(id, strand.looks), looks, strict=True))
    drifts = tuple(
        replace(drift, first=again[id(drift.first)], second=again[id(drift.second)],
                notes=("taken under unlike light",))
        for drift in strand.drifts
    )  # fmt: skip
    change = ChangeMap(
        2.0, "00--\n0?1-\n2333", (4.6, 9.2), 0.33, 0.1, "the lower third", 9.6,
        "lower left", 0.4, 0.1, WORDS, drifts[-1],
    )  # fmt: skip
    told = replace(
        strand, looks=looks, drifts=drifts, change=change,
        fresh=again[id(strand.fresh)], latest=again[id(strand.latest)],
        baseline=again[id(strand.baseline)],
    )  # fmt: skip
    return replace(found, strands=(told,))


def page_of(found: Findings, folder: Path) -> str:
    maps, _ = draw_maps(list_subjects(found), folder)
    pages = {page.path: page.html for page in render_pages(found, maps=maps)}
    return pages[f"pieces/{NUMBER}.md"]


def closely(html: str) -> str:
    start = html.index('aria-label="Looking closely"')
    return html[start : html.index("</section>", start)]


def plain(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def test_every_colour_has_its_bar_its_share_and_what_it_is(tmp_path: Path) -> None:
    html = closely(page_of(looked_at(), tmp_path))
    assert re.findall(r'<span style="width: ([\d.]+)%">', html) == ["58.0", "42.0"] * 2
    said = plain(html)
    assert said.count("followed, patina 58") == 2
    assert said.count("bare metal 42") == 2


def test_coverage_mottle_and_rim_are_told_with_how_and_noise(tmp_path: Path) -> None:
    said = plain(closely(page_of(looked_at(), tmp_path)))
    assert "58 % covered; on the other 42 % the metal shows" in said
    assert said.count("of the same blank bare") == 1
    assert "Mottle at 2 mm ΔE00 1.8" in said
    assert "the rim is darker: ΔE00 3.4 u 0.8" in said


def test_a_piece_without_bare_look_outline_or_squares_says_so(tmp_path: Path) -> None:
    found = findings(numbers=(NUMBER,))
    strand = found.strands[0]
    assert strand.latest
    no_bare = replace(strand.latest, coverage=Coverage(None, "no photograph of this blank bare"))
    found = replace(found, strands=(replace(strand, latest=no_bare),))
    html = closely(page_of(found, tmp_path))
    said = plain(html)
    assert "not told: no photograph of this blank bare" in said
    assert "not told: the piece is not outlined in this photograph" in said
    assert "Where it changed" not in said
    assert not list(tmp_path.iterdir())


def test_the_map_stands_between_its_views_with_words_for_who_cannot_see_it(tmp_path: Path) -> None:
    html = closely(page_of(looked_at(), tmp_path))
    figure = html[html.index('<figure class="pat-change') :]
    captions = re.findall(r"<figcaption>(?!\s*<p>)(.*?)</figcaption>", figure)
    assert [caption.split(",")[0] for caption in captions] == [
        "Start of watch", "Where it changed", "Latest",
    ]  # fmt: skip
    alt = next(a for a in re.findall(r'alt="([^"]*)"', figure) if a.startswith("Change map"))
    assert WORDS in alt
    assert WORDS in plain(figure)
    assert "Taken under unlike light." in plain(figure)


def test_a_map_that_is_withheld_says_why(tmp_path: Path) -> None:
    found = looked_at()
    why = "No change map: the photograph of 2025-09-23 lies half a turn round."
    strand = replace(found.strands[0], change=None, change_withheld=why)
    html = closely(page_of(replace(found, strands=(strand,)), tmp_path))
    assert why in plain(html)
    assert "pat-change" not in html


def test_the_legend_explains_in_words_the_signs_that_are_there_and_no_other() -> None:
    change = looked_at().strands[0].change
    assert change is not None
    assert [step.sign for step in list_legend(change)] == list("0123?-")
    few = replace(change, levels="00\n01")
    assert [step.sign for step in list_legend(few)] == ["0", "1"]
    assert list_legend(few)[1].words == "small dot: changed, by less than ΔE00 4.6"


def test_a_map_is_as_large_as_the_view_beside_it_and_is_kept(tmp_path: Path) -> None:
    found = looked_at()
    maps, names = draw_maps(list_subjects(found), tmp_path)
    (shown,) = maps.values()
    latest = found.strands[0].latest
    assert latest and latest.observation.picture.view
    assert (shown.width, shown.height) == (
        latest.observation.picture.view.width, latest.observation.picture.view.height,
    )  # fmt: skip
    (file,) = tmp_path.iterdir()
    assert (file.name,) == names
    written = file.stat().st_mtime_ns
    assert draw_maps(list_subjects(found), tmp_path)[1] == names
    assert file.stat().st_mtime_ns == written


def test_the_site_takes_its_maps_along(tmp_path: Path) -> None:
    site = lay_out_site(looked_at(), tmp_path)
    assert any(name.startswith("change-") for name in site.pictures)


def test_private_photographs_have_no_map_and_are_not_looked_at(tmp_path: Path) -> None:
    found = tell_students(looked_at(SH_008={"share": {"photos": "private"}}))
    subjects = list_subjects(found)
    if "photos" not in subjects[0].withheld:
        pytest.fail("the record should withhold its photographs")
    assert draw_maps(subjects, tmp_path) == ({}, ())
    assert "Looking closely" not in page_of(found, tmp_path)


def test_doubt_and_the_sheet_stand_with_their_photograph(tmp_path: Path) -> None:
    found = looked_at()
    strand = found.strands[0]
    doubt = "Doubtful: the sheet is not flat, its discs lie 0.9 mm off."
    assert strand.latest and strand.latest.reading
    odd = replace(strand.latest, reading=replace(strand.latest.reading, flags=(doubt,)))
    looks = tuple(odd if look == strand.latest else look for look in strand.looks)
    drifts = (*strand.drifts[:-1], replace(strand.drifts[-1], second=odd))
    told = replace(strand, looks=looks, latest=odd, drifts=drifts)
    html = page_of(replace(found, strands=(told,)), tmp_path)
    assert look_closely(told)[-1].doubts == (doubt,)
    rows = html.split("<tr")
    (marked,) = [row for row in rows if 'class="pat-doubt"' in row and "pat-thumb" in row]
    assert doubt in marked
    assert marked.count("against the start of watch: taken under unlike light") == 1
    assert "A4, sheet 3: 4 of 4 marks, 0.21 mm a pixel, flat to 0.2 mm" in html
    assert "light uneven by 12 %, 0.6 % left when put right" in html


def test_a_sheet_that_cannot_serve_says_why_and_nothing_else() -> None:
    refused = replace(SHEET, rejected="Only two marks are seen.")
    assert say_sheet(refused) == ("Only two marks are seen.",)
    assert say_sheet(None) == ()


def test_the_words_of_a_map_name_piece_and_days() -> None:
    strand = looked_at().strands[0]
    assert strand.change is not None
    words = describe_map(strand, strand.change)
    assert words.startswith("Change map of SH-008, ")
    assert words.endswith(WORDS)


def test_what_makes_a_drift_doubtful_stands_with_the_verdict(tmp_path: Path) -> None:
    found = looked_at()
    strand = found.strands[0]
    last = strand.drifts[-1]
    assert last.second.reading
    odd = replace(last.second, reading=replace(last.second.reading, flags=("Doubtful: bent.",)))
    drifts = (*strand.drifts[:-1], replace(last, second=odd))
    told = replace(strand, drifts=drifts, latest=odd)
    html = page_of(replace(found, strands=(told,)), tmp_path)
    hero = plain(html[: html.index('aria-label="What was done')])
    assert "To mind taken under unlike light" in hero
    assert "Doubtful: bent." in hero
