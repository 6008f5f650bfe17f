"""A small library of real demo photographs: SH-012 and its waxed sister SH-014, two looks each."""

from __future__ import annotations

import shutil
from pathlib import Path

ROOT = Path(__file__).parents[2]
LOOKS = {
    "SH-012": ("2024-10-15_dry_front.jpg", "2025-01-14_recheck_front.jpg"),
    "SH-014": ("2024-10-15_before-seal_front.jpg", "2025-10-19_recheck_front.jpg"),
}
PHOTOGRAPHS = sum(map(len, LOOKS.values()))


def copy_small_library(folder: Path) -> Path:
    """Settings, card, two pieces and four photographs of the demo, in ``folder``."""
    samples = folder / "samples"
    samples.mkdir(parents=True)
    (folder / "docs").mkdir()
    (folder / "docs" / "about.md").write_text("# About\n\nA small one.\n", encoding="utf-8")
    settings = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    settings = settings[: settings.index("\nnav:")] + "\n"  # the small one has no guide
    (folder / "mkdocs.yml").write_text(settings, encoding="utf-8")
    shutil.copy(ROOT / "samples" / "sparrowhithe-card.txt", samples)
    for number, looks in LOOKS.items():
        (samples / number).mkdir()
        shutil.copy(ROOT / "samples" / number / "sample.yaml", samples / number)
        for look in looks:
            shutil.copy(ROOT / "samples" / number / f"{number}_{look}", samples / number)
    return folder
