"""How much work something is, counted instead of timed: the calls it makes."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import FrameType
from typing import Any


def count_calls(do: Callable[[], object]) -> int:
    """How many functions are called, and generators resumed, while ``do`` is at work."""
    calls = 0

    def note(frame: FrameType, event: str, arg: Any) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        do()
    finally:
        sys.setprofile(before)
    return calls
