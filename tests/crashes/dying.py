"""``python -m tests.crashes.dying AT COMMAND...``: run a command, and be killed at a moment.

AT is the number, from 1, of a step that touches the disk: a file opened for writing, renamed,
linked, removed or made. With 0 it lives, and says on standard error how many steps there were.
"""

from __future__ import annotations

import os
import signal
import sys
from typing import Any

from builder.cli import main

_STEPS = frozenset(
    {"os.rename", "os.link", "os.remove", "os.rmdir", "os.mkdir", "os.truncate", "os.symlink"}
)
_WRITES = os.O_WRONLY | os.O_RDWR | os.O_APPEND | os.O_CREAT


def watch(at: int) -> None:
    """Count the steps of this process and kill it at number ``at``."""
    steps = 0

    def hook(event: str, told: tuple[Any, ...]) -> None:
        nonlocal steps
        if event == "open":
            mode, flags = told[1], told[2]
            writes = any(sign in mode for sign in "wax+") if mode else bool(flags & _WRITES)
        else:
            writes = event in _STEPS
        if writes:
            steps += 1
            if steps == at:
                os.kill(os.getpid(), signal.SIGKILL)

    def say() -> None:
        print(f"steps: {steps}", file=sys.stderr)

    sys.addaudithook(hook)
    if at == 0:
        import atexit

        atexit.register(say)


if __name__ == "__main__":
    watch(int(sys.argv[1]))
    sys.argv = ["patinarium", *sys.argv[2:]]
    main()
