"""``python -m tests.studio``: draw the demo library."""

from __future__ import annotations

import argparse
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from builder.records.ledger import LEDGER
from tests.studio.card import card_as_cgats
from tests.studio.diary import list_shots
from tests.studio.files import file_name, folder_of, write_shot
from tests.studio.ledger import write_ledger
from tests.studio.notes import write_note
from tests.studio.paint import prepare
from tests.studio.pieces import read_pieces
from tests.studio.stand import setups_as_yaml


def _draw_piece(number: str, out: Path) -> tuple[str, int, int]:
    shots = list_shots(read_pieces()[number])
    blank = prepare(shots[0])
    paths = [path for shot in shots for path in write_shot(shot, blank, out)]
    return number, len(paths), sum(path.stat().st_size for path in paths)


def write_notes(numbers: list[str], out: Path) -> None:
    """The sidecars, and the card's file beside them."""
    for number in numbers:
        folder = out / number
        folder.mkdir(parents=True, exist_ok=True)
        note = write_note(read_pieces()[number])
        (folder / "sample.yaml").write_text(note, encoding="utf-8", newline="\n")
    (out / "sparrowhithe-card.txt").write_text(card_as_cgats(), encoding="ascii", newline="\n")


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.studio", description=__doc__)
    parser.add_argument("--only", action="append", metavar="SH-012", help="these pieces only")
    parser.add_argument("--out", type=Path, default=Path("samples"))
    parser.add_argument("--notes", action="store_true", help="write the sidecars only")
    parser.add_argument("--list", action="store_true", help="name the photographs, draw nothing")
    parser.add_argument("--ledger", action="store_true", help="write the ledger anew, no more")
    parser.add_argument("--setups", action="store_true", help="print the set-ups for mkdocs.yml")
    wanted = parser.parse_args()
    if wanted.setups:
        print(setups_as_yaml(), end="")
        return
    if wanted.ledger:
        print(f"{write_ledger(Path())} entries in {LEDGER}")
        return
    numbers = wanted.only or list(read_pieces())
    if wanted.list:
        for number in numbers:
            for shot in list_shots(read_pieces()[number]):
                print(f"{folder_of(shot)}/{file_name(shot)}")
        return
    write_notes(numbers, wanted.out)
    if wanted.notes:
        return
    total = 0
    with ProcessPoolExecutor(max_workers=2) as pool:
        for number, count, size in pool.map(
            _draw_piece, numbers, [wanted.out] * len(numbers), chunksize=1
        ):
            total += size
            print(f"{number}: {count} photographs, {size / 1e6:.1f} MB", flush=True)
    print(f"in all {total / 1e6:.1f} MB in {wanted.out}")


if __name__ == "__main__":
    main()
