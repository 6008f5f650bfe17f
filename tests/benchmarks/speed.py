"""How long a build takes beside bare MkDocs on as many pages, in one run, as ratios.

``python -m tests.benchmarks.speed --pieces 300`` grows a library from the demo (its photographs
count as read), builds it, builds it again with nothing changed, changes one sidecar and builds it
again, forgets its pages and builds it once more; beside that MkDocs alone, with the same theme,
makes as many pages of plain words.
Seconds are of the processor, the program's start included; wall time stands beside them and means
something on an idle machine only.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from builder.holding import STORE
from tests.benchmarks.grown import grow

TODAY = "2026-06-01"
_WORDS = "What was done to the piece, what it looked like, and whether the colour held. " * 12


@dataclass(frozen=True)
class Run:
    """Processor seconds, wall seconds, and the most memory of one process, MB."""

    cpu: float
    wall: float
    megabytes: float


def run(*command: str, folder: Path) -> Run:
    """Run a command to its end; its words go nowhere. Raises CalledProcessError."""
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    begun = time.monotonic()
    with subprocess.Popen(  # noqa: S603  # our own commands
        command, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, command)
    cpu = usage.ru_utime + usage.ru_stime
    return Run(cpu, time.monotonic() - begun, usage.ru_maxrss / 1024)


def build(root: Path) -> Run:
    code = "from builder.cli import main; main()"
    return run(sys.executable, "-c", code, "build", str(root), "--today", TODAY, folder=Path.cwd())


def build_bare(root: Path, pages: int) -> Run:
    """MkDocs alone: the same theme, as many pages of plain words, one of them in the navigation."""
    docs = root / "bare"
    docs.mkdir()
    (docs / "index.md").write_text("# Bare\n", encoding="utf-8")
    for number in range(pages - 1):
        words = f"# Page {number}\n\n" + f"{_WORDS}\n\n" * 4
        (docs / f"page-{number:05}.md").write_text(words, encoding="utf-8")
    settings = (
        "site_name: Bare\nuse_directory_urls: false\ndocs_dir: bare\nsite_dir: bare-site\n"
        "nav: [index.md]\ntheme: {name: material, font: false}\nplugins: [search]\n"
    )
    (root / "bare.yml").write_text(settings, encoding="utf-8")
    mkdocs = str(Path(sys.executable).with_name("mkdocs"))
    return run(mkdocs, "-q", "build", "-f", "bare.yml", folder=root)


def change_one(root: Path) -> None:
    sidecar = sorted((root / "samples").glob("*/sample.yaml"))[11]
    text = sidecar.read_text(encoding="utf-8")
    sidecar.write_text(text + "why: a word put in afterwards\n", encoding="utf-8")


def forget_pages(root: Path) -> None:
    """Every page is made anew; what was read and reckoned is still known."""
    for kept in (*(root / STORE).glob("pages.*"), *(root / STORE).glob("built-*")):
        kept.unlink()


def measure(root: Path, pieces: int) -> None:
    grown = grow(root, pieces, hollow=True, seen=True)
    print(f"{grown.pieces} pieces, {grown.photographs} photographs")
    first = build(root)
    sites = root / "site"
    pages = sum(1 for _ in sites.rglob("*.html"))
    size = sum(page.stat().st_size for page in sites.glob("pieces/*.html")) / max(1, grown.pieces)
    again = build(root)
    change_one(root)
    changed = build(root)
    forget_pages(root)
    anew = build(root)
    bare = build_bare(root, pages)
    rows: Sequence[tuple[str, Run]] = (
        ("MkDocs alone, as many pages", bare),
        ("all pages, sums made", first),
        ("nothing changed", again),
        ("one sidecar changed", changed),
        ("all pages, nothing else new", anew),
    )
    print(f"{pages} pages; a piece's page {size / 1000:.0f} kB")
    print(f"{'':30}{'cpu s':>8}{'ratio':>8}{'wall s':>8}{'MB':>7}")
    for what, one in rows:
        ratio = one.cpu / bare.cpu
        print(f"{what:30}{one.cpu:8.2f}{ratio:8.2f}{one.wall:8.2f}{one.megabytes:7.0f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pieces", type=int, default=300)
    parser.add_argument("--at", type=Path, help="a folder to grow it in; it is emptied")
    told = parser.parse_args()
    if told.at:
        measure(told.at, told.pieces)
        return
    with tempfile.TemporaryDirectory() as folder:
        measure(Path(folder) / "grown", told.pieces)


if __name__ == "__main__":
    main()
