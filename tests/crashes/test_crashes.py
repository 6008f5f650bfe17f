"""A few moments at which a command may be killed; `python -m tests.crashes` tries hundreds."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.crashes.harness import COMMANDS, Bench, count_steps, make_bench, try_once

MOMENTS = 3


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    return make_bench(tmp_path_factory.mktemp("crashes") / "bench")


@pytest.mark.parametrize("command", COMMANDS)
def test_nothing_is_lost_by_a_kill_and_the_next_run_completes(
    bench: Bench, command: str, tmp_path: Path
) -> None:
    steps, _ = count_steps(bench, command, tmp_path / "whole")
    rng = random.Random(command)  # noqa: S311
    for number, at in enumerate(rng.sample(range(1, steps + 1), MOMENTS)):
        wrong = try_once(bench, command, tmp_path / str(number), at)
        assert wrong == [], f"killed at step {at} of {steps}"
