"""How long a photograph takes, cold, against libvips making its web sizes alone; and two processes
against one.

``python -m tests.benchmarks.seeing`` reads photographs of the demo as they are (2 megapixels) and
enlarged to twelve, with fresh grain, and prints ratios of processor time: other work on the machine
disturbs those least. libvips is no dependency of this project; to have its rows::

    python -m venv speed-env
    speed-env/bin/pip install . "pyvips[binary]"
    speed-env/bin/python -m tests.benchmarks.seeing

Few builds of libvips decode HEIC, so only JPEGs are compared. ``--profile`` says where a
photograph's time goes.
"""

from __future__ import annotations

import argparse
import cProfile
import datetime as dt
import importlib
import importlib.util
import pstats
import resource
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from builder.observing.seeing import see
from builder.observing.task import Task
from builder.pipeline import plan_tasks
from builder.read.library import read_library
from builder.read.settings import read_settings_file

ROOT = Path(__file__).parents[2]
_TODAY = dt.date(2026, 6, 1)
_TIMES = 2.5  # 1600 × 1200 → 4000 × 3000
_GRAIN = 2.0  # standard deviation of 255
_QUALITY = 90


def choose_tasks(count: int, pictures: Path) -> list[Task]:
    """So many photographs spread over the demo, HEIC among them."""
    library = read_library(ROOT, read_settings_file(ROOT), _TODAY)
    tasks = list(plan_tasks(library, pictures))
    heic = [task for task in tasks if task.photo.path.endswith(".heic")][:1]
    rest = [task for task in tasks if task not in heic]
    step = max(1, len(rest) // max(1, count - len(heic)))
    return [*heic, *rest[::step]][:count]


def enlarge(tasks: Sequence[Task], folder: Path) -> list[Task]:
    """The JPEGs among them at twelve megapixels, with fresh grain, in ``folder``."""
    out = []
    for seed, task in enumerate(tasks):
        if not task.photo.path.endswith(".jpg"):
            continue
        file = folder / task.photo.path
        file.parent.mkdir(parents=True, exist_ok=True)
        with Image.open(task.root / task.photo.path) as image:
            size = (round(image.width * _TIMES), round(image.height * _TIMES))
            kept = {key: image.info[key] for key in ("icc_profile", "exif") if key in image.info}
            large = image.convert("RGB").resize(size, Image.Resampling.BICUBIC)
        rng = np.random.default_rng(seed)
        values = np.array(large)
        for (
            row
        ) in values:  # one by one: what this process takes up would be counted as its readers'
            row[:] = np.clip(np.rint(row + rng.normal(0, _GRAIN, row.shape)), 0, 255)
        Image.fromarray(values).save(file, "JPEG", quality=_QUALITY, **kept)
        out.append(replace(task, root=folder))
    return out


def spend(do: Callable[[Task], object], tasks: Sequence[Task], rounds: int) -> float:
    """Processor seconds a photograph, the least of some rounds of each."""
    least = [np.inf] * len(tasks)
    for _ in range(rounds):
        for place, task in enumerate(tasks):
            for made in task.pictures.iterdir():
                made.unlink()
            start = time.process_time()
            do(task)
            least[place] = min(least[place], time.process_time() - start)
    return float(np.mean(least))


def make_by_vips(task: Task, vips: Any, once: bool) -> None:
    """The web sizes alone; each from the file, shrunk while it is decoded, or all from one."""
    file, widths = str(task.root / task.photo.path), task.settings.web_widths
    wanted = {"height": 10_000_000, "size": "down", "output_profile": "srgb"}
    largest = vips.Image.thumbnail(file, max(widths), **wanted).copy_memory() if once else None
    for width in widths:
        if largest is None:
            image = vips.Image.thumbnail(file, width, **wanted)
        else:
            image = largest.resize(min(1.0, width / largest.width))
        image.jpegsave(str(task.pictures / f"{width}.jpg"), Q=82, keep="icc")


def compare(name: str, tasks: Sequence[Task], rounds: int, vips: Any) -> None:
    see(tasks[0])
    own = spend(see, tasks, rounds)
    print(f"{name}: {own:.3f} s of one core a photograph")
    if vips is None:
        return
    for how, once in (("each size from the file", False), ("all sizes from one opening", True)):
        its = spend(lambda task, once=once: make_by_vips(task, vips, once), tasks, rounds)  # type: ignore[misc]
        print(f"  {own / its:.1f} × libvips, {how} ({its:.3f} s)")


def see_all(tasks: Sequence[Task], processes: int) -> tuple[float, float]:
    """Seconds on the clock and of the processors for all tasks, as the pipeline shares them out."""
    before = _of_children()
    start = time.perf_counter()
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        list(pool.map(see, tasks, chunksize=1))
    return time.perf_counter() - start, _of_children() - before


def _of_children() -> float:
    spent = resource.getrusage(resource.RUSAGE_CHILDREN)
    return spent.ru_utime + spent.ru_stime


def compare_cores(tasks: Sequence[Task], rounds: int) -> None:
    for _ in range(rounds):
        (one, work_one), (two, work_two) = see_all(tasks, 1), see_all(tasks, 2)
        # The clock is right where nothing else runs; the work, shared evenly, nearly always.
        print(
            f"{len(tasks)} photographs, two processes against one: {one / two:.2f} × as quick by "
            f"the clock, {2 * work_one / work_two:.2f} × by the work done"
        )


def load_vips() -> Any:
    if importlib.util.find_spec("pyvips") is None:
        print("libvips is left out: pyvips is not installed.")
        return None
    vips = importlib.import_module("pyvips")
    vips.cache_set_max(0)
    return vips


def _peak_mb() -> float:
    """Of the largest process that has read."""
    most = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return most / (1e6 if sys.platform == "darwin" else 1e3)


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--photos", type=int, default=12)
    words.add_argument("--large", type=int, default=6)
    words.add_argument("--rounds", type=int, default=2)
    words.add_argument("--profile", action="store_true")
    chosen = words.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "pictures").mkdir()
        tasks = choose_tasks(chosen.photos, folder / "pictures")
        large = enlarge(choose_tasks(chosen.large + 1, folder / "pictures"), folder)[: chosen.large]
        if chosen.profile:
            profile = cProfile.Profile(time.process_time)
            see(large[0])
            for task in large:
                profile.runcall(see, task)
            pstats.Stats(profile).sort_stats("cumtime").print_stats("builder", 60)
            return
        # First of all: a process begun later would be counted as large as this one is by then.
        compare_cores(tasks * 4, chosen.rounds)
        compare_cores(large * 4, chosen.rounds)
        print(f"at most {_peak_mb():.0f} MB in one process")
        vips = load_vips()
        small = [task for task in tasks if task.photo.path.endswith(".jpg")]
        compare("demo photographs, 2 megapixels", small, chosen.rounds, vips)
        compare("the same at 12 megapixels", large, chosen.rounds, vips)


if __name__ == "__main__":
    main()
