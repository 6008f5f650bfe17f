"""What the corrections make of real pictures of 24-patch targets, for the report."""

from __future__ import annotations

import numpy as np

from tests.measure.test_real_targets import Shown, shown


def say_real() -> str:
    """The section of the page, Markdown."""
    pictures = shown()
    usual = [one for one in pictures if not one.hard]
    cameras = len({one.camera for one in pictures})
    places = len({one.place for one in pictures})
    lines = [
        "| corrected by | patches told | usual pictures, mean | all pictures, mean | all, median |",
        "|---|---|--:|--:|--:|",
        _row("the target of 24", "each, left out of the fit", usual, pictures, "target_error"),
        _row("its six greys alone", "the 18 colours", usual, pictures, "grey_error"),
    ]
    return f"""The same corrections on {len(pictures)} real pictures of 24-patch targets, published
by others, by {cameras} phones and cameras in {places} places, indoors and out; {len(usual)} of
them usual, the others with hard sun, a veil, burnt-out whites or a camera's own local brightening.
Only the target lay in
these frames, no jig sheet, so that light falling off over the card could be told from the target's
own patches, and not at all from its greys. The models and their constants were chosen on these
same pictures.

{chr(10).join(lines)}

Asked were 3.0 with the target and 4.0 with greys alone. Sources stand beside every row of
`tests/data/real_targets.csv`."""


def _row(words: str, told: str, usual: list[Shown], pictures: tuple[Shown, ...], which: str) -> str:
    some, every = (np.array([getattr(one, which) for one in part]) for part in (usual, pictures))
    return f"| {words} | {told} | {some.mean():.1f} | {every.mean():.1f} | {np.median(every):.1f} |"
