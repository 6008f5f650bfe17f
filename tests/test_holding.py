"""One run at a time works on a library, and the next is told which."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from builder.errors import BusyError
from builder.holding import hold

HOLDER = """
import sys, time
from pathlib import Path
from builder.holding import hold
kept = hold(Path(sys.argv[1]), "add")
print("held", flush=True)
time.sleep(60)
"""


def test_a_second_run_is_refused_and_told_who_is_at_work(tmp_path: Path) -> None:
    with (
        hold(tmp_path / "store", "build"),
        pytest.raises(BusyError, match=f"patinarium build, process {os.getpid()} on "),
    ):
        hold(tmp_path / "store", "add")
    hold(tmp_path / "store", "add").release()


def test_the_lock_of_a_killed_run_is_free(tmp_path: Path) -> None:
    run = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", HOLDER, str(tmp_path)], stdout=subprocess.PIPE
    )
    assert run.stdout is not None
    assert run.stdout.readline() == b"held\n"
    with pytest.raises(BusyError, match=f"patinarium add, process {run.pid} on "):
        hold(tmp_path, "build")
    run.send_signal(signal.SIGKILL)
    run.wait()
    run.stdout.close()
    hold(tmp_path, "build").release()


def test_a_folder_that_cannot_be_written_to_is_named(tmp_path: Path) -> None:
    (tmp_path / "store").write_text("a file", encoding="utf-8")
    with pytest.raises(BusyError, match="could not be written to"):
        hold(tmp_path / "store", "build")
