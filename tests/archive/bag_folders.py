"""Bags written by hand, right and wrong."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from builder.archive.judging import judge_bag
from builder.archive.trees import open_tree
from builder.archive.verdict import Verdict

V10 = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
V097 = "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n"
Files = Mapping[str, str | bytes]


def encode(content: str | bytes) -> bytes:
    return content if isinstance(content, bytes) else content.encode("utf-8")


def digest(content: str | bytes, algorithm: str = "sha512") -> str:
    return hashlib.new(algorithm, encode(content)).hexdigest()


def list_files(files: Files, algorithm: str = "sha512") -> str:
    """The manifest of ``files``."""
    return "".join(f"{digest(files[path], algorithm)}  {path}\n" for path in sorted(files))


def seal(files: Files, algorithm: str = "sha512") -> dict[str, str | bytes]:
    """``files`` with a tag manifest of those of them that are tag files."""
    tags = {path: content for path, content in files.items() if not path.startswith("data/")}
    return {**files, f"tagmanifest-{algorithm}.txt": list_files(tags, algorithm)}


def make_files(payload: Files, declaration: str = V10, algorithm: str = "sha512") -> dict[str, str | bytes]:  # fmt: skip # noqa: E501
    """The files of a right bag."""
    return seal(
        {
            "bagit.txt": declaration,
            f"manifest-{algorithm}.txt": list_files(payload, algorithm),
            **payload,
        },
        algorithm,
    )


def write_files(root: Path, files: Files) -> Path:
    root.mkdir(parents=True, exist_ok=True)
    for path, content in files.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_bytes(encode(content))
    return root


def judge(place: Path) -> Verdict:
    with open_tree(place) as tree:
        return judge_bag(tree)


def said(verdict: Verdict) -> str:
    return "\n".join(map(str, verdict.faults))


def noted(verdict: Verdict) -> str:
    return "\n".join(map(str, verdict.notes))
