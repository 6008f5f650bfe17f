"""Adding to the lists of a YAML file that is its maker's own, such as the mapping of a table."""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any

import yaml

from builder.errors import SidecarError
from builder.read.sidecar_edits import CannotAddError, insert_item
from builder.read.text_edits import add_below, find_end, pass_remarks
from builder.read.text_yaml import read_text_yaml
from builder.read.yaml_spans import find_spans


def add_items(
    text: str, items: Sequence[tuple[str, dict[str, str]]], lines: Sequence[str]
) -> str | None:
    """The one document of ``text`` with each item, a mapping of text, at the end of the list its
    key names, and whole ``lines`` at its end. None where the text is written in a way that cannot
    be added to, which reading it again proves."""  # fmt: skip
    try:
        wanted: dict[str, Any] = copy.deepcopy(read_text_yaml(text, "")[0].tree)
        for line in lines:
            wanted |= read_text_yaml(line, "")[0].tree
        for key, item in items:
            wanted[key] = [*(wanted.get(key) or ()), item]
        for key, item in items:
            root = find_spans(text)
            if root is None:
                return None
            text = insert_item(text, root, key, item).put_into(text)
        if lines:
            root = find_spans(text)
            if root is None or root.flow:
                return None
            after = pass_remarks(text, find_end(text, root), root.column)
            text = add_below(text, after, lines).put_into(text)
        return text if read_text_yaml(text, "")[0].tree == wanted else None
    except (CannotAddError, SidecarError, yaml.YAMLError):
        return None
