"""One sidecar: what is kept, what is left out, and what is said of it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.errors import Weight
from builder.read.sidecar import is_safe_number, read_sidecar
from builder.records.facts import Known
from builder.records.settings import Limits
from tests.read.library_folder import WHOLE


def read(tmp_path, text, folder="SH-014", limit=1_000_000):
    path = tmp_path / "sample.yaml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_sidecar(path, "samples/SH-014/sample.yaml", folder, Limits(sidecar_bytes=limit))


def said(sidecar):
    return [
        str(problem).removeprefix("samples/SH-014/sample.yaml:") for problem in sidecar.problems
    ]


def test_a_good_sidecar_says_nothing(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}")
    assert sidecar.problems == ()
    assert sidecar.attempts[0].key == ("SH-014", 1)


def test_all_problems_of_a_file_are_told_at_once_with_their_lines(tmp_path):
    text = (
        "piece: SH-014\nmetl: copper\nmetal: [copper]\nmethod: dip\nstarted: 01/10/2024\n"
        "ingredients:\n  - {name: salt, amount: a splash}\n  - {name: ammonia, strenght: 9 %}\n"
        "outcome: sucess\n"
    )
    sidecar = read(tmp_path, text)
    lines = [line.split(":")[0] for line in said(sidecar)]
    assert sorted(lines) == ["2", "3", "5", "7", "8", "9"]
    assert all(problem.weight is Weight.NOTED for problem in sidecar.problems)


def test_an_unknown_key_is_left_out_and_the_nearest_one_named(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}prap: [abrade]\n")
    assert said(sidecar) == [
        "5: “prap” is no known key; expected a key of the vocabulary; did you mean “prep”?"
    ]
    assert "prap" not in sidecar.attempts[0].tree


def test_an_unknown_key_within_a_record_names_the_record(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}sealant:\n  kind: wax\n  coat: 2\n")
    assert said(sidecar) == [
        "7: “coat” is no known key of sealant; expected a key of the vocabulary; "
        "did you mean “coats”?"
    ]
    assert sidecar.attempts[0].tree["sealant"] == {"kind": "wax"}


def test_a_list_where_text_belongs_is_left_out(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}sheen: [matt, gloss]\n")
    assert said(sidecar) == [
        "5: sheen is a list; expected words on one line; write it that way; it is left out for now"
    ]
    assert "sheen" not in sidecar.attempts[0].tree


def test_a_mapping_where_a_list_belongs_is_left_out(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}ingredients: {{salt: 15 g}}\n")
    assert "5: ingredients is a mapping; expected a list" in said(sidecar)[0]
    assert "ingredients" not in sidecar.attempts[0].tree


def test_a_list_item_taken_out_does_not_move_the_lines_of_the_others(tmp_path):
    text = f"piece: SH-014\n{WHOLE}photos:\n  - state: wet\n  - {{file: b.jpg, state: wett}}\n"
    sidecar = read(tmp_path, text)
    assert said(sidecar)[0].startswith("6: photos, item 1 has no “file”")
    assert said(sidecar)[1].startswith("7: state of photos, item 1 is “wett”")
    assert sidecar.attempts[0].find_line("photos", 0, "state") == 7


def test_a_side_that_is_no_value_does_not_move_the_others(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}size_mm: [[100], 150, 0.9]\n")
    assert sidecar.attempts[0].tree["size_mm"] == ["", "150", "0.9"]


def test_a_value_that_cannot_be_converted_is_kept_and_told(tmp_path):
    text = f"piece: SH-014\n{WHOLE}ingredients:\n  - {{name: acid, amount: a splash}}\n"
    assert said(read(tmp_path, text)) == [
        "6: amount of ingredients, item 1 is “a splash”; expected an amount with its unit, such as "
        "200 g, 120 ml, 2½ tsp or 3 : 1 by weight; put it right, or leave it: it is shown as "
        "written, and no figure rests on it"
    ]


def test_a_value_in_a_mapping_that_stands_for_a_list_is_named_by_its_key(tmp_path):
    text = f"piece: SH-014\n{WHOLE}ingredients: {{name: acid, amount: 30}}\n"
    (line,) = said(read(tmp_path, text))
    assert line.startswith("5: amount of ingredients is “30”: its unit is missing")


def test_a_bare_gauge_is_told_as_what_it_is(tmp_path):
    (line,) = said(read(tmp_path, f"piece: SH-014\n{WHOLE}thickness: 20\n"))
    assert line.startswith("5: thickness is “20”: that looks like a gauge without its system")


@pytest.mark.parametrize(
    ("written", "nearest"),
    [("outcome: sucess", "success"), ("checks: [{state: rechek}]", "recheck"),
     ("checks: [{seen: [{what: bloom, severity: slihgt}]}]", "slight")],
)  # fmt: skip
def test_a_word_the_pages_sort_by_is_suggested(tmp_path, written, nearest):
    (line,) = said(read(tmp_path, f"piece: SH-014\n{WHOLE}{written}\n"))
    assert f"did you mean “{nearest}”?" in line


@pytest.mark.parametrize(
    "written",
    ["metal: nickel silver", "method: electrolysis", "cause: the cat",
     "checks: [{seen: [{what: lichen}]}]"],
)  # fmt: skip
def test_a_word_of_the_makers_own_is_taken_as_it_is(tmp_path, written):
    text = f"piece: SH-014\nmetal: copper\nmethod: dip\nstarted: 2024-10-01\n{written}\n"
    key = written.split(":")[0]
    lines = [
        line for line in text.splitlines() if not (line.startswith(f"{key}:") and line != written)
    ]
    assert said(read(tmp_path, "\n".join(lines))) == []


def test_other_spellings_of_keys_are_taken(tmp_path):
    text = f"Piece: SH-014\n{WHOLE}Color words: tawny\ntemperature: 45\nhumidity: 50\n"
    sidecar = read(tmp_path, text)
    assert sidecar.problems == ()
    assert set(sidecar.attempts[0].tree) >= {"colour_words", "temperature_c", "humidity_pct"}


def test_without_a_number_the_folders_name_is_taken(tmp_path):
    sidecar = read(tmp_path, WHOLE)
    assert sidecar.attempts[0].number == "SH-014"
    assert "the piece has no number" in said(sidecar)[0]


def test_a_number_unlike_its_folder_is_noted(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-015\n{WHOLE}")
    assert sidecar.attempts[0].number == "SH-015"
    assert said(sidecar) == [
        "1: the piece is “SH-015”, its folder “SH-014”; expected the same number; rename the "
        "folder, or correct the number"
    ]


@pytest.mark.parametrize(
    "number", ["../SH-1", "a/b", "SH 14", "<b>", ".hidden", "é", "x" * 61, "con"]
)
def test_a_number_that_is_no_file_name_leaves_the_piece_out(tmp_path, number):
    sidecar = read(tmp_path, f"piece: '{number}'\n{WHOLE}")
    assert sidecar.attempts == ()
    assert sidecar.problems[0].weight is Weight.LEFT_OUT
    assert "cannot be a file's name" in said(sidecar)[0]


def test_a_folder_whose_name_is_no_number_cannot_stand_in_for_one(tmp_path):
    sidecar = read(tmp_path, WHOLE, folder="my first piece")
    assert sidecar.attempts == ()


@given(st.text(max_size=80))
def test_a_safe_number_is_one_plain_part_of_a_path(number):
    if is_safe_number(number):
        assert number.isascii()
        assert not set(number) & set('/\\:*?"<>| \n')
        assert number not in {"", ".", ".."}
        assert number[-1] not in ". "


def test_a_second_document_is_a_second_attempt(tmp_path):
    text = f"piece: SH-014\n{WHOLE}---\nsame_as: SH-014\noutcome: success\n"
    first, second = read(tmp_path, text).attempts
    assert (first.key, second.key) == (("SH-014", 1), ("SH-014", 2))
    assert second.line == 6


def test_a_second_document_of_another_piece_is_left_out(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}---\npiece: SH-015\n{WHOLE}")
    assert len(sidecar.attempts) == 1
    assert "give each piece a folder of its own" in said(sidecar)[-1]


@pytest.mark.parametrize("attempt", ["two", "0", "1000", "1.5", "9" * 5000, "[1]"])
def test_an_attempt_that_is_no_whole_number_is_counted_by_its_place(tmp_path, attempt):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}attempt: {attempt}\n")
    assert sidecar.attempts[0].attempt == 1
    assert "expected a whole number from 1" in said(sidecar)[0]


@pytest.mark.parametrize(
    "share",
    ["share: private", "share: [recipe]", "share: {recipe: privat}", "share: {recipies: private}",
     "shar: {recipe: private}", "share: {recipe: [a]}"],
)  # fmt: skip
def test_a_share_that_cannot_be_understood_leaves_the_piece_out(tmp_path, share):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}{share}\n")
    assert sidecar.attempts == ()
    assert "in case it is private" in said(sidecar)[0]


@pytest.mark.parametrize("share", ["share:", "share: {recipe: Students, photos: public}"])
def test_a_share_that_is_understood_or_empty_is_no_matter(tmp_path, share):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}{share}\n")
    assert (len(sidecar.attempts), sidecar.problems) == (1, ())


def test_keys_of_change_are_checked_like_others(tmp_path):
    text = f"piece: SH-014\nsame_as: SH-012\nchange:\n  metl: brass\n  exposure: long\n{WHOLE}"
    lines = said(read(tmp_path, text))
    assert lines[0].startswith("4: “metl” is no known key of change;")
    assert lines[1].startswith("5: exposure of change is “long”;")


@pytest.mark.parametrize("key", ["piece", "same_as", "attempt", "photos"])
def test_change_does_not_change_which_piece_it_is(tmp_path, key):
    sidecar = read(tmp_path, f"piece: SH-014\nsame_as: SH-012\nchange: {{{key}: '2'}}\n")
    assert f"change speaks of “{key}”" in said(sidecar)[0]
    assert sidecar.attempts[0].change == {}


def test_a_key_in_change_and_beside_it_is_noted(tmp_path):
    text = "piece: SH-014\nsame_as: SH-012\nchange: {metal: brass}\nmetal: copper\n"
    assert "“metal” stands in change and beside it" in said(read(tmp_path, text))[0]


def test_a_change_of_nothing_is_noted(tmp_path):
    text = f"piece: SH-014\n{WHOLE}change: {{metal: brass}}\n"
    assert any("a change but no same_as" in line for line in said(read(tmp_path, text)))


def test_a_change_that_is_no_mapping_is_noted(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\nsame_as: SH-012\n{WHOLE}change: longer\n")
    assert "5: change is “longer”" not in said(sidecar)[0]
    assert "6: change is “longer”; expected keys and values" in said(sidecar)[0]


@pytest.mark.parametrize("at", ["[0, 0, 1]", "[0, 0, 2, 1]", "[0.5, 0, 0.2, 1]", "[a, b, c, d]"])
def test_a_zone_off_the_piece_is_noted(tmp_path, at):
    text = f"piece: SH-014\n{WHOLE}zones:\n  - {{name: left, at: {at}}}\n"
    assert "6: the place of zone “left”:" in said(read(tmp_path, text))[0]


def test_a_file_full_of_faults_is_told_in_short(tmp_path):
    many = "".join(f"zzq{number}: 1\n" for number in range(3000))
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}{many}")
    assert len(sidecar.problems) <= 51
    assert len(sidecar.attempts) == 1


def test_hostile_words_are_shown_on_one_line(tmp_path):
    text = f'piece: SH-014\n{WHOLE}"bad\\e[31m\\nkey\\u202e": {"x" * 500}\n'
    (problem,) = read(tmp_path, text).problems
    assert "\x1b" not in str(problem)
    assert "\n" not in str(problem)
    assert "\u202e" not in str(problem)


def test_a_file_that_cannot_be_read_gives_its_problem_and_no_piece(tmp_path):
    sidecar = read(tmp_path, b"\xff\xfep\x00")
    assert sidecar.attempts == ()
    assert sidecar.problems[0].weight is Weight.LEFT_OUT


def test_unknown_is_not_a_fault(tmp_path):
    sidecar = read(tmp_path, f"piece: SH-014\n{WHOLE}humidity_pct: unknown\ncause: unknown\n")
    assert sidecar.problems == ()


KEYS = st.sampled_from(
    ["piece", "metal", "sealant", "zones", "checks", "photos", "share", "size_mm", "change",
     "attempt", "prep", "started", "at", "name", "file", "seen", "kind", "nonsense", "with"]
)  # fmt: skip
SCALARS = st.sampled_from(["", "none", "2", "a splash", "2024-10-01", "unknown", "0.5", "~"])
TREES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=12,
)


@settings(max_examples=300)
@given(tree=st.dictionaries(KEYS, TREES, max_size=6))
def test_no_tree_of_known_keys_makes_reading_raise(tmp_path_factory, tree):
    import json

    path = tmp_path_factory.getbasetemp() / "fuzz.yaml"
    path.write_text(json.dumps(tree))
    sidecar = read_sidecar(path, "sample.yaml", "SH-001", Limits())
    assert sidecar.attempts or sidecar.problems


def test_known_absences_reach_the_record(library):
    library.whole("SH-001", "humidity_pct: unknown\ncoverage_pct: not measured\n")
    piece = library.piece("SH-001")
    assert piece.humidity_pct.known is Known.UNKNOWN
    assert piece.coverage_pct.known is Known.NOT_MEASURED
    assert piece.temperature_c.known is Known.MISSING
