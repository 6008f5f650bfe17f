"""``python -m tests.benchmarks.colour``: take random photographs, read them, say how exact."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.benchmarks.cases import GROUP, list_groups
from tests.benchmarks.report import write_report
from tests.benchmarks.runs import Pair, Row, run_groups, write_table

PHOTOGRAPHS = 2000


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.colour", description=__doc__)
    parser.add_argument("--photos", type=int, default=PHOTOGRAPHS, help="how many, by fours")
    parser.add_argument("--report", type=Path, help="write the page here, instead of showing it")
    parser.add_argument("--cases", type=Path, metavar="FOLDER", help="keep every figure as CSV")
    parser.add_argument("--marked", action="store_true", help="corners by hand, sheet not sought")
    parser.add_argument("--processes", type=int, default=2)
    wanted = parser.parse_args()
    numbers = list(list_groups(wanted.photos))

    def tell(done: int) -> None:
        if sys.stderr.isatty() or done == len(numbers):
            print(
                f"\r{done * GROUP} of {len(numbers) * GROUP} photographs", end="", file=sys.stderr
            )

    found = run_groups(numbers, wanted.marked, wanted.processes, tell)
    print(file=sys.stderr)
    if wanted.cases:
        wanted.cases.mkdir(parents=True, exist_ok=True)
        write_table(wanted.cases / "photographs.csv", found[0], Row)
        write_table(wanted.cases / "pairs.csv", found[1], Pair)
    page = write_report(found, len(numbers) * GROUP)
    if wanted.report:
        wanted.report.write_text(page, encoding="utf-8", newline="\n")
        print(f"{len(found[0])} photographs read; written to {wanted.report}")
    else:
        print(page)


if __name__ == "__main__":
    main()
