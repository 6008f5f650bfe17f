"""One process tries, this one watches it: for a case without end, for memory, for its death."""

from __future__ import annotations

import base64
import json
import queue
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from builder.digests import digest_bytes
from tests.fuzz.trying import CASE

ROOT = Path(__file__).parents[2]
CORPUS = Path(__file__).parent / "corpus"
#: One case may take so long, on a machine that does other things besides.
LONGEST_S = 60.0
_WARM_ROUNDS = 24  # until libraries have set aside what they always do
_MOST_GROWTH_MB = 250
_DIGITS = 12


@dataclass
class Tally:
    """Cases by target, how many of them were read to the end; what was found, by where;
    ``memory``: MB after each round of the process at work."""

    cases: Counter[str] = field(default_factory=Counter)
    read: Counter[str] = field(default_factory=Counter)
    found: dict[str, Path] = field(default_factory=dict)
    memory: list[int] = field(default_factory=list)
    most_growth: int = 0


class Watch:
    """Runs for some seconds. ``say`` is told what is found as it is found."""

    def __init__(self, names: Sequence[str], first: int, say: Callable[[str], None]) -> None:
        self.names, self.next, self.say = names, first, say
        self.tally, self.corpus = Tally(), CORPUS

    def run(self, seconds: float) -> Tally:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            with tempfile.TemporaryDirectory() as folder:
                self._run_one(Path(folder), end)
        return self.tally

    def _run_one(self, folder: Path, end: float) -> None:
        """One process, until the end, a hang, its death, or growth."""
        command = [sys.executable, "-m", "tests.fuzz.worker", str(folder), str(self.next)]
        turn = self.next % len(self.names)
        names = [*self.names[turn:], *self.names[:turn]]
        lines: queue.Queue[str] = queue.Queue()
        self.tally.memory.clear()
        with subprocess.Popen(  # noqa: S603
            [*command, *names], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout and process.stderr
            complaints: list[str] = []
            readers = [
                threading.Thread(target=lambda: [lines.put(x) for x in process.stdout or ()]),
                threading.Thread(target=lambda: complaints.extend(process.stderr or ())),
            ]
            for reader in readers:
                reader.start()
            why = self._watch(process, lines, folder, end)
            process.kill()
            process.wait()
            for reader in readers:
                reader.join()
        if why:
            self.note_end(why, folder, "".join(complaints[-20:]))

    def _watch(
        self, process: subprocess.Popen[str], lines: queue.Queue[str], folder: Path, end: float
    ) -> str:
        """Why the process is to be ended before its time, "" where its time is over."""
        while time.monotonic() < end:
            try:
                told = json.loads(lines.get(timeout=1))
            except queue.Empty:
                if process.poll() is not None:
                    return f"died with {process.returncode}"
                if _age(folder / CASE) > LONGEST_S:
                    return f"no end in {LONGEST_S:.0f} s"
                continue
            if self._take_in(told):
                return "memory grows"
        return ""

    def _take_in(self, told: dict[str, Any]) -> bool:
        """Whether memory grows."""
        name = told["target"]
        self.next = told["number"] + 1
        self.tally.cases[name] += told["cases"]
        self.tally.read[name] += told["read"]
        for one in told["found"]:
            self._note(name, one["where"], base64.b64decode(one["case"]), one["said"])
        memory = self.tally.memory
        memory.append(told["memory"])
        grown = memory[-1] - max(memory[:_WARM_ROUNDS]) if len(memory) > _WARM_ROUNDS else 0
        self.tally.most_growth = max(self.tally.most_growth, grown)
        return grown > _MOST_GROWTH_MB

    def note_end(self, why: str, folder: Path, said: str) -> None:
        turn = self.next % len(self.names)
        name = self.names[turn]
        case = (folder / CASE).read_bytes() if (folder / CASE).is_file() else b""
        self._note(name, f"{name}: {why}", case, said)
        self.next += 1

    def _note(self, name: str, where: str, case: bytes, said: str) -> None:
        if where in self.tally.found:
            return
        place = self.corpus / name / digest_bytes(case)[:_DIGITS]
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(case)
        self.tally.found[where] = place
        self.say(f"FOUND {where}\n  {place}, {len(case)} bytes\n{said}")


def _age(file: Path) -> float:
    """Seconds since the file was written; 0 where it is not there."""
    try:
        return time.time() - file.stat().st_mtime
    except OSError:
        return 0.0
