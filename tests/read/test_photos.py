"""The photographs of a folder."""

import datetime as dt
import os
import unicodedata

import pytest

from builder.errors import Weight
from builder.records.photo import Light, State, StateFrom
from builder.records.settings import Settings, SetUp

SETTINGS = Settings(
    default_setup="bench plates",
    setups=(SetUp("bench plates"), SetUp("bench bells"), SetUp("crossed", light="cross-polarised")),
)


def photos(library, settings=SETTINGS):
    return {photo.path.rsplit("/", 1)[-1]: photo for photo in library.read(settings).photos}


def test_pictures_are_listed_by_ending_whatever_its_capitals(library):
    names = ["b.JPG", "a.jpeg", "c.png", "d.tif", "e.TIFF", "f.webp", "g.HEIC", "h.heif"]
    library.whole("SH-001", "", *names, "notes.txt", "paper.pdf", ".hidden.jpg", "sample.yaml~")
    read = library.read()
    assert [photo.path for photo in read.photos] == [
        f"samples/SH-001/{name}" for name in sorted(names)
    ]
    assert read.problems == ()


def test_sub_folders_are_not_followed(library):
    place = library.whole("SH-001", "", "a.jpg")
    (place / "older").mkdir()
    (place / "older" / "b.jpg").write_bytes(b"")
    (place / "album.jpg").mkdir()
    assert list(photos(library)) == ["a.jpg"]


def test_what_the_name_says_is_taken(library):
    library.whole("SH-001", "", "SH-001_2025-01-14_before-seal_back_raking.jpg")
    (photo,) = photos(library).values()
    assert (photo.written, photo.state, photo.state_from) == (
        dt.date(2025, 1, 14), State.BEFORE_SEAL, StateFrom.FILE_NAME,
    )  # fmt: skip
    assert (photo.side, photo.light, photo.setup) == ("back", Light.RAKING, "bench plates")
    assert (photo.piece, photo.attempt, photo.named_piece, photo.line) == ("SH-001", 1, "SH-001", 0)


def test_what_the_sidecar_says_goes_first(library):
    note = (
        "photos:\n  - file: SH-001_2025-01-14_recheck_front.jpg\n    date: 2025-01-14\n"
        "    state: wet\n    side: back\n    light: xpol\n    setup: bench bells\n"
        "    piece_at: [0.1, 0.1, 0.5, 0.9]\n"
        "    card_at: [[0.6, 0.1], [0.9, 0.1], [0.9, 0.5], [0.6, 0.5]]\n"
        "    caption: just rinsed\n"
    )
    library.whole("SH-001", note, "SH-001_2025-01-14_recheck_front.jpg")
    (photo,) = photos(library).values()
    assert (photo.state, photo.state_from) == (State.WET, StateFrom.SIDECAR)
    assert (photo.side, photo.light, photo.setup) == ("back", Light.CROSS_POLARISED, "bench bells")
    assert photo.piece_at == ((0.1, 0.1), (0.5, 0.1), (0.5, 0.9), (0.1, 0.9))
    assert photo.card_at[2] == (0.9, 0.5)
    assert (photo.caption, photo.line) == ("just rinsed", 6)


def test_what_nobody_says_stays_open(library):
    library.whole("SH-001", "", "IMG_1234.HEIC")
    (photo,) = photos(library, Settings()).values()
    assert (photo.state, photo.state_from, photo.written) == (None, None, None)
    assert (photo.setup, photo.side, photo.light) == ("", "front", Light.PLAIN)


@pytest.mark.parametrize(
    ("piece", "note", "setup"),
    [
        ("", "", "bench plates"),
        ("setup: bench bells\n", "", "bench bells"),
        ("setup: none\n", "", ""),
        ("setup: bench bells\n", "photos: [{file: a.jpg, setup: bench plates}]\n", "bench plates"),
        ("", "photos: [{file: a.jpg, setup: none}]\n", ""),
    ],
)
def test_the_nearest_word_on_the_setup_counts(library, piece, note, setup):
    library.whole("SH-001", piece + note, "a.jpg")
    assert photos(library)["a.jpg"].setup == setup
    assert library.problems(SETTINGS) == []


def test_light_is_that_of_the_setup_where_nothing_else_tells(library):
    library.whole("SH-001", "setup: crossed\n", "a.jpg", "SH-001_plain.jpg")
    read = photos(library)
    assert read["a.jpg"].light is Light.CROSS_POLARISED
    assert read["SH-001_plain.jpg"].light is Light.PLAIN


def test_a_picture_of_another_piece_is_told_and_keeps_its_name(library):
    library.whole("SH-014", "", "SH-012_2025-01-14_recheck_front.jpg")
    library.whole("SH-012")
    (said,) = library.problems()
    assert said == (
        "samples/SH-014/SH-012_2025-01-14_recheck_front.jpg: the file's name says SH-012, the "
        "folder is of SH-014; expected pictures of one piece; move it to SH-012, or rename it; it "
        "is not compared until then"
    )
    (photo,) = photos(library).values()
    assert (photo.piece, photo.named_piece) == ("SH-014", "SH-012")


@pytest.mark.parametrize(
    "written", ["../SH-002/a.jpg", "/etc/a.jpg", "older/a.jpg", "C:\\a.jpg", "..", "''"]
)
def test_a_photo_named_outside_its_folder_is_told(library, written):
    library.whole("SH-001", f"photos:\n  - {{file: {written}}}\n", "a.jpg")
    (said,) = library.problems()
    assert said.startswith("samples/SH-001/sample.yaml:6: photos names ")
    assert "outside its folder" in said


def test_a_photo_that_is_not_there_is_told_with_the_nearest_name(library):
    library.whole("SH-001", "photos: [{file: IMG_1243.jpg}]\n", "IMG_1234.jpg")
    assert library.problems() == [
        "samples/SH-001/sample.yaml:5: photos names “IMG_1243.jpg”, which is not here; expected a "
        "picture in samples/SH-001; did you mean “IMG_1234.jpg”?"
    ]


def test_capitals_and_the_way_accents_are_stored_do_not_matter(library):
    library.whole(
        "SH-001",
        "photos: [{file: img_1.jpg, state: wet}, {file: café.jpg, state: dry}]\n",
        "IMG_1.JPG",
        unicodedata.normalize("NFD", "café.jpg"),
    )
    assert library.problems() == []
    assert sorted(photo.state for photo in photos(library).values()) == [State.DRY, State.WET]


def test_a_photo_noted_twice_is_told(library):
    library.whole("SH-001", "photos:\n  - {file: a.jpg, state: wet}\n  - {file: a.jpg}\n", "a.jpg")
    assert "7: photos names “a.jpg” a second time" in library.problems()[0]
    assert photos(library)["a.jpg"].state is State.WET


def test_a_name_dated_before_the_piece_began_is_told(library):
    library.whole("SH-001", "", "SH-001_2024-09-30_recheck.jpg")
    (said,) = library.problems()
    assert "the name's date, 2024-09-30, is before the piece began, 2024-10-01" in said


def test_a_date_before_the_piece_began_is_told_once_wherever_it_is_written(library):
    name = "SH-001_2024-09-30_recheck.jpg"
    library.whole("SH-001", f"photos: [{{file: {name}, caption: odd}}]\n", name)
    assert len(library.problems()) == 1
    library.whole("SH-001", f"photos: [{{file: {name}, date: 2024-09-30}}]\n", name)
    assert len(library.problems()) == 1


@pytest.mark.parametrize("state", ["bare", "cleaned"])
def test_a_blank_may_be_photographed_before_its_piece_began(library, state):
    library.whole("SH-001", "", f"SH-001_2024-09-30_{state}.jpg")
    assert library.problems() == []


def test_a_name_with_no_day_of_the_calendar_is_told(library):
    library.whole("SH-001", "", "SH-001_2025-02-30_wet.jpg")
    assert "2025-02-30, is no day of the calendar" in library.problems()[0]


def test_two_dates_of_one_photo_are_told(library):
    note = "photos: [{file: SH-001_2025-01-14.jpg, date: 2025-01-15}]\n"
    library.whole("SH-001", note, "SH-001_2025-01-14.jpg")
    assert "is dated 2025-01-15 here and 2025-01-14 in its name" in library.problems()[0]
    assert photos(library)["SH-001_2025-01-14.jpg"].written == dt.date(2025, 1, 15)


def test_a_place_that_cannot_be_read_is_told_and_left_to_the_setup(library):
    library.whole("SH-001", "photos: [{file: a.jpg, piece_at: [0.6, 0, 0.2, 1]}]\n", "a.jpg")
    assert "piece_at of “a.jpg”: right and bottom must be larger" in library.problems()[0]
    assert photos(library)["a.jpg"].piece_at is None


def test_parts_to_blur_are_read_one_or_several(library):
    one = "photos: [{file: a.jpg, blur: [0.1, 0.2, 0.3, 0.4]}, "
    two = "{file: b.jpg, blur: [[0, 0, 1/2, 1], [0.5, 0, 1, 0.1]]}, {file: c.jpg, blur: none}]\n"
    library.whole("SH-001", one + two, "a.jpg", "b.jpg", "c.jpg")
    assert library.problems() == []
    read = {name: photo.blur for name, photo in photos(library).items()}
    assert read == {
        "a.jpg": ((0.1, 0.2, 0.3, 0.4),),
        "b.jpg": ((0, 0, 0.5, 1), (0.5, 0, 1, 0.1)),
        "c.jpg": (),
    }


@pytest.mark.parametrize(
    "written", ["[0.1, 0.2, 1.3, 0.4]", "[[0.5, 0, 0.1, 1]]", "all", "{left: 0.1}", "[[0, 0, 1]]"]
)
def test_parts_that_cannot_be_read_are_told_and_all_is_blurred(library, written):
    library.whole("SH-001", f"photos: [{{file: a.jpg, blur: {written}}}]\n", "a.jpg")
    (said,) = library.problems()
    assert "blur of “a.jpg”" in said and "all of the picture is blurred" in said
    assert photos(library)["a.jpg"].blur == ((0, 0, 1, 1),)


def test_a_setup_of_a_photo_that_is_not_there_is_told(library):
    library.whole("SH-001", "photos: [{file: a.jpg, setup: bench bell}]\n", "a.jpg")
    (said,) = library.problems(SETTINGS)
    assert "setup of “a.jpg” is “bench bell”" in said
    assert "did you mean “bench bells”?" in said


TWICE = (
    "piece: SH-001\nmetal: copper\nmethod: dip\nstarted: 2024-10-01\n---\n"
    "metal: copper\nmethod: dip\nstarted: 2025-03-01\nphotos: [{file: b.jpg}]\n"
)


def test_a_photo_belongs_to_the_attempt_that_had_begun(library):
    library.write(
        "SH-001", TWICE, "SH-001_2024-11-01.jpg", "SH-001_2025-03-02.jpg", "a.jpg", "b.jpg"
    )
    attempts = {name: photo.attempt for name, photo in photos(library).items()}
    assert attempts == {
        "SH-001_2024-11-01.jpg": 1, "SH-001_2025-03-02.jpg": 2, "a.jpg": 1, "b.jpg": 2,
    }  # fmt: skip
    (said,) = library.problems()
    assert said.startswith("samples/SH-001/a.jpg: the piece was tried 2 times")


def test_a_note_may_name_another_attempt(library):
    library.write("SH-001", TWICE.replace("b.jpg}", "b.jpg, attempt: 1}"), "b.jpg")
    assert photos(library)["b.jpg"].attempt == 1
    library.write("SH-001", TWICE.replace("b.jpg}", "b.jpg, attempt: 3}"), "b.jpg")
    assert photos(library)["b.jpg"].attempt == 2
    assert "said to show attempt 3" in library.problems()[0]


needs_links = pytest.mark.skipif(os.name == "nt", reason="links need a privilege on Windows")


@needs_links
def test_a_link_that_leads_outside_the_library_is_left_out(library, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside") / "secret.jpg"
    outside.write_bytes(b"secret")
    place = library.whole("SH-001", "", "a.jpg")
    (place / "b.jpg").symlink_to(outside)
    (place / "c.jpg").symlink_to(place / "nowhere.jpg")
    (place / "d.jpg").symlink_to(place / "a.jpg")
    (place / "e.jpg").symlink_to(place / "e.jpg")
    read = library.read()
    assert [photo.path[-5:] for photo in read.photos] == ["a.jpg", "d.jpg"]
    assert [problem.weight for problem in read.problems] == [Weight.LEFT_OUT] * 3
    assert "a link that leads outside the library" in str(read.problems[0])
    assert "a link that leads nowhere" in str(read.problems[1])


@needs_links
def test_a_pipe_among_the_pictures_is_left_out(library):
    place = library.whole("SH-001")
    os.mkfifo(place / "a.jpg")
    read = library.read()
    assert read.photos == ()
    assert "this is not a file" in str(read.problems[0])


@needs_links
@pytest.mark.parametrize("name", ["a\nb.jpg", "a\x1b[31m.jpg", "a\udcff.jpg", "a\u202egpj.jpg"])
def test_a_name_that_does_not_print_is_left_out_and_told_safely(library, name):
    library.whole("SH-001", "", name)
    read = library.read()
    assert read.photos == ()
    (said,) = map(str, read.problems)
    assert said.isprintable()
    said.encode()
