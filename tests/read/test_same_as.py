"""`same_as` and `change`."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.read.attempts import Attempt
from builder.read.same_as import follow_same_as
from builder.records.facts import Known
from builder.records.piece import OWN_FIELDS

BASE = (
    "exposure: 7 d\nsealant: {kind: wax, coats: 2}\noutcome: success\nnotes: lovely\nsheen: matt\n"
)


def inherited(library, number):
    (entry,) = [entry for entry in library.read().entries if entry.piece.piece == number]
    return dict(entry.inherited)


def test_everything_is_carried_but_what_is_a_pieces_own(library):
    library.whole("SH-012", BASE)
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\n")
    piece = library.piece("SH-014")
    assert piece.exposure.written == "7 d"
    assert piece.sealant.coats.value.number == 2
    for name in ("outcome", "notes", "sheen"):
        assert getattr(piece, name).known is Known.MISSING
    assert inherited(library, "SH-014") == dict.fromkeys(
        ["metal", "method", "started", "exposure", "sealant"], "SH-012"
    )


def test_change_replaces_the_whole_value_of_a_key(library):
    library.whole("SH-012", BASE)
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\nchange: {sealant: {kind: shellac}}\n")
    piece = library.piece("SH-014")
    assert piece.sealant.kind.value == "shellac"
    assert piece.sealant.coats.known is Known.MISSING
    assert piece.change == {"sealant": {"kind": "shellac"}}
    assert "sealant" not in inherited(library, "SH-014")


def test_a_key_beside_change_changes_too(library):
    library.whole("SH-012", BASE)
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\nexposure: 14 d\nmade_by: R.T.\n")
    assert library.piece("SH-014").exposure.written == "14 d"


def test_an_empty_key_beside_change_says_nothing_and_in_change_takes_away(library):
    library.whole("SH-012", BASE)
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\nexposure:\nchange: {sealant: }\n")
    piece = library.piece("SH-014")
    assert piece.exposure.written == "7 d"
    assert piece.sealant.kind.known is Known.MISSING


def test_a_chain_is_followed_and_each_field_names_where_it_was_written(library):
    library.whole("SH-012", BASE)
    library.write("SH-013", "piece: SH-013\nsame_as: SH-012\nchange: {exposure: 14 d}\n")
    library.write("SH-014", "piece: SH-014\nsame_as: SH-013\nchange: {metal: brass}\n")
    assert library.piece("SH-014").exposure.written == "14 d"
    sources = inherited(library, "SH-014")
    assert (sources["exposure"], sources["method"]) == ("SH-013", "SH-012")
    assert "metal" not in sources


def test_a_missing_target_names_both_files(library):
    library.whole("SH-012")
    library.whole("SH-014", "same_as: SH-021\nexposure: 7 d\n")
    (said,) = library.problems()
    assert said == (
        "samples/SH-014/sample.yaml:5: same_as: there is no piece “SH-021” "
        "(no “samples/SH-021/sample.yaml”); expected the number of a piece in this library; "
        "did you mean “SH-012”?"
    )
    assert library.piece("SH-014").exposure.given


def test_a_target_that_could_not_be_read_is_told_as_that(library):
    library.write("SH-012", "piece: [\n")
    library.whole("SH-014", "same_as: SH-012\n")
    assert any(
        "SH-012 could not be read (samples/SH-012/sample.yaml)" in said
        for said in library.problems()
    )


def test_a_loop_names_both_files_and_keeps_the_pieces(library):
    library.whole("SH-012", "same_as: SH-014\nexposure: 7 d\n")
    library.whole("SH-014", "same_as: SH-012\ncycles: 2\n")
    library.write("SH-015", "piece: SH-015\nsame_as: SH-014\n")
    said = library.problems()
    assert len(said) == 2
    for line in said:
        assert "samples/SH-012/sample.yaml" in line
        assert "samples/SH-014/sample.yaml" in line
        assert "leads back" in line
    assert library.piece("SH-012").exposure.given
    assert not library.piece("SH-012").cycles.given
    assert library.piece("SH-015").cycles.given


def test_a_piece_like_itself_is_told(library):
    library.whole("SH-012", "same_as: SH-012\n")
    (said,) = library.problems()
    assert "the same as itself" in said


def test_a_second_attempt_may_repeat_the_first(library):
    library.write(
        "SH-012",
        "piece: SH-012\nmetal: copper\nmethod: dip\nstarted: 2024-10-01\nexposure: 45 s\n"
        "outcome: failure\n---\nsame_as: SH-012\nchange: {started: 2024-10-08}\n",
    )
    second = library.piece("SH-012", 2)
    assert library.problems() == []
    assert second.exposure.written == "45 s"
    assert second.outcome.known is Known.MISSING


def test_which_attempt_is_meant_is_asked(library):
    library.write(
        "SH-012",
        "piece: SH-012\nmetal: copper\nmethod: dip\nstarted: 2024-10-01\n"
        "---\nmetal: brass\nmethod: dip\nstarted: 2024-10-08\n",
    )
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\n")
    (said,) = library.problems()
    assert "SH-012 was tried 2 times" in said
    assert "same_as: SH-012 attempt 1" in said
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012 attempt 2\n")
    assert library.problems() == []
    assert library.piece("SH-014").metal.value == "brass"
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012 attempt 3\n")
    assert any("has no attempt 3; expected one of: 1, 2" in said for said in library.problems())


@pytest.mark.parametrize("length", [3000])
def test_a_long_chain_is_followed_without_running_out_of_depth(length):
    attempts = [make(number, number - 1 if number else None) for number in range(length)]
    entries, problems = follow_same_as(attempts)
    assert problems == ()
    assert entries[-1].piece.exposure.written == "7 d"
    assert dict(entries[-1].inherited)["exposure"] == "P0"


def make(number, target):
    own = {"same_as": f"P{target}"} if target is not None else {"exposure": "7 d"}
    return Attempt.of(f"P{number}", 1, f"samples/P{number}/sample.yaml", 1,
                   {"piece": f"P{number}", **own}, {}, {(): 1})  # fmt: skip


@given(st.lists(st.none() | st.integers(0, 9), min_size=1, max_size=10))
def test_any_web_of_targets_is_followed_or_told(targets):
    attempts = [make(number, target) for number, target in enumerate(targets)]
    entries, problems = follow_same_as(attempts)
    assert [entry.piece.piece for entry in entries] == [attempt.number for attempt in attempts]
    roots = {number for number, target in enumerate(targets) if target is None}
    for number, entry in enumerate(entries):
        step, seen = number, set()
        while step not in roots and step not in seen and step < len(targets):
            seen.add(step)
            step = targets[step]
        assert entry.piece.exposure.given == (step in roots)
    looped_or_missing = any(
        target is not None and target >= len(targets) for target in targets
    ) or any(not entry.piece.exposure.given for entry in entries)
    assert bool(problems) == looped_or_missing


def test_a_pieces_own_fields_are_never_carried(library):
    library.whole("SH-012", "colour_words: tawny\ncoverage_pct: 76\nwhy: a try\nstarred: yes\n")
    library.write("SH-014", "piece: SH-014\nsame_as: SH-012\n")
    assert not set(inherited(library, "SH-014")) & OWN_FIELDS
