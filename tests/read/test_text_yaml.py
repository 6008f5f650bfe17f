"""YAML whose values stay text, and what is refused. Traps: common practice, no source; what the
usual reader makes of them is checked against PyYAML itself."""

import itertools

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import SidecarError
from builder.read import text_yaml
from builder.read.lines import find_line
from builder.read.text_yaml import Caps, read_text_yaml

PARSERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]
TRAPS = (
    "3:1",
    "19:30",
    "012",
    "on",
    "yes",
    "no",
    "0000",
    "0x1F",
    "~",
    "2024-10-01",
    "1_000",
)


@pytest.fixture(params=PARSERS, ids=lambda parser: parser.__name__, autouse=True)
def parser(request, monkeypatch):
    monkeypatch.setattr(text_yaml, "_Parser", request.param)


def read_one(text):
    return read_text_yaml(text, "sample.yaml")[0]


def refuse(text, caps=None):
    with pytest.raises(SidecarError) as refusal:
        read_text_yaml(text, "sample.yaml", caps or Caps())
    return [str(problem) for problem in refusal.value.problems]


@pytest.mark.parametrize("trap", TRAPS)
def test_a_value_stays_the_text_it_was_written_as(trap):
    assert yaml.safe_load(f"a: {trap}")["a"] != trap  # the trap is one
    assert read_one(f"a: {trap}").tree == {"a": trap}


@pytest.mark.parametrize("trap", ["on", "yes", "012", "19:30"])
def test_a_key_stays_the_text_it_was_written_as(trap):
    assert read_one(f"{trap}: a").tree == {trap: "a"}


def test_every_place_knows_its_line():
    document = read_one("a: 1\nb:\n  - c: 2\n    d: 3\n  - e: 4\n")
    assert document.tree == {"a": "1", "b": [{"c": "2", "d": "3"}, {"e": "4"}]}
    assert find_line(document.lines, ("b", 0, "d")) == 4
    assert find_line(document.lines, ("b", 1)) == 5
    assert find_line(document.lines, ("b", 1, "e", "deeper")) == 5


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_system_are_counted(end, tmp_path):
    from builder.read.plain_text import read_plain_text

    path = tmp_path / "sample.yaml"
    path.write_bytes(end.join(["a: 1", "b: 2", "b: 3", ""]).encode())
    assert refuse(read_plain_text(path, "sample.yaml", 100))[0].startswith("sample.yaml:3: ")


def test_two_documents_are_two_attempts():
    first, second = read_text_yaml("a: 1\n---\na: 2\n", "sample.yaml")
    assert (first.tree, second.tree, second.line) == ({"a": "1"}, {"a": "2"}, 3)


def test_an_empty_document_is_nothing():
    assert len(read_text_yaml("---\na: 1\n---\n", "sample.yaml")) == 1


def test_a_dash_with_nothing_after_it_is_nothing():
    assert read_one("a:\n  - b\n  -\n  - c\n").tree == {"a": ["b", "c"]}


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n", "---\n---\n"])
def test_an_empty_file_is_refused(text):
    assert "nothing in this file" in refuse(text)[0]


@pytest.mark.parametrize(
    ("text", "what"), [("- a\n- b\n", "a list"), ("just words\n", "plain text")]
)
def test_a_document_without_keys_is_refused(text, what):
    assert f"sample.yaml:1: this is {what}; expected lines of the form" in refuse(text)[0]


def test_a_tab_in_the_margin_is_called_a_tab():
    (said,) = refuse("a:\n\tb: 1\n\tc: 2\n")
    assert said == (
        "sample.yaml:2: this line begins with a tab, and 1 more; expected spaces; "
        "replace each tab by two spaces"
    )


def test_a_tab_after_spaces_is_called_a_tab():
    assert "tab" in refuse("a:\n  \tb: 1\n  \t c: [\n")[0]


def test_a_tab_within_quotation_marks_is_no_matter():
    assert read_one("a: 'b\tc'\n").tree == {"a": "b\tc"}


def test_a_tab_after_a_value_is_called_a_tab_or_is_no_matter():
    try:
        document = read_one("a: b\t# said so\n")
    except SidecarError as error:  # the two builds of the parser differ here
        assert "a tab in this line" in str(error)
    else:
        assert document.tree == {"a": "b"}


def test_every_double_key_is_told_with_both_lines():
    said = refuse("a: 1\nb: 2\na: 3\nc: {d: 1, d: 2}\n")
    rest = "already; expected each key once; keep one of the two"
    assert said == [
        f"sample.yaml:3: “a” is written on line 1 {rest}",
        f"sample.yaml:4: “d” is written on line 4 {rest}",
    ]


def test_two_spellings_of_a_key_are_a_double_key():
    from builder.read.spelling import spell_key

    with pytest.raises(SidecarError) as refusal:
        read_text_yaml("colour_words: a\nColor words: b\n", "sample.yaml", spell_key=spell_key)
    assert "“Color words” is written on line 1 already" in str(refusal.value)


TAGGED = (
    "!!python/object/apply:os.system [touch made]",
    "!!python/name:os.system x",
    "!own x",
    "!!str 1",
)


@pytest.mark.parametrize("value", TAGGED)
def test_a_tag_is_refused_and_nothing_of_it_runs(value, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "sample.yaml:2: a YAML tag" in refuse(f"b: 1\na: {value}\n")[0]
    assert list(tmp_path.iterdir()) == []


def test_tags_of_a_shared_file_are_passed_over_as_text():
    text = "a: !!python/name:material.extensions.emoji.to_svg\nb: !ENV HOME\nb: 2\n"
    (document,) = read_text_yaml(text, "mkdocs.yml", strict=False)
    assert document.tree == {"a": "", "b": "2"}


def test_tags_of_a_shared_file_that_would_run_a_program_are_refused(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    text = "a: !!python/object/apply:os.system [touch made]\n"
    with pytest.raises(SidecarError, match="would run a program"):
        read_text_yaml(text, "mkdocs.yml", strict=False)
    assert list(tmp_path.iterdir()) == []


def bomb(levels):
    names = [f"n{level}" for level in range(levels)]
    lines = ["n0: &n0 [x, x, x, x, x, x, x, x, x, x]"]
    for below, name in itertools.pairwise(names):
        lines.append(f"{name}: &{name} [{', '.join([f'*{below}'] * 10)}]")
    return "\n".join(lines)


def test_an_alias_bomb_is_refused_before_it_grows():
    counted = []
    composer = text_yaml._Composer
    grow = composer._count

    def count(self, nodes, characters, line):
        counted.append(nodes)
        return grow(self, nodes, characters, line)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(composer, "_count", count)
        said = refuse(bomb(30))
    assert "more than 10000 values, repeats written out" in said[0]
    assert len(counted) < 200  # 10^30 values written out; a handful looked at


def test_a_few_repeats_are_welcome():
    document = read_one("a: &wax {kind: wax, coats: 2}\nb: *wax\n")
    assert document.tree["b"] == {"kind": "wax", "coats": "2"}


def test_a_repeat_inside_itself_is_refused():
    assert "repeats what it stands in" in refuse("a: &x [*x]\n")[0]


def test_a_repeat_of_nothing_is_refused():
    assert "repeats something that was never named" in refuse("a: *good\n")[0]


def test_merge_keys_are_sent_to_same_as():
    assert "use same_as and change instead" in refuse("a: &x {b: 1}\nc:\n  <<: *x\n")[0]


@pytest.mark.parametrize("opener", ["[", "{a: "])
def test_nesting_too_deep_is_refused(opener):
    assert "deep" in refuse("a: " + opener * 50_000)[0]


def test_repeats_count_towards_depth():
    caps = Caps(depth=4)
    assert "nested more than 4 deep" in refuse("a: &x [[b]]\nc: [[*x]]\n", caps)[0]


def test_too_many_values_are_refused():
    assert "more than 50 values" in refuse("a: [" + "x, " * 100 + "]", Caps(nodes=50))[0]


FAULTS = (
    ("a: b: c\n", 1, "a second colon in one line"),
    ("a: [1, 2\nb: 3\n", 1, "a list opened with [ is not closed"),
    ("a: {b: 1\nc: 2\n", 1, "a mapping opened with { is not closed"),
    ("x: 1\na: 'open\nb: 2\n", 2, "a quotation mark is opened here"),
    ("a: 1\nb: @x\n", 2, "a sign that YAML keeps for itself"),
    ("a: 1\nb: %5\n", 2, "a sign that YAML keeps for itself"),
    ("a:\n  b: 1\n c: 2\n", 3, "the indentation does not fit"),
    ("a: 1\nb: *great*\n", 2, "a value begins with *"),
    ("? [a]\n: b\n", 1, "a key that is not plain text"),
)


@pytest.mark.parametrize(("text", "line", "what"), FAULTS)
def test_what_is_no_yaml_is_told_in_words_of_the_bench(text, line, what):
    said = refuse(text)[-1]
    assert said.startswith(f"sample.yaml:{line}: ")
    assert what in said


@given(st.text(max_size=300) | st.from_regex(r"([a-c]: [\[{&*!'\"x1-]{0,4}[ \n-]{1,3}){1,8}"))
def test_no_text_raises_anything_but_a_sidecar_error(text):
    try:
        documents = read_text_yaml(text, "sample.yaml")
    except SidecarError as error:
        assert error.problems
    else:
        assert all(isinstance(document.tree, dict) for document in documents)


@given(
    st.dictionaries(
        st.from_regex(r"[a-z]{1,8}", fullmatch=True),
        st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), max_size=30),
        min_size=1,
    )
)
def test_quoted_text_comes_back_as_it_was(values):
    text = "".join(
        f"{key}: '{value.replace(chr(39), chr(39) * 2)}'\n" for key, value in values.items()
    )
    assert read_one(text).tree == values
