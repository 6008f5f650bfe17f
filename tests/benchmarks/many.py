"""Ten thousand pieces: how long pairs, series, effects and the plan take, and how much room.

``python -m tests.benchmarks.many --pieces 10000`` draws strands without a photograph, as they are
made: a recipe is found, then one thing of it is changed at a time, some are made again, and now and
then something is not written down. Times are those of the processor; ``--profile`` says where they
go.
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import resource
import sys
import time
from typing import Any

import numpy as np

from builder.records.piece import Entry, Piece
from builder.relate.effects import find_effects
from builder.relate.factors import list_factors
from builder.relate.failures import find_instead, list_failures
from builder.relate.findings import Strand
from builder.relate.next_tests import rank_tests
from builder.relate.pairs import find_near, find_pairs
from builder.relate.repeats import find_repeats
from builder.relate.series import draw_series, find_rows
from builder.relate.undisturbed import undisturbed
from tests.relate.drawn import draw_look, draw_strand

METALS = ("copper", "brass", "phosphor bronze", "gilding metal", "nickel silver")
METHODS = ("dip", "buried in damp sawdust", "sprayed", "fumed in a tub")
SALTS = ("salt", "liver of sulphur", "ammonia", "malt vinegar", "ferric nitrate", "cupric nitrate")
PREPS = ("pumice", "pickle", "400 grit", "bead blast")
SEALANTS = ("none", "microcrystalline wax", "acrylic lacquer", "shellac")
#: What is written down of a piece now and then only, and how often it is not.
OFTEN_SILENT = {"humidity_pct": 0.4, "temper": 0.7, "surface": 0.6, "stop": 0.3, "thickness": 0.5,
                "temperature_c": 0.1, "dry": 0.2}  # fmt: skip


def draw_strands(count: int, seed: int = 1) -> list[Strand]:
    """So many strands, the same for the same seed."""
    rng = np.random.default_rng(seed)
    strands: list[Strand] = []
    while len(strands) < count:
        base = _invent(rng)
        factor = str(rng.choice(["exposure", "temperature_c", "metal", "prep", "sealant", "salt"]))
        middle = rng.uniform((20, -10, -5), (60, 20, 30))
        for value in range(int(rng.integers(2, 7))):
            for _ in range(1 + int(rng.integers(3) == 2)):
                told = _silence(_change(base, factor, value), rng)
                told["piece"] = f"M-{len(strands):05}"
                told["outcome"] = "failure" if rng.random() < 0.2 else "success"
                lab = middle + rng.normal(0, 2, 3) - (2 * value, 0, 0)
                L, a, b = lab.tolist()
                entry = Entry(piece=Piece.model_validate(told), file=f"samples/{told['piece']}")
                strands.append(draw_strand(entry, draw_look(told["piece"], (L, a, b))))
    return strands[:count]


def _invent(rng: np.random.Generator) -> dict[str, Any]:
    names = rng.choice(SALTS, size=int(rng.integers(1, 4)), replace=False)
    return {
        "metal": str(rng.choice(METALS)),
        "method": str(rng.choice(METHODS)),
        "prep": [{"step": str(step)} for step in rng.choice(PREPS, 2, replace=False)],
        "ingredients": [
            {"name": str(name), "strength": f"{rng.choice([5, 10, 20, 40])} g/l"} for name in names
        ],
        "temperature_c": str(rng.choice([15, 18, 20, 21, 45, 60, 80])),
        "humidity_pct": str(rng.choice([40, 45, 55, 60, 70])),
        "exposure": f"{rng.choice([15, 45, 120, 600, 3600, 86400])} s",
        "temper": str(rng.choice(["hard", "half hard", "annealed"])),
        "surface": str(rng.choice(["brushed", "polished", "matt"])),
        "stop": str(rng.choice(["rinsed cold", "rinsed hot", "not rinsed"])),
        "thickness": f"{rng.choice([0.5, 0.7, 0.9, 1.2])} mm",
        "dry": {"for": f"{rng.choice([6, 24, 168])} h"},
        "sealant": str(rng.choice(SEALANTS)),
    }


def _change(base: dict[str, Any], factor: str, value: int) -> dict[str, Any]:
    if factor == "salt":
        first, *others = base["ingredients"]
        return {**base, "ingredients": [{**first, "strength": f"{5 * 2**value} g/l"}, *others]}
    values: dict[str, list[Any]] = {
        "exposure": [f"{30 * 2**n} s" for n in range(6)],
        "temperature_c": [str(15 + 10 * n) for n in range(6)],
        "metal": [*METALS, "bronze"],
        "prep": [[{"step": step}] for step in (*PREPS, "wire wool", "flamed")],
        "sealant": [{"kind": kind, "coats": "2"} for kind in (*SEALANTS, "beeswax", "oil")],
    }
    return {**base, factor: values[factor][value]}


def _silence(told: dict[str, Any], rng: np.random.Generator) -> dict[str, Any]:
    return {key: value for key, value in told.items() if rng.random() >= OFTEN_SILENT.get(key, 0.0)}


@undisturbed()
def relate(strands: list[Strand]) -> dict[str, int]:
    """Everything this page is about, as ``find_findings`` does it; how much was found."""
    clock = _Clock()
    factors = [list_factors(strand) for strand in strands]
    clock.say("factors")
    near = find_near(factors)
    clock.say("near")
    pairs = find_pairs(strands, factors, near)
    clock.say("pairs")
    rows = find_rows(factors, near)
    series = draw_series(rows, strands, factors)
    clock.say("series")
    effects = find_effects(strands, rows, near)
    clock.say("effects")
    repeats = find_repeats(strands, factors, near, pairs)
    clock.say("repeats")
    failures = list_failures([strand.entry for strand in strands])
    failures = find_instead(failures, strands, factors)
    clock.say("failures")
    tests = rank_tests(strands, factors)
    clock.say("plan")
    return {
        "pairs": len(pairs),
        "series": len(series),
        "effects": len(effects),
        "claimed": sum(effect.claimed for effect in effects),
        "repeats": len(repeats),
        "failures": len(failures),
        "tests": len(tests),
    }


class _Clock:
    def __init__(self) -> None:
        self._last = time.process_time()

    def say(self, what: str) -> None:
        now = time.process_time()
        print(f"{what:10}{now - self._last:6.2f} s")
        self._last = now


def _resident_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pieces", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--profile", action="store_true")
    told = parser.parse_args()
    strands = draw_strands(told.pieces, told.seed)
    before = _resident_mb()
    begun = time.process_time()
    profile = cProfile.Profile()
    if told.profile:
        profile.enable()
    found = relate(strands)
    profile.disable()
    print(f"{'all':10}{time.process_time() - begun:6.2f} s")
    print(f"{_resident_mb():.0f} MB, {_resident_mb() - before:.0f} of them while relating")
    print(", ".join(f"{number} {what}" for what, number in found.items()))
    if told.profile:
        pstats.Stats(profile, stream=sys.stdout).sort_stats("cumulative").print_stats(25)


if __name__ == "__main__":
    main()
