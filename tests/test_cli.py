"""The commands as a newcomer meets them."""

from __future__ import annotations

import json
import logging
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from builder.cli import cli
from builder.commands import building
from builder.digests import digest_file
from tests.pipeline.small_library import PHOTOGRAPHS, copy_small_library


@pytest.fixture(autouse=True)
def quiet() -> Iterator[None]:
    level = logging.getLogger("mkdocs").level
    yield
    logging.getLogger("mkdocs").setLevel(level)


@pytest.fixture
def library(tmp_path: Path) -> Path:
    return copy_small_library(tmp_path / "library")


def run(*words: object) -> Result:
    result = CliRunner().invoke(cli, [str(word) for word in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def bytes_of(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): digest_file(path)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_build_says_what_was_made_and_how_to_open_it(library: Path) -> None:
    result = run("build", library, "--today", "2026-06-01")
    assert result.exit_code == 0
    assert f"2 pieces, {PHOTOGRAPHS} photographs ({PHOTOGRAPHS} read, 0 unchanged)" in result.stdout
    assert str(library / "site" / "index.html") in result.stdout
    assert (library / "site" / "pieces" / "SH-014.html").is_file()


def test_where_nothing_has_changed_a_build_leaves_the_site_and_says_the_same(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = run("build", library, "--today", "2026-06-01")
    monkeypatch.setattr(building, "make_site", None)  # nothing is made
    again = run("build", library, "--today", "2026-06-01")
    assert again.exit_code == 0 and again.stderr == first.stderr
    assert "Nothing has changed since this site was made" in again.stdout
    assert f"{PHOTOGRAPHS} photographs (0 read, {PHOTOGRAPHS} unchanged)" in again.stdout
    assert again.stdout.splitlines()[-1] == first.stdout.splitlines()[-1]


def test_two_builds_of_the_same_input_give_the_same_bytes(library: Path, tmp_path: Path) -> None:
    run("build", library, "--today", "2026-06-01")
    first = bytes_of(library / "site")
    run("build", library, "--today", "2026-06-01", "--anew")
    assert bytes_of(library / "site") == first
    elsewhere = copy_small_library(tmp_path / "another place")
    run("build", elsewhere, "--today", "2026-06-01")
    assert bytes_of(elsewhere / "site") == first


def test_a_site_is_handed_over_as_one_file_of_the_same_bytes(library: Path, tmp_path: Path) -> None:
    packed = library / "site-for-clients.zip"
    result = run("build", library, "--today", "2026-06-01", "--for", "clients", "--zip")
    assert str(packed) in result.stdout
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(tmp_path / "out")
    (tmp_path / "out" / "site-for-clients" / "README.txt").unlink()
    assert bytes_of(tmp_path / "out" / "site-for-clients") == bytes_of(library / "site-for-clients")
    first = packed.read_bytes()
    elsewhere = copy_small_library(tmp_path / "another place")
    run("build", elsewhere, "--today", "2026-06-01", "--for", "clients", "--zip")
    assert (elsewhere / "site-for-clients.zip").read_bytes() == first


def test_a_zip_file_of_ones_own_is_left_alone(library: Path) -> None:
    (library / "site.zip").write_bytes(b"my own")
    result = run("build", library, "--today", "2026-06-01", "--zip")
    assert result.exit_code == 1 and "made by no build" in result.stderr
    assert (library / "site.zip").read_bytes() == b"my own"
    assert not (library / "site").exists()


def test_a_build_that_stops_leaves_the_last_site(library: Path) -> None:
    run("build", library, "--today", "2026-06-01")
    before = bytes_of(library / "site")
    settings = library / "mkdocs.yml"
    settings.write_text(settings.read_text("utf-8").replace("setups:", "setup5:"), "utf-8")
    result = run("build", library)
    assert result.exit_code == 1
    assert "mkdocs.yml:" in result.stderr and "setups" in result.stderr
    assert bytes_of(library / "site") == before


def test_a_build_killed_at_the_last_page_leaves_the_last_site(
    library: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("build", library, "--today", "2026-06-01")
    before = bytes_of(library / "site")

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("builder.plugin.write_beside_pages", killed)
    CliRunner().invoke(cli, ["build", str(library)])
    assert bytes_of(library / "site") == before


def test_check_names_what_is_to_be_put_right_and_builds_nothing(library: Path) -> None:
    sidecar = library / "samples" / "SH-012" / "sample.yaml"
    sidecar.write_text(sidecar.read_text("utf-8") + "mettal: copper\n", "utf-8")
    result = run("check", library)
    assert result.exit_code == 0  # noted, and nothing left out
    assert "samples/SH-012/sample.yaml:" in result.stderr
    assert "metal" in result.stderr
    assert not (library / "site").exists()


def test_a_piece_left_out_is_an_exit_code(library: Path) -> None:
    (library / "samples" / "SH-012" / "sample.yaml").write_text("piece: [\n", "utf-8")
    assert run("check", library).exit_code == 1


def test_strict_makes_any_problem_an_exit_code(library: Path) -> None:
    sidecar = library / "samples" / "SH-012" / "sample.yaml"
    sidecar.write_text(sidecar.read_text("utf-8") + "mettal: copper\n", "utf-8")
    assert run("build", library).exit_code == 0
    assert run("build", library, "--strict").exit_code == 1


@pytest.mark.parametrize("command", ["build", "check", "preview"])
def test_a_folder_without_settings_is_told_what_to_do(tmp_path: Path, command: str) -> None:
    result = run(command, tmp_path)
    assert result.exit_code == 1
    assert "mkdocs.yml" in result.stderr and "patinarium start" in result.stderr


def test_wrong_use_is_exit_code_two(tmp_path: Path) -> None:
    assert run("build", tmp_path, "--today", "14/01/2025").exit_code == 2
    assert run("polish").exit_code == 2


def test_start_and_build_make_a_first_page(tmp_path: Path) -> None:
    assert run("start", tmp_path / "new", "--title", "Bell tests").exit_code == 0
    result = run("build", tmp_path / "new")
    assert result.exit_code == 0, result.output
    assert (tmp_path / "new" / "site" / "pieces" / "TP-001.html").is_file()
    library = json.loads((tmp_path / "new" / "site" / "data" / "library.json").read_text("utf-8"))
    assert library["pieces"]


@pytest.mark.parametrize("place", ["samples", "samples/SH-012", "docs/out"])
def test_no_site_is_ever_built_over_the_originals(library: Path, place: str) -> None:
    settings = library / "mkdocs.yml"
    text = settings.read_text("utf-8").replace("site_dir: site", f"site_dir: {place}")
    settings.write_text(text, "utf-8")
    before = bytes_of(library)
    assert run("build", library).exit_code == 1
    after = bytes_of(library)
    assert {name: after.get(name) for name in before} == before


def test_a_folder_named_site_with_things_of_ones_own_is_left_alone(library: Path) -> None:
    (library / "site").mkdir()
    (library / "site" / "precious.txt").write_text("mine", "utf-8")
    result = run("build", library)
    assert result.exit_code == 1
    assert "no build has made" in result.stderr
    assert (library / "site" / "precious.txt").read_text("utf-8") == "mine"


def test_the_librarys_name_is_text_on_every_page(library: Path) -> None:
    settings = library / "mkdocs.yml"
    text = settings.read_text("utf-8")
    text = text.replace("site_name: Sparrowhithe Metal Evenings", "site_name: 'A <b>& B'")
    settings.write_text(text, "utf-8")
    assert run("build", library).exit_code == 0
    for page in (library / "site").rglob("*.html"):
        assert "A <b>" not in page.read_text("utf-8")


def test_check_counts_up_to_the_same_day_as_build(library: Path) -> None:
    settings = library / "mkdocs.yml"
    text = settings.read_text("utf-8")
    settings.write_text(
        text.replace("samples: samples", "samples: samples\n      today: 2024-10-02")
    )
    checked, built = (
        [line for line in run(command, library).stderr.splitlines() if line.startswith("samples/")]
        for command in ("check", "build")
    )
    assert checked == built
    assert any("2025" in line for line in checked)  # photographs from after that day are named


def test_print_jig_says_what_it_made_and_to_measure_it(tmp_path: Path) -> None:
    result = run("print", "jig", "--size", "letter", "--number", "2", "--out", tmp_path)
    assert result.exit_code == 0
    assert str(tmp_path / "jig-letter-0002.pdf") in result.stdout
    assert "100 mm" in result.stdout and "fit to page" in result.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["jig-letter-0002.pdf"]


def test_print_never_writes_over_another_file(tmp_path: Path) -> None:
    mine = tmp_path / "jig-a4-0001.pdf"
    mine.write_text("mine", "utf-8")
    result = run("print", "jig", "--format", "both", "--out", tmp_path)
    assert result.exit_code == 1
    assert "another file" in result.stderr
    assert mine.read_text("utf-8") == "mine"
    assert list(tmp_path.iterdir()) == [mine]


def test_print_labels_makes_one_for_every_piece_and_names_those_left_out(
    library: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    assert "2 labels" in run("print", "labels", "--library", library, "--out", out).stdout
    (library / "samples" / "SH-012" / "sample.yaml").write_text("piece: [\n", "utf-8")
    result = run("print", "labels", "--library", library, "--out", out)
    assert "1 label." in result.stdout
    assert "samples/SH-012/sample.yaml" in result.stderr


def test_print_labels_says_which_piece_is_unknown(library: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("print", "labels", "SH-013", "--library", library, "--out", out)
    assert result.exit_code == 1
    assert "SH-013" in result.stderr and "did you mean" in result.stderr
    assert not out.exists()


def test_print_labels_without_a_library_is_told_what_to_do(tmp_path: Path) -> None:
    result = run("print", "labels", "--library", tmp_path)
    assert result.exit_code == 1 and "mkdocs.yml" in result.stderr


def test_a_sheets_number_has_four_figures(tmp_path: Path) -> None:
    assert run("print", "jig", "--number", "10000", "--out", tmp_path).exit_code == 2


def test_check_for_an_audience_lists_what_it_would_be_shown_and_builds_nothing(
    library: Path,
) -> None:
    result = run("check", library, "--today", "2026-06-01", "--for", "clients")
    lines = {line.split()[0]: line for line in result.stdout.splitlines() if line[:2] == "  "}
    assert lines["fields"].split(maxsplit=1)[1].startswith("piece, metal, ")
    assert "index, wall" in lines["pages"] and "due" not in lines["pages"]
    assert "notes" not in lines["fields"]
    assert "Left out for clients: " in result.stdout
    assert not list(library.glob("site*"))


@pytest.mark.parametrize("command", ["build", "check", "preview"])
def test_an_audience_that_is_not_known_is_answered_with_those_that_are(
    library: Path, command: str
) -> None:
    result = run(command, library, "--for", "client")
    assert result.exit_code == 1
    assert "no audience “client”" in result.stderr
    assert "students, clients, private" in result.stderr
