"""Names that mean one thing: common practice, no source."""

from __future__ import annotations

import pytest

from builder.records.plain_names import name_plainly
from builder.relate.synonyms import name_sealant, name_substance


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("LOS", "liver of sulphur"),
        ("Liver of Sulfur", "liver of sulphur"),
        ("sulfurated potash", "liver of sulphur"),
        ("Household  ammonia", "ammonia"),
        ("ammonium hydroxide", "ammonia"),
        ("acetic acid", "vinegar"),
        ("malt vinegar", "malt vinegar"),
        ("micro wax", "microcrystalline wax"),
        ("copper green", "verdigris"),
        ("varnish", "varnish"),
        ("lacquer", "lacquer"),
    ],
)
def test_substance_has_one_name(written: str, name: str) -> None:
    assert name_substance(written) == name


@pytest.mark.parametrize("written", ["none", "Bare", "unsealed", "no sealant"])
def test_bare_has_one_name(written: str) -> None:
    assert name_sealant(written) == "none"


def test_finish_that_seals_is_not_bare() -> None:
    assert name_sealant("(finish is the sealant)") == "finish is the sealant"


def test_figures_keep_their_points() -> None:
    assert name_plainly("0.5 mm, at 1:3") == "0.5 mm at 1:3"
