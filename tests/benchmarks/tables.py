"""What the rows come to."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tests.benchmarks.runs import Pair, Row

Choice = tuple[str, Callable[[Row], bool]]


@dataclass(frozen=True)
class Exactness:
    """Of ``count`` photographs, ``read`` of them with a figure: median and ninetieth percentile of
    the error and median u, ΔE00; ``within`` u, per cent; ``refused`` and ``doubtful``, per cent of
    all."""

    count: int
    read: int
    median: float
    ninetieth: float
    u: float
    within: float
    refused: float
    doubtful: float


def drawn(rows: Iterable[Row], withheld_too: bool = False) -> list[Row]:
    """Rows with a figure."""
    return [r for r in rows if r.error is not None and (withheld_too or not r.refused)]


def sum_up(rows: Sequence[Row], withheld_too: bool = False) -> Exactness | None:
    """None where none has a figure. ``withheld_too``: as if nothing had been withheld, for evidence
    that no figure is drawn from."""
    read = drawn(rows, withheld_too)
    if not read:
        return None
    error = np.array([r.error for r in read])
    u = np.array([r.u for r in read])
    return Exactness(
        count=len(rows),
        read=len(read),
        median=float(np.median(error)),
        ninetieth=float(np.quantile(error, 0.9)),
        u=float(np.median(u)),
        within=100 * float(np.mean(error <= u)),
        refused=100 * float(np.mean([bool(r.refused) for r in rows])),
        doubtful=100 * float(np.mean([bool(r.doubtful) and not r.refused for r in rows])),
    )


def count_reasons(sentences: Iterable[str]) -> list[tuple[str, int]]:
    """Sentences with their figures and patches taken out, most frequent first."""
    plain = Counter(_plain(sentence) for sentence in sentences if sentence)
    return sorted(plain.items(), key=lambda item: (-item[1], item[0]))


def _plain(sentence: str) -> str:
    short = re.sub(r"\b[A-Z]\d+\b(, [A-Z]\d+)*", "…", sentence)
    short = re.sub(r"\d+(\.\d+)?", "…", short)
    start = len("Doubtful: ") if short.startswith("Doubtful: ") else 0
    first = re.split(r"(?<=[.:;]) ", short[start:], maxsplit=1)[0]
    return short[:start] + first.rstrip(":;.")


@dataclass(frozen=True)
class Verdicts:
    """Of ``count`` pairs: how many are called moved, per cent; median u and median read change."""

    count: int
    moved: float
    u: float
    read: float


def judge(pairs: Sequence[Pair]) -> Verdicts | None:
    """None where there are none."""
    if not pairs:
        return None
    return Verdicts(
        len(pairs),
        100 * float(np.mean([p.moved for p in pairs])),
        float(np.median([p.u for p in pairs])),
        float(np.median([p.read for p in pairs])),
    )
