"""A small library of demo photographs whose pictures are read already, and a phone's folder."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from builder.filing.intake import Intake, carry_out, plan_intake
from builder.filing.matching import Ask
from builder.filing.planning import Plan, Told
from builder.pipeline import gather
from builder.read.settings import read_settings_file
from builder.relate.findings import Findings
from tests.pipeline.small_library import ROOT, copy_small_library

TODAY = dt.date(2026, 1, 20)
NOW = dt.datetime(2026, 1, 20, 9, 30, tzinfo=dt.UTC)


@pytest.fixture(scope="session")
def read_library_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = copy_small_library(tmp_path_factory.mktemp("filing") / "library")
    gather(root, read_settings_file(root), TODAY)
    return root


@pytest.fixture
def library(read_library_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(read_library_folder, tmp_path / "library"))


@pytest.fixture
def phone(tmp_path: Path) -> Path:
    folder = tmp_path / "phone"
    folder.mkdir()
    return folder


def demo(number: str, rest: str) -> Path:
    """A photograph of the demo."""
    return ROOT / "samples" / number / f"{number}_{rest}.jpg"


def no_progress(done: int, of: int) -> None:
    """Says nothing."""


def plan(
    library: Path,
    named: Sequence[Path],
    told: Told | None = None,
    ask: Ask | None = None,
    today: dt.date = TODAY,
) -> Intake:
    settings = read_settings_file(library)
    return plan_intake(library, settings, named, told or Told(), today, ask, no_progress)


def add(
    library: Path,
    named: Sequence[Path],
    told: Told | None = None,
) -> tuple[Plan, Findings]:
    intake = plan(library, named, told)
    return carry_out(intake, told or Told(), lambda: NOW, no_progress)
