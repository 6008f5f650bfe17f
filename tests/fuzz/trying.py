"""Cases tried one after the other, in this process."""

from __future__ import annotations

import contextlib
import gc
import shutil
import traceback
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

from builder.errors import PatinariumError
from tests.fuzz.targets import Target

#: Where a case lies while it is tried, for whoever watches: its time of change is when it began.
CASE = "case"
_ROOM = "room"
_MORE_MB = 400  # one case may take this much beyond what the process had


class GrewError(Exception):
    """One case took more memory than any reader needs."""


@dataclass
class Tries:
    """``found``: what went wrong by where it did, with the smallest case that shows it and what
    was said; ``count`` of cases; ``known``: what is passed over."""

    folder: Path
    count: int = 0
    read: int = 0
    found: dict[str, tuple[bytes, str]] = field(default_factory=dict)
    known: set[str] = field(default_factory=set)

    def round(self, target: Target, number: int, examples: int | None = None) -> None:
        """``examples`` cases of ``target``, always the same for one ``number``."""
        last: list[tuple[str, bytes, str]] = []

        @seed(number)
        @settings(
            max_examples=examples or target.examples,
            deadline=None,
            database=None,
            phases=(Phase.generate, Phase.shrink),
            suppress_health_check=list(HealthCheck),
            report_multiple_bugs=False,
        )
        @given(case=target.cases())
        def every_case(case: bytes) -> None:
            self.count += 1
            try:
                self.read += try_case(target, case, self.folder)
            except Exception as error:
                where = f"{target.name}: {name_fault(error)}"
                if where in self.known:
                    return
                last.append((where, case, traceback.format_exc(limit=-8)))
                raise

        try:
            every_case()
        except Exception:
            if not last:
                raise
            where, case, said = last[-1]
            self.known.add(where)
            self.found[where] = (case, said)
        gc.collect()


def try_case(target: Target, case: bytes, folder: Path) -> bool:
    """Whether the case was read to its end; False where it was refused as it should be. Whatever
    else happens is raised."""
    room = folder / _ROOM / "inner"
    shutil.rmtree(folder / _ROOM, ignore_errors=True)
    room.mkdir(parents=True)
    (folder / CASE).write_bytes(case)
    before = reset_peak()
    try:
        target.read(case, room)
    except PatinariumError as error:
        if not error.problems or any(len(str(problem)) > 4000 for problem in error.problems):
            raise AssertionError("an error without a problem, or one nobody can read") from error
        return False
    finally:
        grown = find_peak() - before
        if grown > _MORE_MB:
            raise GrewError(f"{grown} MB more")
    return True


def name_fault(error: BaseException) -> str:
    """The kind of an error and the last place of ours it came through: the same for the same
    fault."""
    ours = [
        frame
        for frame in traceback.extract_tb(error.__traceback__)
        if "/builder/" in frame.filename or "/tests/fuzz/targets" in frame.filename
    ]
    place = f"{Path(ours[-1].filename).name}:{ours[-1].name}" if ours else "?"
    return f"{type(error).__name__} at {place}"


def _read_status(name: str) -> int:
    """MB of a line of this process's status; 0 where the system has none."""
    with contextlib.suppress(OSError):
        for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
            if line.startswith(name):
                return int(line.split()[1]) // 1024
    return 0


def reset_peak() -> int:
    """Begin to watch the most memory used; what is used now, MB."""
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    return find_memory()


def find_memory() -> int:
    return _read_status("VmRSS:")


def find_peak() -> int:
    return _read_status("VmHWM:")
