"""What photographs tell besides, counted for an audience."""

from __future__ import annotations

from dataclasses import replace

from builder.records.audiences import make_audience
from builder.records.photo import Exif, Observation
from builder.relate.findings import Findings
from builder.telling import count_lettering, list_doors, tell
from tests.publish.fixture import findings
from tests.telling.told import CLIENTS, STUDENTS

BOX = (0.7, 0.1, 0.9, 0.2)


def with_doors() -> tuple[Findings, str, str]:
    """The demo's findings: one photograph with a position, a serial number and a maker's note, and
    another with lettering in the frame."""
    found = findings()
    paths = sorted(look.observation.file.path for strand in found.strands for look in strand.looks)
    written, lettered = paths[0], paths[-1]

    def mark(seen: Observation) -> Observation:
        picture = seen.picture
        if seen.file.path == written:
            doors = {"position_in": ("EXIF", "XMP"), "has_serial": True, "has_makers_note": True}
            picture = replace(picture, exif=replace(picture.exif, **doors))
        if seen.file.path == lettered:
            picture = replace(picture, lettering=(BOX,))
        return replace(seen, picture=picture)

    strands = tuple(
        replace(
            strand,
            looks=tuple(replace(look, observation=mark(look.observation)) for look in strand.looks),
        )
        for strand in found.strands
    )
    marked = replace(
        found, observations=tuple(map(mark, found.observations)), strands=strands,
        sisters=(), pairs=(), series=(), effects=(), repeats=(), singles=(), failures=(),
    )  # fmt: skip
    return marked, written, lettered


def test_each_door_is_counted_and_named_at_its_photograph() -> None:
    found, written, lettered = with_doors()
    lines = list_doors(found, tell(found, STUDENTS))
    counts, files = dict(lines[:5]), lines[5:]
    assert "position (EXIF) in 1; position (XMP) in 1; serial number in 1" in counts[
        "written by the camera"
    ]  # fmt: skip
    assert counts["written by the camera"].endswith("in no picture that is made")
    assert counts["lettering in the frame"] == "in 1 photograph, 1 of them shown whole"
    assert counts["blurred"] == "nothing"
    assert [path for path, _ in files] == [lettered, written]  # what is shown comes first
    assert files[0][1] == "lettering top right [0.70, 0.10, 0.90, 0.20]: shown"
    assert files[1][1].endswith("which may hold any of them: not shown")
    assert count_lettering(found) == 1


def test_clients_are_shown_no_frame_and_no_name() -> None:
    found, _, lettered = with_doors()
    lines = dict(list_doors(found, tell(found, CLIENTS)))
    assert lines["names of files"] == "none is shown, nor those of folders"
    assert lines["whole photographs"].startswith("0 of ")
    assert lines["lettering in the frame"].endswith("none of them shown whole")
    assert lines[lettered].endswith("not shown")


def test_file_names_that_are_shown_are_counted() -> None:
    found, _, _ = with_doors()
    told = tell(found, make_audience("guild", "clients", show=["file names"]))
    assert "as they are written" in dict(list_doors(found, told))["names of files"]


def test_no_audience_is_told_that_there_was_anything_behind_a_door() -> None:
    found, _, _ = with_doors()
    for audience in (STUDENTS, CLIENTS):
        for seen in tell(found, audience).observations:
            assert seen.picture.lettering == () and seen.file.blur == ()
            assert seen.picture.exif in (Exif(), replace(seen.picture.exif, position_in=()))
            assert not seen.picture.exif.has_serial and not seen.picture.exif.has_makers_note


def test_many_photographs_are_counted_and_not_all_named() -> None:
    found, _, _ = with_doors()
    every = tuple(
        replace(seen, picture=replace(seen.picture, lettering=(BOX,)))
        for seen in found.observations * 3
    )
    copies = tuple(
        replace(seen, file=replace(seen.file, path=f"{number}.jpg"))
        for number, seen in enumerate(every)
    )
    lines = list_doors(replace(found, observations=copies), tell(found, STUDENTS))
    assert lines[-1] == (f"and {len(copies) - 60} more", "likewise")
