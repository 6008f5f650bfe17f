"""The process that tries cases: ``python -m tests.fuzz.worker FOLDER FIRST TARGET…``, round after
round, a line of JSON each; it ends when it is ended, or when its standard output is closed."""

from __future__ import annotations

import base64
import json
import sys
import warnings
from itertools import count, cycle
from pathlib import Path

from tests.fuzz.targets import target_named
from tests.fuzz.trying import Tries, find_memory


def main(folder: str, first: str, *names: str) -> None:
    warnings.simplefilter("ignore")
    tries = Tries(Path(folder))
    for number, name in zip(count(int(first)), cycle(names), strict=False):
        before = (tries.count, tries.read)
        tries.round(target_named(name), number)
        told = {
            "target": name,
            "number": number,
            "cases": tries.count - before[0],
            "read": tries.read - before[1],
            "memory": find_memory(),
            "found": [
                {"where": where, "said": said, "case": base64.b64encode(case).decode()}
                for where, (case, said) in tries.found.items()
            ],
        }
        tries.found.clear()
        print(json.dumps(told), flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
