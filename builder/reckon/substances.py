"""What an ingredient is by its name, and in which forms that is sold.

A salt with its water of crystallisation weighs more for the same metal: where the name leaves the
form open, every form it is sold in counts. Names and forms: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from builder.reckon.molar import find_molar_mass
from builder.records.plain_names import name_plainly


@dataclass(frozen=True)
class Form:
    """``words``: how the form is called, "" where there is but one."""

    formula: str
    words: str = ""

    @property
    def molar_mass(self) -> float:
        """g/mol."""
        return find_molar_mass(self.formula)


@dataclass(frozen=True)
class Substance:
    """``name`` as it is told; ``forms`` it may be in. ``sold_dissolved``: its name on a bottle
    means a solution in water."""

    name: str
    forms: tuple[Form, ...]
    sold_dissolved: bool = False


AMMONIA = Substance("NH3", (Form("NH3"),), sold_dissolved=True)
ACETIC_ACID = Substance("acetic acid", (Form("CH3COOH"),), sold_dissolved=True)
PEROXIDE = Substance("hydrogen peroxide", (Form("H2O2"),), sold_dissolved=True)
SALT = Substance("sodium chloride", (Form("NaCl"),))
AMMONIUM_CHLORIDE = Substance("ammonium chloride", (Form("NH4Cl"),))
#: Salts that are spread on a plate to hold the damp, so that mg/cm² says something.
SPREAD = (SALT, AMMONIUM_CHLORIDE)

_SUBSTANCES: tuple[tuple[Substance, str], ...] = (
    (AMMONIA, "ammonia, ammonium hydroxide, aqueous ammonia, ammonia water"),
    (ACETIC_ACID, "acetic acid, vinegar"),
    (PEROXIDE, "peroxide, hydrogen peroxide"),
    (
        SALT,
        "salt, table salt, common salt, cooking salt, sea salt, fine salt, fine sea salt, "
        "rock salt, kosher salt, sodium chloride",
    ),
    (AMMONIUM_CHLORIDE, "ammonium chloride, sal ammoniac"),
    (
        Substance("nitric acid", (Form("HNO3"),), sold_dissolved=True),
        "nitric acid, aqua fortis",
    ),
    (
        Substance(
            "citric acid",
            (Form("C6H8O7", "anhydrous"), Form("C6H8O7·H2O", "monohydrate")),
        ),
        "citric acid",
    ),
    (
        Substance(
            "copper sulphate",
            (Form("CuSO4·5H2O", "pentahydrate"), Form("CuSO4", "anhydrous")),
        ),
        "copper sulphate, cupric sulphate, copper ii sulphate",
    ),
    (
        Substance(
            "copper nitrate",
            (Form("Cu(NO3)2·3H2O", "trihydrate"), Form("Cu(NO3)2·2.5H2O", "hemipentahydrate")),
        ),
        "copper nitrate, cupric nitrate, copper ii nitrate",
    ),
    (
        Substance(
            "copper chloride",
            (Form("CuCl2·2H2O", "dihydrate"), Form("CuCl2", "anhydrous")),
        ),
        "copper chloride, cupric chloride, copper ii chloride",
    ),
    (
        Substance(
            "ferric chloride",
            (Form("FeCl3·6H2O", "hexahydrate"), Form("FeCl3", "anhydrous")),
        ),
        "ferric chloride, iron iii chloride",
    ),
    (
        Substance("ferric nitrate", (Form("Fe(NO3)3·9H2O", "nonahydrate"),)),
        "ferric nitrate, iron iii nitrate",
    ),
    (Substance("silver nitrate", (Form("AgNO3"),)), "silver nitrate, lunar caustic"),
    (
        Substance("sodium bicarbonate", (Form("NaHCO3"),)),
        "sodium bicarbonate, bicarbonate of soda, baking soda, sodium hydrogen carbonate",
    ),
    (Substance("ammonium carbonate", (Form("(NH4)2CO3"),)), "ammonium carbonate"),
)  # fmt: skip
_BY_NAME: Mapping[str, Substance] = MappingProxyType(
    {name.strip(): its for its, names in _SUBSTANCES for name in names.split(",")}
)
_BY_FORMULA: Mapping[str, tuple[Substance, Form]] = MappingProxyType(
    {form.formula.casefold(): (its, form) for its, _ in _SUBSTANCES for form in its.forms}
)
#: Names that say their form, or that two things go by.
_MEANS: Mapping[str, str] = MappingProxyType(
    {
        "blue vitriol": "copper sulphate pentahydrate",
        "bluestone": "copper sulphate pentahydrate",
        "baker's ammonia": "ammonium carbonate",
        "bakers ammonia": "ammonium carbonate",
    }
)
#: Words before a bottle's name that change nothing: "malt vinegar", "household ammonia".
_OF_A_KIND = tuple(name for its, names in _SUBSTANCES if its.sold_dissolved
                   for name in (part.strip() for part in names.split(",")))  # fmt: skip
_FORM = re.compile(
    r"\b(anhydrous|monohydrate|dihydrate|trihydrate|pentahydrate|hexahydrate|nonahydrate"
    r"|hemipentahydrate)\b"
)


@dataclass(frozen=True)
class Named:
    """A substance, and the ``forms`` the name leaves open: one or more."""

    substance: Substance
    forms: tuple[Form, ...]


def find_substance(written: str) -> Named | None:
    """What is meant by an ingredient's name, or None where no molar mass can be known."""
    formula = re.sub(r"[·*.]", ".", "".join(written.split())).replace(".", "·", 1).casefold()
    if formula in _BY_FORMULA:
        substance, form = _BY_FORMULA[formula]
        return Named(substance, (form,))
    plain = name_plainly(written)
    plain = _MEANS.get(plain, plain)
    said = _FORM.search(plain)
    name = " ".join(_FORM.sub(" ", plain).split())
    found = _BY_NAME.get(name) or next(
        (_BY_NAME[kind] for kind in _OF_A_KIND if name.endswith(f" {kind}")), None
    )
    if found is None:
        return None
    forms = tuple(form for form in found.forms if said and form.words == said[1])
    if said and not forms:
        return None  # a form that is not in the table
    return Named(found, forms or found.forms)
