"""What is carried from run to run, and what a stranger's file can do."""

from __future__ import annotations

import datetime as dt
import pickle
import sqlite3
from pathlib import Path

import pytest

from builder import carried
from builder.carried import lay_down, take_up
from builder.recent import Recent
from builder.records.photo import State, WebImage

MAKER = "this code"
VALUES = (
    WebImage("a.jpg", 3, 2, 1),
    State.BARE,
    dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC),
    Path("samples/SH-001"),
    frozenset({"metal"}),
)


def laid_down(folder: Path, *numbers: str) -> Path:
    recent, file = Recent(), folder / "carried.sqlite3"
    for number in numbers:
        recent.recall(("entry", (number, 1)), "told", lambda number=number: (number, VALUES))
    assert lay_down(file, MAKER, recent) == len(numbers)
    return file


def test_values_come_back_as_they_were(tmp_path: Path) -> None:
    file = laid_down(tmp_path, "SH-001")
    assert take_up(file, MAKER).find(("entry", ("SH-001", 1)), "told") == ("SH-001", VALUES)


def test_what_other_code_worked_out_is_not_believed_and_goes(tmp_path: Path) -> None:
    file = laid_down(tmp_path, "SH-001")
    assert take_up(file, "other code").held == {}
    lay_down(file, "other code", Recent())
    assert take_up(file, MAKER).held == {}


def test_only_rows_with_another_answer_are_written(tmp_path: Path) -> None:
    file = laid_down(tmp_path, "SH-001", "SH-002", "SH-003")
    recent = take_up(file, MAKER)
    recent.recall(("entry", ("SH-001", 1)), "told", str)
    recent.recall(("entry", ("SH-002", 1)), "told otherwise", lambda: "new")
    assert lay_down(file, MAKER, recent) == 1
    after = take_up(file, MAKER).held
    assert after.keys() == {("entry", ("SH-001", 1)), ("entry", ("SH-002", 1))}  # one is gone


def test_rows_of_another_user_are_not_even_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = laid_down(tmp_path, "SH-001")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "another"))
    monkeypatch.setenv("HOME", str(tmp_path / "another"))
    monkeypatch.setenv("APPDATA", str(tmp_path / "another"))
    assert take_up(file, MAKER).held == {}
    assert lay_down(file, MAKER, Recent()) == 0
    assert laid_down(tmp_path, "SH-001") == file
    assert take_up(file, MAKER).held


def test_a_row_without_our_seal_is_passed_over(tmp_path: Path) -> None:
    file = laid_down(tmp_path, "SH-001", "SH-002")
    forged = pickle.dumps({("entry", ("SH-001", 1)): ("told", "forged")})
    connection = sqlite3.connect(file)
    with connection:
        connection.execute("update carried set answers = ? where about = 'SH-001'", (forged,))
    connection.close()
    assert take_up(file, MAKER).held.keys() == {("entry", ("SH-002", 1))}


def test_where_no_word_can_be_kept_nothing_is_taken_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_bytes(b"")
    for name in ("XDG_CONFIG_HOME", "HOME", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "file"))
    assert take_up(laid_down(tmp_path, "SH-001"), MAKER).held == {}


class Hostile:
    def __init__(self, call: object, *told: object) -> None:
        self.reduced = (call, told)

    def __reduce__(self) -> object:
        return self.reduced


def dotted(module: str, name: str) -> bytes:
    """A pickle (protocol 4) that names something through a module of ours, and calls it."""
    texts = b"".join(b"\x8c" + bytes([len(t)]) + t.encode() for t in (module, name))
    return b"\x80\x04" + texts + b"\x93)R."


@pytest.mark.parametrize(
    "answers",
    [
        pytest.param(pickle.dumps(Hostile(exec, "1/0")), id="a builtin"),
        pytest.param(pickle.dumps(Hostile(Path.touch, Path("touched"))), id="a method"),
        pytest.param(dotted("builder.carried", "sqlite3.connect"), id="through a module of ours"),
        pytest.param(dotted("builder.safe_files", "write_whole"), id="a function of ours"),
        pytest.param(dotted("builder.carried", "Recent"), id="a class that is ours, elsewhere"),
        pytest.param(b"\x80\x05\x8c\x05", id="cut short"),
        pytest.param(pickle.dumps("no answers"), id="a text"),
        pytest.param(b"", id="nothing"),
    ],
)
def test_a_strangers_file_makes_nothing_and_is_begun_anew(
    tmp_path: Path, answers: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    file = laid_down(tmp_path, "SH-001")
    connection = sqlite3.connect(file)
    with connection:
        (maker,) = connection.execute("select maker from carried").fetchone()
        seal = carried._seal(carried._own_word(), "x", maker, answers)  # as if it were our own
        row = ("x", maker, seal, answers)
        connection.execute("insert into carried values (?, ?, ?, ?)", row)
    connection.close()
    assert take_up(file, MAKER).held == {}
    assert not Path("touched").exists()


def test_a_file_that_is_no_store_is_begun_anew(tmp_path: Path) -> None:
    file = tmp_path / "carried.sqlite3"
    file.write_bytes(b"not a database" * 1000)
    assert take_up(file, MAKER).held == {}
    assert lay_down(file, MAKER, Recent()) == 0
    assert laid_down(tmp_path, "SH-001") == file
