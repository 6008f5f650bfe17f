"""Corners written into a maker's own settings.

What YAML means is checked against PyYAML's own typed reading, a second way to the same text.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from builder.errors import LibraryError
from builder.read.corner_edits import show_corners, write_corners
from builder.records.photo import Quad

PIECE: Quad = ((0.1, 0.2), (0.5, 0.2123), (0.5, 0.8), (0.1, 0.8))
CARD: Quad = ((0.6, 0.2), (0.9, 0.2), (0.9, 0.5), (0.6, 0.5))
BOTH = {"piece_at": PIECE, "card_at": CARD}
WRITTEN = {key: [list(corner) for corner in quad] for key, quad in BOTH.items()}

BLOCK = """\
# first
site_name: A
plugins:
  - search
  - patinarium:   # ours
      # before
      setups:
        bench:  # the bench
          light: plain  # a lamp
          # after the lamp
        shelf: {light: raking}

# last
nav: [ ]  # none
"""


def write(text: str, setup: str = "bench", corners: dict[str, Quad] | None = None) -> str:
    return write_corners(text.encode(), setup, corners or BOTH).data.decode()


def options_of(tree: Any) -> Any:
    """The plugin's options as PyYAML types them; a mapping in every manner of writing."""
    plugins = tree["plugins"]
    if isinstance(plugins, list):
        found = [p for p in plugins if p == "patinarium" or "patinarium" in p]
        plugins = {"patinarium": None} if found[0] == "patinarium" else found[0]
    return plugins["patinarium"] or {}


def without_corners(text: str, setup: str = "bench") -> Any:
    """All that PyYAML reads but the corners of one set-up, and what is left empty without them."""
    options = copy.deepcopy(options_of(yaml.safe_load(text)))
    setups = options.get("setups") or {}
    kept = setups.get(setup) or {}
    for key in BOTH:
        kept.pop(key, None)
    setups[setup] = kept
    if not kept:
        setups.pop(setup)
    options["setups"] = setups
    if not setups:
        options.pop("setups")
    rest = yaml.safe_load(text)
    rest.pop("plugins")
    return rest, options


SETUPS = "plugins:\n  - patinarium:\n      setups:\n"
MANNERS = {
    "bare name": "plugins:\n  - patinarium",
    "bare name with a comment": "plugins:\n- search\n- patinarium  # ours\n- tags\n",
    "quoted name": 'plugins:\n  - "patinarium"\nx: 1\n',
    "bare name in brackets": "plugins: [search, patinarium]  # two\n",
    "no options": "plugins:\n  - patinarium:\n  - search\n",
    "no options, then a comment": "plugins:\n  - patinarium:\n\n# end\nnav: []\n",
    "a mapping of plugins": "plugins:\n  search:\n  patinarium:\n",
    "a mapping of plugins in braces": "plugins: {search: {}, patinarium: {}}\n",
    "options without setups": "plugins:\n  - patinarium:\n      title: A  # a\n      # b\nx: 1\n",
    "setups without a value": "plugins:\n  - patinarium:\n      setups:  # none\n\nx: 1\n",
    "setups quoted empty": "plugins:\n  - patinarium:\n      setups: ''\nx: 1\n",
    "another set-up only": "plugins:\n- patinarium:\n    setups:\n        shelf:\n"
    "            light: x\n",
    "a set-up without a value": SETUPS + "        bench:\n        b: {}\n",
    "a set-up in braces": SETUPS + "        bench: {light: plain, }\n",
    "braces over lines": "plugins:\n  - patinarium: {\n    setups: {  # s\n"
    "      bench: {}\n    }\n  }\n",
    "two corners": SETUPS + "        bench:\n"
    "          piece_at: [0.1, 0.2, 0.3, 0.4] # eye\n          card: c.txt\n",
    "corners a line each": SETUPS + "        bench:\n"
    "          piece_at:\n          - [0.1, 0.1]  # left top\n          - [0.2, 0.1]\n"
    "          - - 0.2\n            - 0.2  # deep\n          - [0.1, 0.2]\n          card: c\n",
    "two corners a line each": SETUPS + "        bench:\n"
    "          card_at:\n            - 0.1\n            - 0.2\n            - 0.3\n"
    "            - 0.4\n",
    "a folded text last": "plugins:\n  - patinarium:\n      invented: >-\n        all of\n"
    "        it\n\n# end\nx: 1\n",
    "a kept text last": "plugins:\n  - patinarium:\n      invented: |+\n        all\n\n\nx: 1\n",
    "a repeated value": "x: &q [0.1, 0.1, 0.2, 0.2]\nplugins:\n  - patinarium:\n      setups:\n"
    "        bench: {card_at: *q}\n",
    "an empty value": SETUPS + "        bench:\n"
    "          card_at:  # to come\n          light: plain\n",
    "all there": BLOCK,
}


@pytest.mark.parametrize("text", MANNERS.values(), ids=MANNERS)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_corners_are_written_and_everything_else_stays(text: str, line_end: str) -> None:
    text = text.replace("\n", line_end)
    new = write(text)
    assert {key: options_of(yaml.safe_load(new))["setups"]["bench"][key] for key in BOTH} == WRITTEN
    assert without_corners(new) == without_corners(text)
    assert [word for word in text.split() if word.startswith("#")] == [
        word for word in new.split() if word.startswith("#")
    ]
    assert ("\r" in new) == ("\r" in text)
    assert new.count("\n") == new.count(line_end)


def test_only_the_new_lines_differ() -> None:
    old, new = BLOCK.splitlines(), write(BLOCK).splitlines()
    at = old.index("          light: plain  # a lamp") + 1
    assert new[:at] + new[at + 2 :] == old
    assert new[at] == f"          piece_at: {show_corners(PIECE)}"
    assert new[at + 1] == f"          card_at: {show_corners(CARD)}"


def test_only_the_numbers_of_corners_that_are_there_differ() -> None:
    old = BLOCK.replace(
        "light: plain  # a lamp",
        "card_at: [[0.1,0.1],  [0.2 , 0.1], # right top\n             [0.2, 0.2], [0.1, 0.2] ]",
    )
    new = write(old, corners={"card_at": CARD})
    shown = (
        "card_at: [[0.6000,0.2000],  [0.9000 , 0.2000], # right top\n             [0.9000, 0.5000]"
    )
    assert shown in new
    assert len(new) == len(old) + 8 * len("000")


def test_the_lines_told_are_those_written() -> None:
    edited = write_corners(BLOCK.encode(), "bench", BOTH)
    lines = edited.data.decode().splitlines()
    assert {key: lines[line - 1].split(":")[0].strip() for key, line in edited.lines.items()} == {
        "piece_at": "piece_at",
        "card_at": "card_at",
    }


def test_writing_twice_writes_the_same() -> None:
    assert write(write(BLOCK)) == write(BLOCK)


def test_a_byte_order_mark_stays() -> None:
    assert write("\ufeff" + BLOCK) == "\ufeff" + write(BLOCK)


def test_tags_and_repeats_of_other_programs_are_left_alone() -> None:
    text = BLOCK + "x: &a !!python/name:pymdownx.slugs.slugify ''\ny: *a\nz: !ENV [HOME, none]\n"
    assert write(text) == write(BLOCK) + text[len(BLOCK) :]


@pytest.mark.parametrize("name", ["on", "3:1", "window: north", "# one", "“Zoë’s”", "a\\b", "012"])
def test_any_name_makes_a_new_setup(name: str) -> None:
    new = write(BLOCK, name)
    setups = options_of(yaml.safe_load(new))["setups"]
    assert {key: setups[name][key] for key in BOTH} == WRITTEN
    assert without_corners(new, name) == without_corners(BLOCK, name)


@pytest.mark.parametrize(
    "text",
    [
        # another set-up would change with it
        "plugins:\n - patinarium:\n    setups:\n      a: &a {light: plain}\n      bench: *a\n",
        "plugins:\n - patinarium:\n    setups:\n      bench: {card_at: &c [0, 0, 1, 1]}\n"
        "      b: {card_at: *c}\n",
        # a comment would be lost
        "plugins:\n - patinarium:\n    setups:\n      bench:\n"
        "        card_at: [0, 0, # left top\n          1, 1]\n",
        "plugins: [search]\n",
        "plugins:\n - patinarium:\n    setups: [bench]\n",
        "plugins: patinarium\n",
        "site_name: A\n",
    ],
)
def test_what_cannot_be_changed_alone_is_said_with_what_to_write(text: str) -> None:
    with pytest.raises(LibraryError) as refusal:
        write(text)
    said = str(refusal.value)
    assert "nothing was changed" in said
    assert f"piece_at: {show_corners(PIECE)}; card_at: {show_corners(CARD)}" in said


# ------------------------------------------------------------------ settings of every manner

_words = st.text(alphabet="abcxyz ä-'", min_size=1, max_size=8).map(str.strip).filter(bool)
_parts = st.floats(0, 1).map(lambda part: round(part, 4))
_remarks = st.sampled_from(["", "  # a remark", " # [, { : - not YAML", "  # piece_at: [0]"])


@st.composite
def _settings(draw: st.DrawFn) -> tuple[str, str]:
    """A settings text with remarks, and the name of a set-up that may be in it."""
    names = draw(st.lists(_words, max_size=3, unique=True))
    wanted = draw(st.sampled_from([*names, "bench"]))
    step = " " * draw(st.integers(1, 4))
    lines = [f"site_name: {yaml.safe_dump(draw(_words)).strip().splitlines()[0]}"]
    lines += [
        f"plugins:{draw(_remarks)}",
        f"{step}- search",
        f"{step}- patinarium:{draw(_remarks)}",
    ]
    inner = step + "  " + step
    if draw(st.booleans()):
        lines.append(f"{inner}title: {draw(st.sampled_from(['A', chr(34) + 'B # c' + chr(34)]))}")
    if names or draw(st.booleans()):
        lines.append(f"{inner}setups:{draw(_remarks)}")
    for name in names:
        key = yaml.safe_dump(name, allow_unicode=True, default_style='"').strip()
        parts = draw(
            st.lists(st.sampled_from(["light", "card", "piece_at", "card_at"]), unique=True)
        )
        values = {part: _value(draw, part) for part in parts}
        if draw(st.booleans()):
            flow = ", ".join(f"{part}: {value}" for part, value in values.items())
            lines.append(f"{inner}{step}{key}: {{{flow}}}{draw(_remarks)}")
            continue
        lines.append(f"{inner}{step}{key}:{draw(_remarks)}")
        for part, value in values.items():
            lines.append(f"{inner}{step}{step}{part}: {value}{draw(_remarks)}")
            if draw(st.booleans()):
                lines.append(f"{' ' * draw(st.integers(0, 9))}# between")
    lines += draw(st.sampled_from([[], ["", "# end"], ["nav: []"]]))
    end = draw(st.sampled_from(["\n", "\r\n"]))
    return end.join(lines) + draw(st.sampled_from(["", end, end + end])), wanted


def _value(draw: st.DrawFn, part: str) -> str:
    if part in ("light", "card"):
        return draw(st.sampled_from(["plain", "'a # b'", '"c: d"']))
    numbers = [str(draw(_parts)) for _ in range(4)]
    corners = [f"[{draw(_parts)},{draw(_parts)}]" for _ in range(4)]
    return f"[{', '.join(draw(st.sampled_from([numbers, corners])))}]"


@given(_settings())
def test_settings_of_any_manner_keep_every_sign_but_the_corners(made: tuple[str, str]) -> None:
    text, name = made
    new = write(text, name)
    setups = options_of(yaml.safe_load(new))["setups"]
    assert {key: setups[name][key] for key in BOTH} == WRITTEN
    assert without_corners(new, name) == without_corners(text, name)
    # Signs are only added, but for the corners that were there: each line that held none is found
    # again, in its order.
    rest = iter(new.splitlines())
    for line in text.splitlines():
        bare = line.rstrip()
        if "_at: [" in bare.split("#")[0] or bare.endswith("}") or "}" in bare:
            continue
        assert any(line == other for other in rest), line
