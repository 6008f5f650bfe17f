"""How the photographs were taken and read: what the page about it shows."""

from __future__ import annotations

from builder.publish.pictures import Shown, show_photo
from builder.publish.swatches import encode_chip
from builder.publish.words import EVIDENCE_WORDS, say_title
from builder.records.photo import Evidence, State
from builder.records.settings import CardPatch, SetUp
from builder.relate.findings import Findings

_MEANINGS = {
    Evidence.TARGET: "twelve or more colour patches of known colour in the same frame",
    Evidence.GREY: "grey steps of known lightness in the same frame, with or without a few "
    "colours; grey alone cannot put right what one kind of lamp does to hue",
    Evidence.SHEET: "the white paper around the piece; no drift is claimed from it",
    Evidence.NONE: "nothing in the frame; the picture is shown, no drift is claimed from it",
}

_ORDINARY = (State.RECHECK, State.AFTER_SEAL, State.DRY)
Patches = tuple[tuple[tuple[CardPatch | None, str], ...], ...]


def list_evidence(findings: Findings) -> tuple[tuple[str, str, int], ...]:
    """Each kind of evidence: its name, what it is, how many readings rest on it."""
    readings = [reading for seen in findings.observations for reading in seen.readings]
    return tuple(
        (
            say_title(EVIDENCE_WORDS[evidence]),
            _MEANINGS[evidence],
            sum(reading.evidence is evidence for reading in readings),
        )
        for evidence in Evidence
    )


def list_setups(findings: Findings) -> tuple[tuple[SetUp, Shown | None], ...]:
    """The set-ups by name, each with a photograph taken on it where there is one to show."""
    return tuple(
        (setup, _find_example(setup, findings)) for setup in findings.library.settings.setups
    )


def list_cards(findings: Findings) -> dict[str, Patches]:
    """The patches of each set-up's card on their grid, with a chip of their colour."""
    return {
        setup.name: tuple(
            tuple(_patch_at(setup, row, column) for column in range(setup.card.columns))
            for row in range(setup.card.rows)
        )
        for setup in findings.library.settings.setups
        if setup.card
    }


def _patch_at(setup: SetUp, row: int, column: int) -> tuple[CardPatch | None, str]:
    patches = setup.card.patches if setup.card else ()
    found = next((p for p in patches if (p.row, p.column) == (row, column)), None)
    return found, encode_chip(found.lab if found else None)


def _find_example(setup: SetUp, findings: Findings) -> Shown | None:
    default = findings.library.settings.default_setup
    for seen in findings.observations:
        file, card = seen.file, seen.card
        on_it = (file.setup or default) == setup.name and not file.piece_at and not file.card_at
        served = card is not None and not card.rejected and file.state in _ORDINARY
        if on_it and served:
            return show_photo(seen, f"{file.piece} on the set-up “{setup.name}”")
    return None
