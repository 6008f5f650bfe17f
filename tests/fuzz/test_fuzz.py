"""A few cases for every reader, the same in each run, and every case that once found a fault.

``python -m tests.fuzz --minutes 60`` is the whole of it.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.fuzz import targets, trying
from tests.fuzz.targets import TARGETS, Target, target_named
from tests.fuzz.trying import GrewError, Tries, try_case
from tests.fuzz.watching import CORPUS, Watch

CASES = sorted(file for file in CORPUS.rglob("*") if file.is_file())
_EXAMPLES = {"pages": 3, "photos": 25}
_MOST_CORPUS = 200_000  # bytes


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("target", TARGETS, ids=lambda target: target.name)
def test_nothing_but_a_refusal_comes_of_strange_files(target: Target, tmp_path: Path) -> None:
    tries = Tries(tmp_path)
    tries.round(target, 2025, _EXAMPLES.get(target.name, 40))
    assert tries.count > 0
    assert {where: said for where, (_, said) in tries.found.items()} == {}


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.parent.name}-{case.name}")
def test_what_once_went_wrong_does_so_no_more(case: Path, tmp_path: Path) -> None:
    try_case(target_named(case.parent.name), case.read_bytes(), tmp_path)


def test_the_corpus_is_small() -> None:
    assert sum(case.stat().st_size for case in CASES) < _MOST_CORPUS


# ------------------------------------------------------------------- that faults would be found


def faulty(read: targets.Read) -> Target:
    return Target("cgats", target_named("cgats").cases, read)


def test_a_traceback_is_found_with_a_small_case_and_told_once(tmp_path: Path) -> None:
    def read(case: bytes, folder: Path) -> None:
        if b"BEGIN" in case:
            raise KeyError("x")

    tries = Tries(tmp_path)
    for number in (1, 2):
        tries.round(faulty(read), number, 60)
    ((where, (case, said)),) = tries.found.items()
    assert where == "cgats: KeyError at ?"
    assert len(case) < 3000
    assert "KeyError: 'x'" in said


@pytest.mark.skipif(not Path("/proc/self/clear_refs").exists(), reason="memory is not told here")
def test_a_case_that_takes_much_memory_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(trying, "_MORE_MB", 50)
    with pytest.raises(GrewError):
        try_case(
            faulty(lambda case, folder: len(bytearray(os.urandom(200_000_000)))), b"", tmp_path
        )


def test_a_case_without_end_and_a_death_are_found(tmp_path: Path) -> None:
    said: list[str] = []
    watch = Watch(["cgats"], 1, said.append)
    watch.corpus = tmp_path
    (tmp_path / "case").write_bytes(b"a case")
    watch.note_end("no end in 60 s", tmp_path, "")
    assert "FOUND cgats: no end in 60 s" in said[0]
    assert watch.tally.found["cgats: no end in 60 s"].read_bytes() == b"a case"
    assert watch.next == 2
