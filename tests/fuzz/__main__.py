"""``python -m tests.fuzz --minutes 60``: feed every reader of strangers' files with what strangers
might send. Ends with 1 if anything but a refusal came of it: a traceback, no end, memory.

What is found is kept, as small as it could be made, in ``tests/fuzz/corpus``, which the tests read
again; commit it with what mends it.
"""

from __future__ import annotations

import argparse
import sys

from tests.fuzz.targets import TARGETS
from tests.fuzz.watching import Watch


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("--minutes", type=float, default=1)
    parser.add_argument("--seed", type=int, default=1, help="number of the first round")
    names = [target.name for target in TARGETS]
    parser.add_argument("--only", action="append", choices=names, help="may be given again")
    wanted = parser.parse_args()
    watch = Watch(wanted.only or names, wanted.seed, lambda said: print(said, flush=True))
    tally = watch.run(60 * wanted.minutes)
    for name, cases in sorted(tally.cases.items()):
        print(f"{name}: {cases} cases, {tally.read[name]} of them read to the end")
    print(f"memory after the first rounds grew by {tally.most_growth} MB at most")
    print(f"{sum(tally.cases.values())} cases, {len(tally.found)} faults")
    return 1 if tally.found else 0


if __name__ == "__main__":
    sys.exit(main())
