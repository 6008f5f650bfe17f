"""Nothing that is withheld from an audience is in any byte of what is built for them, and what
should be there is."""

from __future__ import annotations

import base64
import datetime as dt
import io
import json
import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import exifread
import pytest
from click.testing import CliRunner
from PIL import Image

from builder.archive.site_zips import GUIDE, pack_site
from builder.cli import cli
from builder.digests import digest_file
from builder.look.codes import read_codes
from builder.look.srgb_tag import srgb_profile
from builder.publish import plates
from builder.publish.words import say_day
from builder.read.fields import list_fields
from builder.records.audiences import FIELDS, Rule
from builder.records.piece import Piece
from tests.leaks.library import BEGUN, PHOTOS, SEALED, TODAY, make_library
from tests.leaks.tokens import Tokens, find_tokens

SITES = {
    "students": "site",
    "clients": "site-for-clients",
    "private": "site-for-private",
    "guild": "site-for-guild",
}
#: What the private site shows at the least: else this test would find nothing because nothing is.
SHOWN_TO_THE_MAKER = (
    "metal", "alloy", "why", "prep.step", "method", "ingredients.name", "ingredients.amount",
    "batch.name", "container.kind", "temperature_c", "stop", "storage.place", "colour_words",
    "cause", "notes", "zones.name", "checks.notes", "made_by",
)  # fmt: skip


@dataclass(frozen=True)
class Built:
    """All sites of one library. ``found``: marks by the site they are in; ``words``: what was
    written on its comparison plates."""

    folder: Path
    tokens: Tokens
    found: Mapping[str, frozenset[str]]
    words: Mapping[str, str]
    said: Mapping[str, str]

    def files(self, audience: str) -> Iterator[tuple[str, bytes]]:
        site = self.folder / SITES[audience]
        for path in sorted(site.rglob("*")):
            yield path.relative_to(site).as_posix(), path.read_bytes() if path.is_file() else b""

    def places(self, audience: str) -> set[tuple[str, str]]:
        return {self.tokens.places[token] for token in self.found[audience]}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    folder = tmp_path_factory.mktemp("leaks")
    tokens = make_library(folder)
    found, words, said = {}, {}, {}
    true = plates.compose_plate
    for audience in SITES:
        composed: list[str] = []
        with pytest.MonkeyPatch.context() as patch:

            def compose(plate: plates.Plate, to: list[str] = composed) -> bytes:
                to.append(repr(plate).replace(str(folder), ""))
                return true(plate)

            patch.setattr(plates, "compose_plate", compose)
            result = CliRunner().invoke(
                cli, ["build", str(folder), "--for", audience, "--today", TODAY]
            )
        assert result.exit_code == 0, result.output
        words[audience], said[audience] = "".join(composed), result.stdout
        site = folder / SITES[audience]
        marks = find_tokens(words[audience].encode())
        for path in site.rglob("*"):
            marks |= find_tokens(path.relative_to(site).as_posix().encode())
            marks |= find_tokens(path.read_bytes()) if path.is_file() else set()
        found[audience] = frozenset(marks)
    return Built(folder, tokens, found, words, said)


def test_every_field_of_the_vocabulary_has_a_mark(built: Built) -> None:
    marked = {path for _, path in built.tokens.places.values()}
    unmarked = {"piece", "same_as", "sister", "attempt", "share", "zones.at"}  # they have to serve
    photos = {path for path in FIELDS if path.startswith("photos.")} - marked
    assert photos == {f"photos.{name}" for name in
                      ("date", "state", "side", "light", "setup", "piece_at", "card_at", "attempt",
                       "blur")
                      }  # fmt: skip
    assert set(FIELDS) - marked - photos == unmarked
    assert list_fields(Piece)


@pytest.mark.parametrize("path", SHOWN_TO_THE_MAKER)
def test_the_maker_sees_what_was_written(built: Built, path: str) -> None:
    assert (
        built.tokens.of(path, "SH-012" if path != "zones.name" else "SH-024")
        & (built.found["private"])
    )
    assert ("ZQ-4", "notes") in built.places("private")


def test_students_see_all_the_maker_does_but_what_no_student_may(built: Built) -> None:
    kept = {place for place in built.places("private") if _is_kept_from_students(*place)}
    assert built.places("students") == built.places("private") - kept
    assert {("SH-012", "made_by"), ("SH-012", "storage.place"), ("ZQ-4", "metal")} <= kept


def _is_door(owner: str, what: str) -> bool:
    """Whether it is a mark behind a door of the picture on the maker's own page."""
    return owner == "docs" and re.fullmatch(r"[A-Z].*|thumbnail|comment", what) is not None


def _is_kept_from_students(piece: str, path: str) -> bool:
    recipe = path.partition(".")[0] in (
        "ingredients", "batch", "container", "position", "temperature_c", "humidity_pct",
        "exposure", "cycles", "stop",
    )  # fmt: skip
    private = piece == "ZQ-4" or (piece == "SH-024" and (recipe or path == "notes"))
    return private or FIELDS.get(path) is Rule.PRIVATE or _is_door(piece, path)


def test_clients_see_looks_and_nothing_that_was_worded(built: Built) -> None:
    assert built.places("clients") == {
        ("SH-012", "metal"), ("SH-024", "metal"),
        ("SH-024", "sheen"),  # shared with the public
        ("settings", "title"), ("docs", "shown page"), ("docs", "shown file"),
    }  # fmt: skip


def test_an_audience_of_ones_own_sees_what_it_is_named_for(built: Built) -> None:
    places = built.places("guild")
    assert {("SH-024", "ingredients.name"), ("SH-024", "notes"), ("SH-012", "made_by")} <= places
    assert not {place for place in places if place[0] == "ZQ-4" or place[1] == "storage.place"}


def test_no_door_of_a_photograph_is_open_to_anyone(built: Built) -> None:
    camera = {"Make", "Model", "LensMake", "LensModel"}
    doors = {
        token
        for token, (_, what) in built.tokens.places.items()
        if re.fullmatch(r"[A-Z].*|thumbnail|comment", what) and what not in camera
    }
    assert len(doors) > 100
    for audience in ("students", "clients", "guild"):
        assert not doors & built.found[audience]
    own = {token for token in doors if built.tokens.places[token][0] != "docs"}
    assert not own & built.found["private"]


@pytest.mark.parametrize("audience", SITES)
def test_a_published_picture_holds_nothing_but_the_picture(built: Built, audience: str) -> None:
    pictures = 0
    for name, data in built.files(audience):
        if not name.startswith("pictures/") or not data:
            continue
        pictures += 1
        with Image.open(io.BytesIO(data)) as image:
            kept = set(image.info) - {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
            assert kept <= {"icc_profile", "dpi", "srgb", "gamma"}, (name, kept)
            assert image.info.get("icc_profile", srgb_profile()) == srgb_profile(), name
            assert not image.getexif(), name
        assert not exifread.process_file(io.BytesIO(data)), name
    assert pictures


@pytest.mark.parametrize("audience", ["students", "clients", "guild"])
def test_a_picture_of_the_makers_own_pages_tells_no_place(built: Built, audience: str) -> None:
    (data,) = (data for name, data in built.files(audience) if name == "house.jpg")
    assert not exifread.process_file(io.BytesIO(data))
    assert b"GPS" not in data and b"xmp" not in data
    with Image.open(io.BytesIO(data)) as bare, Image.open(built.folder / "docs/house.jpg") as own:
        assert bare.tobytes() == own.tobytes()


@pytest.mark.parametrize(("audience", "read"), [
    ("students", {"SH-012"}), ("guild", {"SH-012"}), ("private", {"SH-012"}), ("clients", set()),
])  # fmt: skip
def test_a_code_in_the_frame_is_in_whole_photographs_alone_and_where_blurred_in_none(
    built: Built, audience: str, read: set[str]
) -> None:
    codes = {
        code.text
        for name, data in built.files(audience)
        if name.startswith("pictures/") and data
        for code in read_codes(Image.open(io.BytesIO(data)).convert("RGB"))
    }
    strange = codes & built.tokens.of("code in the frame")
    assert {built.tokens.places[token][0] for token in strange} == read
    assert len(built.tokens.of("code in the frame")) == 2
    assert not built.tokens.of("code in the frame") & built.found[audience]  # nor is it named


def test_check_names_every_door_and_none_of_what_lies_behind(built: Built) -> None:
    asked = ["check", str(built.folder), "--for", "students", "--today", TODAY]
    said = CliRunner().invoke(cli, asked).stdout
    for words in (
        "position (EXIF) in 7", "position (XMP) in 7", "serial number in 7",
        "name of owner or artist in 7", "in no picture that is made", "parts of 1 photograph",
    ):  # fmt: skip
        assert words in said, said
    behind = {t for t, (_, what) in built.tokens.places.items() if what[0].isupper()}
    behind |= built.tokens.of("code in the frame")
    assert not behind & find_tokens(said.encode())
    line = next(line for line in said.splitlines() if "SH-012" in line and "lettering" in line)
    assert "lettering" in line and "shown" in line


def test_clients_are_told_no_day_and_no_hour(built: Built) -> None:
    days = {look[:10] for looks in PHOTOS.values() for look in looks}
    days |= {BEGUN, SEALED, "2024-10-08", "2025-01-14", "2024-12-04", TODAY}
    spoken = {say_day(dt.date.fromisoformat(day)) for day in days}
    text = _text_of(built, "clients")
    assert not [day for day in days | spoken if day in text]
    assert "13:27" not in text
    assert {say_day(dt.date(2024, 10, 15)), "2024-10-15"} <= {
        day for day in days | spoken if day in _text_of(built, "students")
    }


def test_clients_are_told_no_figure_of_the_recipe(built: Built) -> None:
    text = _text_of(built, "clients")
    assert not [figure for figure in ("7.0331", "9.0773") if figure in text]
    assert "7.0331" in _text_of(built, "students")


def test_clients_have_no_digest_of_an_original_and_no_line_of_the_ledger(built: Built) -> None:
    digests = {digest_file(path) for path in (built.folder / "samples").rglob("*.jpg")}
    named = {base64.urlsafe_b64encode(bytes.fromhex(digest)).decode()[:16] for digest in digests}
    ledger = [
        json.loads(line) for line in (built.folder / "ledger.jsonl").read_text("utf-8").splitlines()
    ]
    seals = {str(value)[:12] for line in ledger for key, value in line.items() if "seal" in key}
    short = {digest[:12] for digest in digests}
    clients, students = _text_of(built, "clients"), _text_of(built, "students")
    assert not [one for one in short | named | seals if one in clients]
    assert all(one in students for one in short)
    assert not re.search(r"ledger|entry \d", clients.partition("patinarium/vendor")[0], re.I)


def test_a_site_in_a_zip_file_tells_no_more_than_the_site(built: Built, tmp_path: Path) -> None:
    site, packed = built.folder / SITES["clients"], tmp_path / "site.zip"
    pack_site(site, packed, "A library")
    with zipfile.ZipFile(packed) as archive:
        guide = archive.read(f"{site.name}/{GUIDE}")
        members = {name: archive.read(name) for name in archive.namelist()}
        assert not any(info.extra or info.comment for info in archive.infolist())
        assert not archive.comment
    files = {f"{site.name}/{path}": data for path, data in built.files("clients") if data}
    assert members == {**files, f"{site.name}/{GUIDE}": guide}
    assert not find_tokens(guide) and str(built.folder).encode() not in packed.read_bytes()


def test_clients_have_the_pages_of_looks_alone(built: Built) -> None:
    pages = {name for name, _ in built.files("clients") if name.endswith(".html")}
    assert pages == {
        "404.html", "index.html", "wall.html", "every-piece.html", "find-a-colour.html",
        "finishes.html", "sealed-against-bare.html", "ageing.html", "glossary.html", "care.html",
        "pieces/SH-012.html", "pieces/SH-014.html",
        "pieces/SH-024.html", *(page for page in pages if page.startswith("sisters/")),
    }  # fmt: skip
    assert not [name for name, _ in built.files("clients") if name.startswith("data")]


@pytest.mark.parametrize("audience", SITES)
def test_every_link_within_a_site_leads_somewhere(built: Built, audience: str) -> None:
    names = {name for name, _ in built.files(audience)}
    for name, data in built.files(audience):
        if not name.endswith(".html") or name == "404.html":
            continue
        for link in re.findall(r'(?:href|src)="([^"#?:]+)(?:#[^"]*)?"', data.decode()):
            target = posixpath.normpath(posixpath.join(posixpath.dirname(name), link))
            assert target in names or target == ".", (name, link)


@pytest.mark.parametrize("audience", SITES)
def test_every_picture_of_a_site_is_on_one_of_its_pages(built: Built, audience: str) -> None:
    text = _text_of(built, audience)
    pictures = {
        name.rpartition("/")[2]
        for name, data in built.files(audience)
        if name.startswith("pictures/") and data
    }
    small = {name for name in pictures if name not in text}
    if audience == "clients":
        assert not small
    else:  # the largest size of each photograph is linked, the middle ones serve narrow screens
        assert len(small) < len(pictures) / 2


def test_a_build_says_in_a_line_what_it_left_out(built: Built) -> None:
    for audience, said in built.said.items():
        (line,) = (line for line in said.splitlines() if line.startswith("Left out for"))
        assert line.startswith(f"Left out for {audience}: ")
    assert "the recipe of 3 pieces" in built.said["clients"]
    assert "1 whole piece" in built.said["students"]
    assert "nothing." in built.said["private"]


def _text_of(built: Built, audience: str) -> str:
    """All text of a site but that of the theme."""
    ours = (
        data.decode("utf-8", "replace")
        for name, data in built.files(audience)
        if name.endswith((".html", ".json", ".jsonld", ".csv", ".js", ".txt"))
        and not name.startswith(("assets/", "patinarium/vendor"))
    )
    return built.words[audience] + "\n".join(ours)


def test_marks_are_found_however_they_are_written() -> None:
    mark, held = "zq123x", io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("a.txt", mark)
    for written in (
        b"ZQ123X", b"%7Azq123x", mark.encode("utf-16-le"), base64.b64encode(b"a zq123x b"),
        base64.urlsafe_b64encode(b"\xff\xfe zq123x"), held.getvalue(),
    ):  # fmt: skip
        assert find_tokens(written) == {mark}, written
    assert not find_tokens(b"zq12x zq1234")
