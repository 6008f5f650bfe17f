"""Data for a page's script, as a script itself: a page opened from a folder may load no other."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def as_data_script(name: str, told: Mapping[str, Any]) -> str:
    """``told`` as ``window.<name>``."""
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    # </ is broken up because a script's text must not end the script
    return f"window.{name}=" + text.replace("</", "<\\/") + ";\n"
