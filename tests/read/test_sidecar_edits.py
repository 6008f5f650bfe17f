"""A look or a photograph added to a maker's own notes.

What YAML means is checked against PyYAML's reader in which all is text (``CBaseLoader``), a second
way to the same text; what was changed, by difflib.
"""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from builder.errors import FilingError
from builder.read.sidecar_edits import Edited, append_check, append_photo
from builder.records.notes import CheckNote, PhotoLine, SeenNote

NAME = "samples/SH-014/sample.yaml"
SAMPLES = Path(__file__).parents[2] / "samples"
LOOK = CheckNote(
    "2026-01-18",
    "recheck",
    (SeenNote("powdering", "lower edge", "5-25", "slight", "active"),),
    "rubs off: grey, #2",
    "R.T.",
)
LOOK_TREE = {
    "date": "2026-01-18",
    "state": "recheck",
    "seen": [
        {
            "what": "powdering",
            "where": "lower edge",
            "extent": "5-25",
            "severity": "slight",
            "moving": "active",
        }
    ],
    "notes": "rubs off: grey, #2",
    "by": "R.T.",
}
LOOK_LINE = (
    "{date: 2026-01-18, state: recheck, seen: [{what: powdering, where: lower edge, extent: 5-25, "
    'severity: slight, moving: active}], notes: "rubs off: grey, #2", by: R.T.}'
)
SHORT = CheckNote("2026-01-18", seen=())
NEW = "{date: 2026-01-18, seen: []}"
NEW_TREE = {"date": "2026-01-18", "seen": []}
OLD = "{date: 2025-01-14}"


def add(text: str, check: CheckNote = SHORT, attempt: int = 1) -> str:
    return append_check(text.encode(), NAME, attempt, check).data.decode()


def load(text: str) -> list[Any]:
    """Every attempt, as PyYAML reads it with all values text."""
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    return [tree for tree in yaml.load_all(plain, yaml.CBaseLoader) if tree]


def take_out(old: str, new: str) -> list[str]:
    """The lines that difflib says were removed or changed."""
    diff = difflib.ndiff(old.splitlines(), new.splitlines())
    return [line[2:] for line in diff if line.startswith("- ")]


# Each: the sidecar after “piece: A” and its end, and what becomes of it.
MANNERS = {
    "a block set in by two": (
        f"checks:\n  - {OLD}\nmade_by: R.T.\n",
        f"checks:\n  - {OLD}\n  - {NEW}\nmade_by: R.T.\n",
    ),
    "a block not set in": (
        f"checks:\n- {OLD}\nsheen: matt\n",
        f"checks:\n- {OLD}\n- {NEW}\nsheen: matt\n",
    ),
    "a block set in by four": (f"checks:\n    - {OLD}", f"checks:\n    - {OLD}\n    - {NEW}"),
    "items over several lines": (
        "checks:\n  - date: 2025-01-14\n    seen:\n      - powdering\n\nsheen: matt\n",
        f"checks:\n  - date: 2025-01-14\n    seen:\n      - powdering\n  - {NEW}\n\nsheen: matt\n",
    ),
    "a dash on its own": (
        f"checks:\n  -\n    date: 2025-01-14\n  # x\n  - # y\n    {OLD}\n",
        f"checks:\n  -\n    date: 2025-01-14\n  # x\n  - # y\n    {OLD}\n  - {NEW}\n",
    ),
    "remarks between, beside and below": (
        f"checks:  # looks\n  # first\n  - {OLD}  # wet\n  - {OLD}  # dry\n"
        "    # by the window\n  # next in March\n# the maker\nmade_by: R.T.\n",
        f"checks:  # looks\n  # first\n  - {OLD}  # wet\n  - {OLD}  # dry\n"
        f"    # by the window\n  - {NEW}\n  # next in March\n# the maker\nmade_by: R.T.\n",
    ),
    "tabs in remarks": (
        f"checks:\t# a\tb\n  - {OLD}\t# c\n    # d\t\n\nx: 1\n",
        f"checks:\t# a\tb\n  - {OLD}\t# c\n    # d\t\n  - {NEW}\n\nx: 1\n",
    ),
    "text set in, last": (
        "checks:\n  - date: 2025-01-14\n    notes: >-\n      all\n      of it\n\n\nsheen: matt\n",
        "checks:\n  - date: 2025-01-14\n    notes: >-\n      all\n      of it\n"
        f"  - {NEW}\n\n\nsheen: matt\n",
    ),
    "text that keeps its empty lines, last": (
        "checks:\n  - date: 2025-01-14\n    notes: |+\n      all\n\nsheen: matt\n",
        f"checks:\n  - date: 2025-01-14\n    notes: |+\n      all\n\n  - {NEW}\nsheen: matt\n",
    ),
    "text that keeps its empty lines, then another key's remark": (
        "checks:\n- date: 2025-01-14\n  notes: |+\n    all\n\nsheen: matt\n  # eye\n",
        f"checks:\n- date: 2025-01-14\n  notes: |+\n    all\n\n- {NEW}\nsheen: matt\n  # eye\n",
    ),
    "text set in, at the end without a line end": (
        "checks:\n- date: 2025-01-14\n  notes: |\n    all",
        f"checks:\n- date: 2025-01-14\n  notes: |\n    all\n- {NEW}",
    ),
    "a plain text over lines": (
        "checks:\n- 2025-01-14\n- date: 2025-01-14\n  notes: all\n    of it # x\nsheen: matt\n",
        "checks:\n- 2025-01-14\n- date: 2025-01-14\n  notes: all\n    of it # x\n"
        f"- {NEW}\nsheen: matt\n",
    ),
    "brackets over lines": (
        f"checks: [\n  {OLD},\n  {OLD}  # last\n]\n",
        f"checks: [\n  {OLD},\n  {OLD}  # last\n  , {NEW}\n]\n",
    ),
    "brackets over lines with a last comma": (
        f"checks: [\n    {OLD},  # a, b\n    # later\n  ]  # end\n",
        f"checks: [\n    {OLD},  # a, b\n    {NEW},\n    # later\n  ]  # end\n",
    ),
    "brackets over lines with the comma below": (
        f"checks: [\n  {OLD}   # no, comma\n  ,\n]\n",
        f"checks: [\n  {OLD}   # no, comma\n  ,\n  {NEW},\n]\n",
    ),
    "brackets over lines, and nothing in them": (
        "checks: [  # none yet\n]\n",
        f"checks: [  # none yet\n  {NEW}\n]\n",
    ),
    "brackets round a pair": (
        "checks: [\n  date: 2025-01-14   # a pair\n  ]\n",
        f"checks: [\n  date: 2025-01-14   # a pair\n  , {NEW}\n  ]\n",
    ),
    "brackets that begin beside the key": (
        f"checks: [{OLD}, {OLD},\n]\n",
        f"checks: [{OLD}, {OLD},\n         {NEW},\n]\n",
    ),
    "a key without a value": ("checks:\nsheen: matt\n", f"checks:\n  - {NEW}\nsheen: matt\n"),
    "a key without a value, last": ("checks:  # none", f"checks:  # none\n  - {NEW}"),
    "a form not filled in": (
        "prep:\n- abrade\nchecks:\n  # - {date: 2025-01-14}\n\n# end\nsheen: matt\n",
        f"prep:\n- abrade\nchecks:\n  # - {{date: 2025-01-14}}\n- {NEW}\n\n# end\nsheen: matt\n",
    ),
    "no key": ("sheen: matt\n", f"sheen: matt\nchecks:\n  - {NEW}\n"),
    "no key, and other lists set in by four": (
        "prep:\n    - abrade\n",
        f"prep:\n    - abrade\nchecks:\n    - {NEW}\n",
    ),
    "no key, remarks and empty lines at the end": (
        "sheen: matt  # eye\n    # or not\n\n# vim: set ts=2\n\n",
        f"sheen: matt  # eye\n    # or not\nchecks:\n  - {NEW}\n\n# vim: set ts=2\n\n",
    ),
    "no key, text last": (
        "notes: >-\n  all\n  of it\n\n\n# end\n",
        f"notes: >-\n  all\n  of it\nchecks:\n  - {NEW}\n\n\n# end\n",
    ),
    "no key, text last without a line end": (
        "notes: |\n  all",
        f"notes: |\n  all\nchecks:\n  - {NEW}",
    ),
    "no key, and an end of the document": (
        "sheen: matt\n...\n# after\n",
        f"sheen: matt\nchecks:\n  - {NEW}\n...\n# after\n",
    ),
    "a named list that nothing repeats": (
        f"checks: &looks\n  - {OLD}\n",
        f"checks: &looks\n  - {OLD}\n  - {NEW}\n",
    ),
    "a key in other letters": (f"Checks :\n- {OLD}\n", f"Checks :\n- {OLD}\n- {NEW}\n"),
    "a key in quotation marks": (f"'checks':\n- {OLD}\n", f"'checks':\n- {OLD}\n- {NEW}\n"),
    "items repeated": (
        f"checks:\n- &c {OLD}\n- *c  # again\nx: 1\n",
        f"checks:\n- &c {OLD}\n- *c  # again\n- {NEW}\nx: 1\n",
    ),
}
# Those in which one line of the maker's becomes longer.
LONGER = {
    "empty brackets": ("checks: []  # none\n", f"checks: [{NEW}]  # none\n"),
    "empty brackets with room": ("checks: [ ]\n", f"checks: [{NEW} ]\n"),
    "brackets on one line": (f"checks: [{OLD}]  # ]\n", f"checks: [{OLD}, {NEW}]  # ]\n"),
    "brackets with a last comma": (f"checks: [{OLD}, ]", f"checks: [{OLD}, {NEW} ]"),
    "brackets that close beside the last": (
        f"checks: [{OLD},  # a\n         {OLD}]\n",
        f"checks: [{OLD},  # a\n         {OLD}, {NEW}]\n",
    ),
}
WHOLE_IN_BRACES = {
    "{piece: A, sheen: matt}\n": f"{{piece: A, sheen: matt, checks: [{NEW}]}}\n",
    "{piece: A, checks: [], sheen: matt}\n": f"{{piece: A, checks: [{NEW}], sheen: matt}}\n",
    "{piece: A, checks: , sheen: matt}\n": f"{{piece: A, checks: [{NEW}] , sheen: matt}}\n",
    "{\n  piece: A,\n  checks: [\n    a\n    ]\n}": "{\n  piece: A,\n  checks: [\n    a\n"
    f"    , {NEW}\n    ]\n}}",
    "{\n  piece: A,\n  sheen: matt,  # eye\n}\n": "{\n  piece: A,\n  sheen: matt,  # eye\n"
    f"  checks: [{NEW}],\n}}\n",
}


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["", "BOM"])
@pytest.mark.parametrize(("old", "new"), (MANNERS | LONGER).values(), ids=MANNERS | LONGER)
def test_an_item_stands_where_its_maker_would_put_it(
    old: str, new: str, mark: str, line_end: str
) -> None:
    old, new = (f"{mark}piece: A\n{text}".replace("\n", line_end) for text in (old, new))
    assert add(old) == new
    assert NEW_TREE in [value[-1] for value in load(new)[0].values()]


@pytest.mark.parametrize("old", [old for old, _ in MANNERS.values()], ids=MANNERS)
def test_lines_are_only_added(old: str) -> None:
    assert take_out(f"piece: A\n{old}", add(f"piece: A\n{old}")) == []


@pytest.mark.parametrize("old", [old for old, _ in LONGER.values()], ids=LONGER)
def test_one_line_is_longer_where_a_list_closes_on_it(old: str) -> None:
    assert len(take_out(f"piece: A\n{old}", add(f"piece: A\n{old}"))) == 1


@pytest.mark.parametrize(("old", "new"), WHOLE_IN_BRACES.items())
def test_an_attempt_in_braces_is_added_to_within_them(old: str, new: str) -> None:
    assert add(old) == new


def test_each_attempt_has_a_list_of_its_own() -> None:
    first = "# mine\n---\npiece: A\nchecks:\n- a\n# end of the first\n"
    second = "--- # stripped\npiece: A\nsheen: matt\n\n"
    third = "...\n---\n---\npiece: A\nattempt: 7\nchecks: [b]\n"
    text = first + second + third
    assert add(text, attempt=1) == text.replace("- a\n", f"- a\n- {NEW}\n")
    assert add(text, attempt=2) == text.replace("matt\n", f"matt\nchecks:\n  - {NEW}\n")
    assert add(text, attempt=7) == text.replace("[b]", f"[b, {NEW}]")


def test_the_line_end_is_that_of_the_line_above() -> None:
    old = "piece: A\r\nchecks:\n- a\r\nsheen: matt\nnotes: x"
    assert add(old) == old.replace("- a\r\n", f"- a\r\n- {NEW}\r\n")
    assert append_photo(old.encode(), NAME, 1, PhotoLine("a.jpg")).data.decode() == (
        old + "\nphotos:\n- {file: a.jpg}"
    )


def test_every_key_that_is_given_is_written_and_no_other() -> None:
    edited = append_check(b"piece: A\n", NAME, 1, LOOK)
    assert edited.data.decode() == f"piece: A\nchecks:\n  - {LOOK_LINE}\n"
    assert load(edited.data.decode())[0]["checks"] == [LOOK_TREE]
    photo = PhotoLine("IMG 1.HEIC", "2026-01-18", "wet", "back", "raking", "none", "a, b")
    assert append_photo(b"piece: A\nphotographs:\n", NAME, 1, photo).data.decode() == (
        "piece: A\nphotographs:\n  - {file: IMG 1.HEIC, date: 2026-01-18, state: wet, "
        'side: back, light: raking, setup: none, caption: "a, b"}\n'
    )


def test_the_lines_told_are_those_added() -> None:
    assert append_check(b"piece: A\nchecks:\n- a\n", NAME, 1, SHORT).lines == (4,)
    assert append_check(b"piece: A\n\n# x\n", NAME, 1, SHORT).lines == (2, 3)
    assert append_check(b"piece: A\nchecks: []\n", NAME, 1, SHORT).lines == (2,)
    assert append_check(b"{piece: A}", NAME, 1, SHORT).lines == (1,)
    later = append_check(b"piece: A\r\n--- \r\npiece: A\r\nchecks:\r\n", NAME, 2, SHORT)
    assert later.lines == (5,)


# ------------------------------------------------------------------ what is refused

REFUSED = {
    "one date for a list": ("checks: 2025-01-14\n", "checks is “2025-01-14”"),
    "one look for a list": ("checks: {date: 2025-01-14}\n", "checks is a mapping"),
    "a word for none": ("checks: none\n", "checks is “none”"),
    "an empty text": ("checks: ''\n", "cannot be added to"),
    "a list repeated": ("prep: &p [a]\nchecks: *p\n", "cannot be added to"),
    "a list that is repeated elsewhere": ("checks: &p [a]\nprep: *p\n", "cannot be added to"),
    "a key without a colon of its own": ("? checks\n", "cannot be added to"),
    "looks that differ from another's": (
        "same_as: B\nchange: {checks: [2025-01-14]}\n",
        "checks stands in change",
    ),
    "a key twice": ("checks: []\nchecks:\n- a\n", "is written on line 2 already"),
    "a key twice, spelled otherwise": ("checks: []\nCHECKS: []\n", "is written on line 2 already"),
    "no YAML": ("checks: [a\n", "is not closed"),
    "a tab in the margin": ("checks:\n\t- a\n", "begins with a tab"),
    "a tag": ("checks: !!seq [a]\n", "a YAML tag"),
    "a sign that does not print": ("notes: a\0b\n", "does not print"),
}


@pytest.mark.parametrize(("text", "said"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_added_to_is_said_with_what_to_write(text: str, said: str) -> None:
    with pytest.raises(FilingError) as refusal:
        add(f"piece: A\n{text}", LOOK)
    assert said in str(refusal.value)
    assert f"by hand: - {LOOK_LINE}" in str(refusal.value)
    assert "nothing was changed" in str(refusal.value)


@pytest.mark.parametrize(
    "data", [b"piece: A\nnotes: caf\xe9\n", "piece: A\n".encode("utf-16"), b""]
)
def test_a_file_that_is_no_utf_8_is_refused(data: bytes) -> None:
    with pytest.raises(FilingError, match=re.escape(f"by hand: - {NEW}")):
        append_check(data, NAME, 1, SHORT)


def test_an_attempt_that_is_not_there_is_refused_with_those_that_are() -> None:
    with pytest.raises(FilingError, match="no attempt 3 here; expected one of: 1, 2"):
        add("piece: A\n---\npiece: A\n", attempt=3)
    with pytest.raises(FilingError, match="2 attempts numbered 1"):
        add("piece: A\n---\npiece: A\nattempt: 1\n")


def test_an_attempt_that_is_left_out_says_why() -> None:
    with pytest.raises(FilingError, match="of piece “A”, and here is “B”"):
        add("piece: A\n---\npiece: B\n", attempt=2)


def test_a_photograph_without_its_name_is_refused() -> None:
    with pytest.raises(FilingError, match="by hand"):
        append_photo(b"piece: A\n", NAME, 1, PhotoLine("", caption="x"))


def test_words_that_are_no_text_are_refused() -> None:
    with pytest.raises(FilingError):
        add("piece: A\n", CheckNote("2026-01-18", notes="\ud800"))


# ------------------------------------------------------------------ every sidecar of the demo

DEMO = sorted(SAMPLES.glob("*/sample.yaml"))


@pytest.mark.parametrize("path", DEMO, ids=[path.parent.name for path in DEMO])
def test_the_demos_notes_only_grow(path: Path) -> None:
    old = path.read_bytes()
    name = f"samples/{path.parent.name}/sample.yaml"
    looked = append_check(old, name, 1, LOOK)
    both = append_photo(looked.data, name, 1, PhotoLine("IMG_1.HEIC", caption="#1, wet: dark"))
    added = [tuple(_added_lines(a, b.data)) for a, b in ((old, looked), (looked.data, both))]
    assert added == [looked.lines, both.lines]
    tree, new = load(old.decode())[0], load(both.data.decode())[0]
    assert new == {
        **tree,
        "checks": [*tree.get("checks", []), LOOK_TREE],
        "photos": [
            *tree.get("photos", []),
            {"file": "IMG_1.HEIC", "caption": "#1, wet: dark"},
        ],
    }


def _added_lines(old: bytes, new: bytes) -> list[int]:
    """Numbers of the lines in ``new`` that difflib calls added; none may be called otherwise."""
    match = difflib.SequenceMatcher(
        None, old.splitlines(keepends=True), new.splitlines(keepends=True), autojunk=False
    )
    lines: list[int] = []
    for deed, _, _, first, last in match.get_opcodes():
        assert deed in ("equal", "insert")
        lines += range(first + 1, last + 1) if deed == "insert" else ()
    return lines


# ------------------------------------------------------------------ notes of every manner

TRAPS = (
    "no", "3:1", "012", "#", ": ", "a: b", "a #b", "- a", "-", "-5 °C", "? a", "[", "}", "a, b",
    "*a", "&a", "!a", "|", ">", "%a", "@a", "`a`", "'a'", '"a"', "a\\b", "a\nb", "a\tb", " a ",
    "~", "null", "---", "...", "a:", ":a", "=", "<<", "½ tsp", "a\u00a0b", "a\u2028b", "a\x85b",
    "\ufeffa", "\x07", "\U0001f468\u200d\U0001f373", "it's \"so\"", "2½\" tall",
)  # fmt: skip
_any_text = st.one_of(
    st.sampled_from(TRAPS),
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=12),
    st.text("-?:,[]{}#&*!|>'\"%@` \\\n\ta1", min_size=1, max_size=8),
)


@given(_any_text)
def test_words_mean_the_same_when_they_are_read_again(words: str) -> None:
    seen = (SeenNote(words, where=words),)
    for text in ("piece: A\nchecks:\n", "piece: A\nchecks: []\n"):
        new = add(text, CheckNote("2026-01-18", seen=seen, notes=words))
        for loader in (yaml.BaseLoader, yaml.CBaseLoader):
            item = yaml.load(new, loader)["checks"][0]  # noqa: S506 (all is text)
            assert item["notes"] == words
            assert item["seen"] == [{"what": words, "where": words}]
        assert len(new.splitlines()) <= 3


@pytest.mark.parametrize(
    "words", ["no", "3:1", "012", "a b", "it's", "x#1", "-5 °C", "2½ tsp", "é"]
)
def test_words_that_need_no_quotation_marks_have_none(words: str) -> None:
    assert f"notes: {words}}}" in add("piece: A\n", CheckNote("", notes=words))


_words = st.text("abcxyz ä-'#:", min_size=1, max_size=8).map(str.strip).filter(bool)
_remarks = st.sampled_from(["", "  # a remark", " # [, { : - not YAML", "\t# checks: []"])
_remark_lines = st.lists(
    st.tuples(st.integers(0, 7), st.sampled_from(["# a", "# - {date: x}", "#]", "", "# checks:"])),
    max_size=2,
).map(lambda lines: [" " * (margin if said else 0) + said for margin, said in lines])
_dates = st.sampled_from(["2025-01-14", "14 Jan 2025", "unknown"])


def _write(words: str) -> str:
    return yaml.safe_dump(words, allow_unicode=True, width=1000).splitlines()[0]


@st.composite
def _items(draw: st.DrawFn) -> str:
    """One look, in braces."""
    parts = [f"date: {draw(_dates)}"]
    if draw(st.booleans()):
        parts.append(f"notes: {yaml.safe_dump(draw(_words), default_style=chr(34)).strip()}")
    if draw(st.booleans()):
        parts.append(f"seen: {draw(st.sampled_from(['[]', '[powdering]', '[{what: run}]']))}")
    return "{" + ", ".join(parts) + "}"


@st.composite
def _blocks(draw: st.DrawFn, margin: int) -> list[str]:
    """A list, an item a line or over lines."""
    lines = []
    for _ in range(draw(st.integers(1, 3))):
        if draw(st.booleans()):
            lines.append(f"{' ' * margin}- {draw(_items())}{draw(_remarks)}")
        else:
            lines.append(f"{' ' * margin}- date: {draw(_dates)}{draw(_remarks)}")
            lines += draw(
                st.sampled_from(
                    [
                        [],
                        [f"{' ' * margin}  seen:", f"{' ' * margin}  - run"],
                        [f"{' ' * margin}  notes: >-", f"{' ' * margin}    all of", "", ""],
                        [f"{' ' * margin}  notes: |+", f"{' ' * margin}    all of", "", ""],
                        [f"{' ' * margin}  notes: all", f"{' ' * margin}    of it"],
                    ]
                )
            )
        lines += draw(_remark_lines)
    return lines


@st.composite
def _lists(draw: st.DrawFn, key: str) -> list[str]:
    """The lines of one key in one of the ways it can be written."""
    manner = draw(st.sampled_from(["none", "blank", "brackets", "lines", "block", "block"]))
    if manner == "none":
        return []
    if manner == "blank":
        return [f"{key}:{draw(_remarks)}", *draw(_remark_lines)]
    items = draw(st.lists(_items(), max_size=3))
    if manner == "brackets":
        comma = draw(st.sampled_from(["", ",", " , "])) if items else draw(st.sampled_from("  "))
        return [f"{key}: [{', '.join(items)}{comma}]{draw(_remarks)}"]
    if manner == "lines":
        lines = [f"{key}: [{draw(_remarks)}"]
        for number, item in enumerate(items, start=1):
            comma = "," if number < len(items) or draw(st.booleans()) else ""
            lines += [f"    {item}{comma}{draw(_remarks)}", *draw(_remark_lines)]
        return [*lines, f"{draw(st.sampled_from(['', '  ']))}]{draw(_remarks)}"]
    margin = draw(st.sampled_from([0, 2, 4]))
    return [f"{key}:{draw(_remarks)}", *draw(_blocks(margin))]


@st.composite
def _sidecars(draw: st.DrawFn) -> tuple[str, int]:
    """The text of a sidecar, and an attempt in it."""
    attempts = draw(st.integers(1, 3))
    lines = draw(st.sampled_from([[], ["---"], ["# the maker's own", ""]]))
    for number in range(attempts):
        lines = lines + ([draw(st.sampled_from(["---", "--- # again"]))] if number else [])
        parts = [["piece: SH-014" + draw(_remarks)]]
        if draw(st.booleans()):
            parts.append([f"notes: {_write(draw(_words))}{draw(_remarks)}"])
        if draw(st.booleans()):
            parts.append(["why: |", "  all", "  of it"])
        if draw(st.booleans()):
            parts.append(["prep:", "- abrade", "- {step: dip, with: 'a # b'}"])
        parts += [draw(_lists("checks")), draw(_lists(draw(st.sampled_from(["zones", "sheen"]))))]
        for part in draw(st.permutations(parts)):
            lines += [*part, *draw(_remark_lines)]
        lines += draw(st.sampled_from([[], [], ["..."]])) if number + 1 < attempts else []
    ends = draw(st.sampled_from([["\n"], ["\r\n"], ["\r\n", "\n"]]))
    text = "".join(line + ends[number % len(ends)] for number, line in enumerate(lines))
    mark = draw(st.sampled_from(["", "\ufeff"]))
    return mark + (text if draw(st.booleans()) else text.rstrip("\r\n")), draw(
        st.integers(1, attempts)
    )


@given(_sidecars())
@example(("piece: SH-014\nchecks:\n  - date: x\n    notes: |+\n      a", 1))
@example(("piece: SH-014\nnotes: |+\n  a\n\n\n", 1))
def test_notes_of_any_manner_keep_every_byte_and_gain_one_item(made: tuple[str, int]) -> None:
    text, attempt = made
    edited = append_check(text.encode(), NAME, attempt, LOOK)
    new = edited.data.decode()
    _assert_only_added(text, new, edited)
    old_trees, new_trees = load(text), load(new)
    items = old_trees[attempt - 1].get("checks") or []
    old_trees[attempt - 1]["checks"] = [*items, LOOK_TREE]
    assert _trim(new_trees) == _trim(old_trees)


def _assert_only_added(old: str, new: str, edited: Edited) -> None:
    """The old text is all there, in one piece or round the new one, which is whole lines but where
    a bracket closes. (difflib would do, were its diffs the shortest.)"""
    added = len(new) - len(old)
    assert any(new[:at] + new[at + added :] == old for at in range(len(old) + 1))
    old_lines, new_lines = (re.split("\r\n|\n|\r", text) for text in (old, new))
    at = edited.lines[0] - 1
    beside = new_lines[edited.lines[-1] - 1].replace(LOOK_LINE, "").strip(" ,-")
    if beside:
        assert "]" in beside
        assert edited.lines == (at + 1,)
        old_lines[at : at + 1] = []
    new_lines[at : edited.lines[-1]] = []
    assert new_lines == old_lines


def _trim(tree: Any) -> Any:
    """Without the line end that text at the end of a file lacks."""
    if isinstance(tree, dict):
        return {key: _trim(value) for key, value in tree.items()}
    return [_trim(value) for value in tree] if isinstance(tree, list) else tree.rstrip("\n")
