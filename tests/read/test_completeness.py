"""What every piece should say."""

import pytest

from builder.records.settings import Settings, SetUp


@pytest.mark.parametrize("name", ["metal", "method"])
def test_a_piece_without_it_is_built_and_told(library, name):
    lines = ["piece: SH-001", "metal: copper", "method: dip", "started: 2024-10-01"]
    text = "\n".join(line for line in lines if not line.startswith(name))
    library.write("SH-001", text)
    assert library.problems() == [
        f"samples/SH-001/sample.yaml:1: SH-001 has no {name}; expected “{name}: …”; add it; if it "
        f"is lost, write “{name}: unknown”"
    ]
    assert library.piece("SH-001").piece == "SH-001"


@pytest.mark.parametrize(
    "date",
    ["started: 2024-10-01", "finished: 2024-10-01", "sealant: {kind: wax, date: 2024-10-01}",
     "checks: [{date: 2024-10-01}]", "started: unknown",
     "zones: [{name: left, sealant: {kind: wax, date: 2024-10-01}}]"],
)  # fmt: skip
def test_one_date_is_enough(library, date):
    library.write("SH-001", f"piece: SH-001\nmetal: copper\nmethod: dip\n{date}\n")
    assert library.problems() == []


def test_a_piece_without_a_date_is_told(library):
    library.write("SH-001", "piece: SH-001\nmetal: copper\nmethod: dip\n")
    assert "SH-001 has no date" in library.problems()[0]


def test_what_is_lost_is_not_missing(library):
    library.write("SH-001", "piece: SH-001\nmetal: unknown\nmethod: unknown\nstarted: unknown\n")
    assert library.problems() == []


def test_what_another_piece_says_is_not_missing(library):
    library.whole("SH-001")
    library.write("SH-002", "piece: SH-002\nsame_as: SH-001\n")
    assert library.problems() == []


def test_a_sister_that_is_not_there_is_told(library):
    library.whole("SH-001", "sister: SH-02\n")
    library.whole("SH-002")
    assert library.problems() == [
        "samples/SH-001/sample.yaml:5: sister: there is no piece “SH-02”; expected the number of a "
        "piece in this library; did you mean “SH-002”?"
    ]


def test_a_setup_that_is_not_there_is_told_once_where_it_is_written(library):
    settings = Settings(setups=(SetUp("bench plates"),))
    library.whole("SH-001", "setup: bench plate\n", "a.jpg", "b.jpg")
    library.write("SH-002", "piece: SH-002\nsame_as: SH-001\n")
    (said,) = library.problems(settings)
    assert said.endswith("setup is “bench plate”; expected a set-up of mkdocs.yml, or none; "
                         "did you mean “bench plates”?")  # fmt: skip
