"""SQLite files in whose place a stranger's may lie."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from builder.carried import lay_down, take_up
from builder.recent import Recent
from builder.stores import is_damaged, open_store, put_aside

TABLE = "create table if not exists kept (name text primary key) without rowid"
ENDLESS = (
    "create view kept (name) as with recursive n(i) as (select 1 union all select i + 1 from n)"
    " select i from n"
)
TRIGGER = "create trigger more after insert on kept begin insert into kept values ('x'); end"


def test_a_new_store_is_made_and_opened_again(tmp_path: Path) -> None:
    for _ in range(2):
        open_store(tmp_path / "kept.sqlite3", [TABLE]).close()


@pytest.mark.parametrize("statements", [[ENDLESS], [TABLE, TRIGGER], [TABLE, "create table b (c)"]])
def test_what_holds_other_things_is_no_store(tmp_path: Path, statements: list[str]) -> None:
    file = tmp_path / "kept.sqlite3"
    connection = sqlite3.connect(file)
    for statement in statements:
        connection.execute(statement)
    connection.close()
    with pytest.raises(sqlite3.DatabaseError) as refused:
        open_store(file, [TABLE])
    assert is_damaged(refused.value)


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    other = tmp_path / "other.sqlite3"
    sqlite3.connect(other).close()
    before = other.read_bytes()
    for target in (other, tmp_path / "nothing.sqlite3"):
        file = tmp_path / "kept.sqlite3"
        file.unlink(missing_ok=True)
        file.symlink_to(target)
        open_store(file, [TABLE]).close()
        assert not file.is_symlink()
    assert other.read_bytes() == before
    assert not (tmp_path / "nothing.sqlite3").exists()


def test_a_store_in_use_is_not_damaged(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite3"
    first = open_store(file, [TABLE])
    first.execute("begin exclusive")
    second = sqlite3.connect(file, timeout=0)
    with pytest.raises(sqlite3.OperationalError) as busy:
        second.execute("insert into kept values ('x')")
    assert not is_damaged(busy.value)
    first.close(), second.close()


def test_a_damaged_store_lies_beside_its_place(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite3"
    for words in (b"first", b"second"):
        file.write_bytes(words)
        put_aside(file)
    assert (tmp_path / "kept.damaged").read_bytes() == b"second"
    put_aside(file)  # nothing there


def test_an_endless_view_in_a_strangers_store_is_not_asked(tmp_path: Path) -> None:
    file = tmp_path / "carried.sqlite3"
    connection = sqlite3.connect(file)
    connection.execute(
        "create view carried (about, maker, seal, answers) as with recursive n(i) as"
        " (select 1 union all select i + 1 from n) select i, i, i, i from n"
    )
    connection.close()
    assert take_up(file, "maker").held == {}
    lay_down(file, "maker", Recent())
    assert take_up(file, "maker").held == {}
