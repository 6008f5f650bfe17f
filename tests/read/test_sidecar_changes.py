"""Single values changed where they stand, and all else left."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import SidecarError
from builder.read.leaves import Path, Value, look_up, make_tree
from builder.read.sidecar import read_documents
from builder.read.sidecar_changes import change_values
from builder.read.sidecar_text import write_sidecar_text

MINE = """\
# mine
piece: SH-001   # stamped
metal: brass    # the yellow one
temperature_c: 45
prep:            # order matters
  - {step: abrade, grit: 400}
ingredients:
  - {name: ammonia, amount: 120 ml}   # household
  - {name: salt, amount: 15 g, brand_note: blue bag}
sealant: none    # for now
dry: {how: on a rack}
storage:
  place: drawer
notes: |-
  one
  two
# end
"""


def change(text: str, changes: dict[Path, Value | None]) -> tuple[str, tuple[Path, ...]]:
    changed = change_values(text.encode(), "samples/SH-001/sample.yaml", changes)
    return changed.data.decode(), changed.refused


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [
        (("metal",), "copper", "metal: brass    #", "metal: copper    #"),
        (("temperature_c",), None, "temperature_c: 45\n", "temperature_c:\n"),
        (("ingredients", "ammonia", "amount"), "½ cup", "120 ml}   #", "½ cup}   #"),
        (("ingredients", "salt", "amount"), None, "amount: 15 g,", 'amount: "",'),
        (("ingredients", "salt", "strength"), "5 %", "blue bag}", "blue bag, strength: 5 %}"),
        (("ingredients", "ammonia"), None,
         "  - {name: ammonia, amount: 120 ml}   # household\n", ""),
        (("sealant", "kind"), "shellac", "sealant: none ", "sealant: {kind: shellac} "),
        (("sealant", "coats"), "2", "sealant: none ", "sealant: {kind: none, coats: 2} "),
        (("dry", "for"), "7 d", "{how: on a rack}", "{how: on a rack, for: 7 d}"),
        (("storage", "light"), "dark", "  place: drawer\n", "  place: drawer\n  light: dark\n"),
        (("notes",), "one\ntwo\nthree", "  two\n", "  two\n  three\n"),
        (("notes",), "one", "|-\n  one\n  two\n", "one\n"),
        (("exposure",), "7 d", "  two\n#", "  two\nexposure: 7 d\n#"),
        (("colour_words",), ("green", "blue"), "  two\n#",
         "  two\ncolour_words: [green, blue]\n#"),
        (("batch", "mixed"), "2024-10-01", "  two\n#", "  two\nbatch: {mixed: 2024-10-01}\n#"),
        (("prep",), ("abrade", "degrease"), "- {step: abrade, grit: 400}", "[abrade, degrease]"),
    ],
)  # fmt: skip
def test_one_value_changes_and_nothing_beside_it(
    path: Path, value: Value | None, old: str, new: str
) -> None:
    assert MINE.count(old) == 1
    assert change(MINE, {path: value}) == (MINE.replace(old, new), ())
    crlf = MINE.replace("\n", "\r\n")
    assert change(crlf, {path: value})[0] == MINE.replace(old, new).replace("\n", "\r\n")


def test_a_new_ingredient_is_an_item_of_its_own() -> None:
    changes: dict[Path, Value | None] = {
        ("ingredients", "vinegar", "name"): "vinegar",
        ("ingredients", "vinegar", "amount"): "a splash",
    }
    text, refused = change(MINE, changes)
    assert not refused
    added = "blue bag}\n  - {name: vinegar, amount: a splash}\n"
    assert text == MINE.replace("blue bag}\n", added)


def test_a_plain_ingredient_becomes_what_more_is_said_of_it() -> None:
    text, refused = change("piece: A\ningredients: [salt, water]\n",
                           {("ingredients", "salt", "amount"): "15 g"})  # fmt: skip
    assert (text, refused) == (
        "piece: A\ningredients: [{name: salt, amount: 15 g}, water]\n", ()
    )  # fmt: skip


def test_later_attempts_in_the_same_file_are_not_touched() -> None:
    second = "---\nattempt: 2\nmetal: brass\n"
    text, refused = change(MINE + second, {("metal",): "copper", ("exposure",): "7 d"})
    assert not refused
    assert text.endswith(second) and text.count("metal: brass") == 1


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("piece: A\nmetal: &m brass\nalloy: *m\n", ("alloy",)),
        ("piece: A\nnotes: &m x\nwhy: *m\n", ("notes",)),
        ("piece: A\ningredients: [{name: salt}, {name: water}]\n", ("ingredients", "salt")),
    ],
)
def test_what_cannot_be_proved_is_not_done(text: str, path: Path) -> None:
    value = None if len(path) == 2 else "new"
    edited, refused = change(text, {path: value})
    assert edited == text or not refused
    if refused:
        assert refused == (path,)


def test_a_file_that_cannot_be_read_is_not_touched() -> None:
    with pytest.raises(SidecarError):
        change("piece: [\n", {("metal",): "copper"})


_WORDS = (
    st.text(
        st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=30
    )
    .map(str.strip)
    .filter(bool)
)
_PATHS = st.sampled_from(
    [("metal",), ("notes",), ("exposure",), ("sealant", "kind"), ("sealant", "coats"),
     ("dry", "for"), ("storage", "place"), ("ingredients", "ammonia", "amount"),
     ("ingredients", "salt", "strength"), ("why",)]
)  # fmt: skip


@given(st.dictionaries(_PATHS, st.one_of(_WORDS, st.lists(_WORDS, min_size=2).map("\n".join)),
                       max_size=6))  # fmt: skip
def test_any_words_can_be_put_anywhere_and_are_read_back(changes: dict[Path, str]) -> None:
    flat = {path: text if path == ("notes",) else text.replace("\n", " ")
            for path, text in changes.items()}  # fmt: skip
    text, refused = change(MINE, dict(flat))
    tree = read_documents(text, "x")[0].tree
    for path, value in flat.items():
        if path not in refused:
            assert look_up(tree, path) == value
    assert not refused
    assert all(line in text for line in ("# mine", "# stamped", "# order matters", "# household"))


@given(st.dictionaries(_PATHS, _WORDS, max_size=6))
def test_a_sidecar_written_anew_says_what_it_was_to_say(leaves: dict[Path, str]) -> None:
    text = write_sidecar_text({"piece": "A", **make_tree(leaves)}, ["# made"])
    tree = read_documents(text, "x")[0].tree
    assert {path: look_up(tree, path) for path in leaves} == leaves
