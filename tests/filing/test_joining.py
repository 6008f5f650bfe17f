"""Which piece a picture shows, told from a table."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from builder.filing.joining import Joined, join_table
from builder.filing.matching import Because, match_piece
from builder.observing.glimpsing import Glimpse
from builder.read.photo_names import learn_numbering
from builder.records.photo import Exif, Picture

DAY = dt.date(2024, 10, 15)
JOIN = join_table(
    [
        Joined("KM-001", ("IMG_2201.JPG", r"C:\photos\two.jpg"), (DAY,)),
        Joined("KM-002", ("IMG_2203",), (dt.date(2024, 10, 16),)),
        Joined("KM-003", ("both.jpg",), (dt.date(2024, 10, 16),)),
        Joined("KM-004", ("both.jpg",)),
    ],
    ["SH-012"],
)


def seen(name: str, day: dt.date | None = None, labels: tuple[str, ...] = ()) -> Glimpse:
    taken = dt.datetime.combine(day, dt.time(10)) if day else None
    path = Path("/phone") / name
    exif = Exif(taken=taken)
    picture = Picture(path.name, "0", 1, "JPEG", 1, 1, exif, "", (), DAY, labels=labels)
    return Glimpse(path, picture)


@pytest.mark.parametrize(
    ("glimpse", "piece", "because"),
    [
        (seen("img_2201.jpg"), "KM-001", Because.TABLE),
        (seen("two.jpg"), "KM-001", Because.TABLE),
        (seen("IMG_2203.HEIC"), "KM-002", Because.TABLE),
        (seen("IMG_9.jpg", DAY), "KM-001", Because.DAY),
    ],
)
def test_a_name_in_the_table_or_a_day_of_its_own_tells_the_piece(
    glimpse: Glimpse, piece: str, because: Because
) -> None:
    match = JOIN(glimpse)
    assert match is not None
    assert (match.piece, match.because) == (piece, because)


@pytest.mark.parametrize(
    "glimpse",
    [
        seen("IMG_9.jpg"),
        seen("IMG_9.jpg", dt.date(2024, 10, 16)),  # two pieces of that day
        seen("IMG_9.jpg", dt.date(2024, 10, 17)),
        seen("both.jpg"),  # two pieces claim it
        seen("IMG_9.jpg", DAY, ("KM-003",)),  # its label is to be asked first
        seen("KM-003_wet.jpg", DAY),  # so is its name
        seen("km3.jpg", DAY),
        seen("KM-003 dip/IMG_9.jpg", DAY),  # and its folder
        Glimpse(Path("/phone/IMG_9.jpg"), None),
    ],
)
def test_where_that_tells_nothing_or_two_things_nothing_is_told(glimpse: Glimpse) -> None:
    assert JOIN(glimpse) is None


def test_names_that_two_pieces_claim_are_said() -> None:
    assert JOIN.twice == {"both.jpg": ("KM-003", "KM-004")}
    assert JOIN.finds("IMG_2203", {"img_2203", "img_2203.heic"})
    assert not JOIN.finds("IMG_2204", {"img_2203.heic"})


@pytest.mark.parametrize(
    ("name", "piece", "because"),
    [
        ("km002.jpg", "KM-002", Because.NAME),
        ("SH 12_wet.jpg", "SH-012", Because.NAME),
        ("km2/IMG_9.jpg", "KM-002", Because.FOLDER),
        ("KM-002 dip/IMG_9.jpg", "KM-002", Because.FOLDER),
    ],
)
def test_a_number_is_known_in_other_spellings_and_before_other_words(
    name: str, piece: str, because: Because
) -> None:
    glimpse = seen(name)
    assert glimpse.picture is not None
    match = match_piece(Path("/phone") / name, glimpse.picture, "", JOIN.numbering, None)
    assert (match.piece, match.because) == (piece, because)
    assert learn_numbering(["A"]).begin("A nice day") == ""  # a word, and no number
    numbering = learn_numbering(["KM-002", "KM-2"])  # two pieces: then every sign counts
    assert numbering.spell("KM-2") == "KM-2" and numbering.spell("KM-02") == ""
