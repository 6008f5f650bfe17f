"""What is to be cut."""

from __future__ import annotations

import pytest

from builder.relate.blanks import blank_of, count_blanks
from tests.relate.demo import entry_of


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            {"form": "disc", "alloy": "C101", "size_mm": "90 x 90", "thickness": "20 SWG"},
            "copper (C101) disc, 90 × 90 mm, 20 SWG thick",
        ),
        ({"size_mm": "100 x 150 x 0.9"}, "copper blank, 100 × 150 mm, 0.9 mm thick"),
        ({"size_mm": "50x50x0.9 mm"}, "copper blank, 50 × 50 mm, 0.9 mm thick"),
        ({"size_mm": "2 x 3 in"}, "copper blank, 2 in × 3 in, thickness not recorded"),
        ({"size_mm": ["50", "5 cm"]}, "copper blank, 50 mm × 5 cm, thickness not recorded"),
        ({"thickness": "0.9 mm"}, "copper blank, size not recorded, 0.9 mm thick"),
        (
            {"metal": "unknown"},
            "unknown metal blank, size not recorded, thickness not recorded",
        ),
    ],
)
def test_a_blank_is_said_in_the_makers_words(told: dict[str, str], words: str) -> None:
    assert blank_of(entry_of(**told).piece).words == words


def test_blanks_are_counted_most_first() -> None:
    thin, thick = (blank_of(entry_of(thickness=t).piece) for t in ("0.5 mm", "2 mm"))
    assert count_blanks([thick, thin, thick]) == ((2, thick), (1, thin))
