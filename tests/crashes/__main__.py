"""``python -m tests.crashes --rounds 200``: kill ``add``, ``build`` and ``bag`` at random moments.

Half of the moments are steps that touch the disk, half are times. Ends with 1 if anything of the
maker's was lost or half-written, or a next run did not complete.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
from pathlib import Path

from tests.crashes.harness import COMMANDS, count_steps, draw, make_bench, try_for, try_once


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.crashes", description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    rng = random.Random(wanted.seed)  # noqa: S311
    failed = 0
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder) / "scratch"
        bench = make_bench(Path(folder) / "bench")
        size = {}
        for command in COMMANDS:
            size[command] = count_steps(bench, command, scratch)
            shutil.rmtree(scratch)
            print(f"{command}: {size[command][0]} steps, {size[command][1]:.1f} s", flush=True)
        for number in range(1, wanted.rounds + 1):
            command = COMMANDS[number % len(COMMANDS)]
            step, seconds = draw(rng, *size[command])
            wrong = (
                try_once(bench, command, scratch, step)
                if step
                else try_for(bench, command, scratch, seconds)
            )
            shutil.rmtree(scratch)
            failed += bool(wrong)
            moment = f"step {step}" if step else f"{seconds:.2f} s"
            print(f"{number}: {command} killed at {moment}: {wrong or 'whole'}", flush=True)
    print(f"{wanted.rounds} rounds, {failed} with something wrong")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
