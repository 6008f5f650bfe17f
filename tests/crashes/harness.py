"""What must hold of a library after a command was killed at any moment, and after the next run."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import bagit

from builder.changeover import MARK
from builder.digests import digest_file
from builder.ledger import read_ledger
from builder.safe_files import PART
from tests.pipeline.small_library import ROOT, copy_small_library

PICTURES = {
    "IMG_1.jpg": "SH-014/SH-014_2025-04-20_recheck_front.jpg",
    "IMG_2.jpg": "SH-012/SH-012_2025-10-15_recheck_front.jpg",
}
FILED = ("samples/SH-014/SH-014_2025-04-20.jpg", "samples/SH-012/SH-012_2025-10-15.jpg")
SIDECAR = "samples/SH-014/sample.yaml"
COMMANDS = ("add", "build", "bag")
_ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}


@dataclass(frozen=True)
class Bench:
    """A library whose pictures were read, a phone with two more, and a place for bags."""

    library: Path
    phone: Path
    bags: Path

    def copy_to(self, folder: Path) -> Bench:
        shutil.copytree(self.library.parent, folder)
        return Bench(folder / "library", folder / "phone", folder / "bags")

    def argue(self, command: str) -> list[str]:
        """The command's arguments."""
        return {
            "add": [
                "add", str(self.phone), "--library", str(self.library), "--caption", "as it came",
            ],
            "build": ["build", str(self.library)],
            "bag": ["bag", str(self.bags / "bag"), "--library", str(self.library)],
        }[command]  # fmt: skip


def make_bench(folder: Path) -> Bench:
    """A bench in ``folder``, its library built and written down once."""
    bench = Bench(copy_small_library(folder / "library"), folder / "phone", folder / "bags")
    bench.phone.mkdir()
    bench.bags.mkdir()
    for name, picture in PICTURES.items():
        shutil.copy2(ROOT / "samples" / picture, bench.phone / name)
    for arguments in (["build", str(bench.library)], ["record", "--library", str(bench.library)]):
        assert run(arguments, 0).returncode == 0
    return bench


def run(arguments: Sequence[str], at: int) -> subprocess.CompletedProcess[str]:
    """The command, killed at the step ``at``; 0 for never."""
    return subprocess.run(  # noqa: S603
        [sys.executable, "-m", "tests.crashes.dying", str(at), *arguments],
        cwd=ROOT, env=_ENVIRONMENT, capture_output=True, text=True, check=False, timeout=300,
        stdin=subprocess.DEVNULL,
    )  # fmt: skip


def run_for(arguments: Sequence[str], seconds: float) -> int:
    """The command, killed after so many seconds unless it has ended; its exit code."""
    command = [sys.executable, "-m", "tests.crashes.dying", "-1", *arguments]
    with subprocess.Popen(  # noqa: S603
        command, cwd=ROOT, env=_ENVIRONMENT, stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        try:
            return process.wait(timeout=seconds)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
            return process.wait()


def count_steps(bench: Bench, command: str, scratch: Path) -> tuple[int, float]:
    """How many steps touch the disk in a whole run of the command, and the seconds it takes."""
    copy = bench.copy_to(scratch)
    begun = time.monotonic()
    done = run(copy.argue(command), 0)
    spent = time.monotonic() - begun
    told = re.search(r"steps: (\d+)", done.stderr)
    assert told, done.stderr
    return int(told[1]), spent


def look_after(bench: Bench, before: Bench) -> list[str]:
    """What is wrong with a bench after a kill, beside the one it was copied from; nothing where all
    that is the maker's is whole."""
    wrong = []
    for file in sorted(before.library.glob("samples/**/*")):
        now = bench.library / file.relative_to(before.library)
        if not file.is_file():
            continue
        if not now.is_file():
            wrong.append(f"{now} is lost")
        elif now.name == "sample.yaml":
            lines = iter(now.read_text(encoding="utf-8").splitlines())
            kept = all(line in lines for line in file.read_text(encoding="utf-8").splitlines())
            wrong += [] if kept else [f"{now} lost lines"]
        elif digest_file(now) != digest_file(file):
            wrong.append(f"{now} changed")
    for name, source in zip(FILED, PICTURES, strict=True):
        filed = bench.library / name
        if filed.exists() and digest_file(filed) != digest_file(bench.phone / source):
            wrong.append(f"{filed} is no whole copy")
    for name in PICTURES:
        if digest_file(bench.phone / name) != digest_file(before.phone / name):
            wrong.append(f"{name} on the phone changed")
    wrong += [f"ledger:{fault.line}: {fault.found}" for fault in read_ledger(bench.library).faults]
    site = bench.library / "site"
    if not (site / "index.html").is_file() or not (site / MARK).is_file():
        wrong.append("the site is not whole")
    if (bench.bags / "bag").exists() and not is_valid(bench.bags / "bag"):
        wrong.append("a bag that is not whole has its name")
    return wrong


def finish(bench: Bench, command: str) -> list[str]:
    """Run the command again to its end; what is wrong then."""
    wrong = []
    if command == "bag" and (bench.bags / "bag").exists():
        return []  # it was whole before the kill came
    done = run(bench.argue(command), 0)
    if done.returncode:
        wrong.append(f"the next run ended with {done.returncode}: {done.stderr[-400:]}")
    if command == "add":
        standing = read_ledger(bench.library).standing()
        for name, source in zip(FILED, PICTURES, strict=True):
            digest = digest_file(bench.phone / source)
            if not (bench.library / name).is_file() or name not in standing:
                wrong.append(f"{name} was not filed by the next run")
            elif standing[name].sha256 != digest:
                wrong.append(f"{name} is not in the ledger as it is")
        wrong += [f"{p} was left" for p in bench.library.glob(f"samples/*/.*{PART}")]
    if command == "bag" and not is_valid(bench.bags / "bag"):
        wrong.append("the next run made no valid bag")
    return wrong


def is_valid(bag: Path) -> bool:
    """By the bagit package's own judgement."""
    return bool(bagit.Bag(str(bag)).is_valid())


def try_once(bench: Bench, command: str, scratch: Path, at: int) -> list[str]:
    """Kill the command at the step ``at``, look, run it again, look again."""
    copy = bench.copy_to(scratch)
    run(copy.argue(command), at)
    return look_after(copy, bench) + finish(copy, command) + look_after(copy, bench)


def try_for(bench: Bench, command: str, scratch: Path, seconds: float) -> list[str]:
    """As :func:`try_once`, killed after some seconds."""
    copy = bench.copy_to(scratch)
    run_for(copy.argue(command), seconds)
    return look_after(copy, bench) + finish(copy, command) + look_after(copy, bench)


def draw(rng: random.Random, steps: int, seconds: float) -> tuple[int, float]:
    """A moment: a step's number, or 0 and a time."""
    if rng.random() < 0.5:
        return rng.randint(1, steps), 0.0
    return 0, rng.uniform(0.0, seconds)
