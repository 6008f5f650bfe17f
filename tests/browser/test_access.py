"""What a reader with other eyes or other hands meets.

Rules: axe-core, which checks against the Web Content Accessibility Guidelines (WCAG) 2.2.
"""

from __future__ import annotations

import pytest

CHECKED = (
    "index.html",
    "wall.html",
    "every-piece.html",
    "pieces/SH-014.html",
    "sisters/SH-014-SH-012.html",
    "due.html",
    "what-one-change-does.html",
    "repeats.html",
    "next-tests.html",
)
SEVERE = ("serious", "critical")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", CHECKED)
def test_no_serious_fault_is_found_by_axe(visit, axe, path, scheme) -> None:
    page = visit(color_scheme=scheme, reduced_motion="reduce").open(path)
    wanted = "slate" if scheme == "dark" else "default"
    assert page.locator("body").get_attribute("data-md-color-scheme") == wanted
    page.evaluate(axe.read_text(encoding="utf-8"))  # as a script the policy would hold it
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert found["testEngine"]["name"] == "axe-core"
    severe = [
        f"{v['id']}: {node['target']} {node['failureSummary']}"
        for v in found["violations"]
        if v["impact"] in SEVERE
        for node in v["nodes"]
    ]
    assert severe == []


def test_axe_sees_a_fault_where_there_is_one(visit, axe) -> None:
    page = visit().open("index.html")
    page.evaluate("document.querySelector('.pat-ribbon img').removeAttribute('alt')")
    page.evaluate(axe.read_text(encoding="utf-8"))  # as a script the policy would hold it
    found = page.evaluate("axe.run(document, {runOnly: ['image-alt']})")
    assert [v["id"] for v in found["violations"]] == ["image-alt"]


@pytest.mark.parametrize(
    "path", ["pieces/SH-014.html", "sisters/SH-014-SH-012.html", "ageing.html"]
)
def test_every_plot_has_its_figures_as_a_table(visit, path) -> None:
    plots = visit().open(path).locator(".pat-plot-figure")
    assert plots.count() > 0
    for plot in plots.all():
        plot.locator("details > summary").click()
        table = plot.locator("table")
        assert table.is_visible()
        drawn = plot.locator("svg.pat-plot:visible")
        assert drawn.count() == 1
        assert drawn.get_attribute("role") == "img"
        assert drawn.get_attribute("aria-label")
        # The first look of each line is the start of watch, which has no drift of its own.
        marks = drawn.locator("circle.pat-plot-mark").count()
        lines = drawn.locator("polyline.pat-plot-line").count()
        assert table.locator("tbody tr").count() in (marks, marks - lines)


def test_every_picture_of_a_piece_is_described(visit) -> None:
    page = visit().open("pieces/SH-024.html")
    told = [img.get_attribute("alt") or "" for img in page.locator(".pat-page img").all()]
    assert told
    assert all(len(words.split()) > 1 for words in told)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pictures_stand_on_the_same_untinted_grey_in_both_schemes(visit, scheme) -> None:
    page = visit(color_scheme=scheme).open("pieces/SH-014.html")
    for name in (".pat-stage", ".pat-mat", ".pat-strip"):
        ground = page.locator(name).first.evaluate("e => getComputedStyle(e).backgroundColor")
        red, green, blue = (int(part) for part in ground[4:-1].split(","))
        assert red == green == blue
        assert 100 < red < 140  # middle grey: L* 50 is 119 in sRGB (IEC 61966-2-1 and CIE 15)
