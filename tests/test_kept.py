"""What is kept between runs: answers of long sums, and long texts."""

from __future__ import annotations

import datetime as dt
import sqlite3
from dataclasses import replace
from pathlib import Path

from builder.kept import Seen, Stamp, open_kept
from builder.records.photo import Exif, Grid, Picture


def test_answers_are_there_for_the_next_run_and_those_not_asked_for_can_go(tmp_path: Path) -> None:
    with open_kept(tmp_path, tmp_path) as kept:
        worked = kept.worked()
        worked.update(one="1", two="2")
        assert worked["one"] == "1"
        worked.save(forget_unasked=True)
    with open_kept(tmp_path, tmp_path) as kept:
        worked = kept.worked()
        assert dict(worked) == {"one": "1", "two": "2"}
    with open_kept(tmp_path, tmp_path) as kept:
        worked = kept.worked()
        assert worked["two"] == "2" and "three" not in worked
        worked["three"] = "3"
        worked.save(forget_unasked=True)
        assert sorted(worked) == ["three", "two"]


def test_a_run_beside_this_one_is_not_kept_waiting_and_keeps_nobody_waiting(tmp_path: Path) -> None:
    with open_kept(tmp_path, tmp_path) as kept, open_kept(tmp_path, tmp_path) as beside:
        mine, theirs = kept.worked(), beside.worked()
        mine["one"], theirs["two"] = "1", "2"
        mine.save(forget_unasked=False)
        theirs.save(forget_unasked=False)
        assert sorted(mine) == ["one", "two"]


def test_where_another_run_holds_the_disk_the_answers_are_let_go(tmp_path: Path) -> None:
    with open_kept(tmp_path, tmp_path) as kept:
        worked = kept.worked()
        worked["one"] = "1"
        kept._connection.execute("pragma busy_timeout = 1")
        other = sqlite3.connect(tmp_path / "seen.sqlite3", isolation_level=None)
        other.execute("begin immediate")
        worked.save(forget_unasked=False)
        other.execute("rollback")
        other.close()
        assert worked["one"] == "1"  # for this run


def test_long_texts_are_put_away_and_there_by_name_until_their_photograph_is_gone(
    tmp_path: Path,
) -> None:
    picture = Picture(
        "a.jpg", "0" * 64, 1, "JPEG", 1, 1, Exif(), "", (), dt.date(2024, 10, 8),
        grid=Grid(1, 1, 2.0, "squares"), thumbnail="greys",
    )  # fmt: skip
    stamp = Stamp(1, 1)
    with open_kept(tmp_path, tmp_path) as kept:
        lean = kept.keep("a.jpg", stamp, "f", Seen(picture, sha256="0" * 64))
        kept.keep("b.jpg", stamp, "f", Seen(picture, sha256="0" * 64))
        assert lean.picture is not None and lean.picture.grid is not None
        assert kept.recall("a.jpg", stamp, "f") == lean
        texts = kept.texts()
        assert texts[lean.picture.thumbnail] == "greys"
        assert texts[lean.picture.grid.packed] == "squares"
        kept.forget_all_but(["b.jpg"])
        assert sorted(texts.values()) == ["greys", "squares"]
        kept.keep("b.jpg", stamp, "f", Seen(replace(picture, thumbnail="others")))
        assert sorted(texts.values()) == ["others", "squares"]
        kept.forget_all_but([])
        assert not texts
