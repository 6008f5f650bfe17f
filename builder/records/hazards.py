"""What must not meet: classes of substances by the names the trade calls them, and the pairs that
are dangerous together.

A row is as far as its source goes, no further: it is no list of all that is dangerous. Each says
where it comes from and how that was read. Names: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType


class When(StrEnum):
    """What a row asks for beyond the two being there."""

    ALWAYS = "always"
    STRONG = "unless both are of household strength and no mineral acid is there"
    DRY_OR_HOT = "unless in water and cold"
    UNANNEALED = "unless the metal is annealed"


class Status(StrEnum):
    """How a row's source was read."""

    SEEN = "seen"
    LISTED = "seen, in a list alone"
    MEMORY = "from memory"


@dataclass(frozen=True)
class Hazard:
    """One row: something of a class in ``ones`` with something of a class in ``others``.

    ``condition`` is the source's own, in words; ``when`` what can be checked of it. ``forbids``:
    it can hurt whoever does it, so that no test with it is ever proposed.
    """

    number: str
    ones: tuple[str, ...]
    others: tuple[str, ...]
    gives: str
    condition: str
    source: str
    status: Status
    when: When = When.ALWAYS
    forbids: bool = True


_NOAA = "NOAA chemical datasheet, ammonia"
_ICSC = "International Chemical Safety Card, ammonium chloride"
_LAB = "general laboratory safety guidance"

HAZARDS: tuple[Hazard, ...] = (
    Hazard(
        "H1", ("ammonia", "ammonium salt"), ("hypochlorite",),
        "toxic chloramine vapours, and nitrogen trichloride, which is explosive as well",
        "any contact", f"{_NOAA}; a state's talk on transport safety", Status.SEEN,
    ),
    Hazard(
        "H2", ("acid",), ("hypochlorite",), "chlorine gas", "any contact",
        "a state's talk on transport safety; a state health department's summary (secondary)",
        Status.SEEN,
    ),
    Hazard(
        "H3", ("sulphide",), ("acid",), "hydrogen sulphide gas",
        "any contact; the sense of smell is lost at high levels",
        "UK school safety sheet 59; ICSC 1038, calcium polysulphide; a chemical dictionary on "
        "potassium sulphide",
        Status.SEEN,
    ),
    Hazard(
        "H4", ("ammonia",), ("silver salt",), "explosive silver nitride (“fulminating silver”)",
        "forms on standing or drying; keeping it cold does not stop it",
        f"C&EN, letter of 8 Jan 1996; a histology safety page; {_NOAA}", Status.SEEN,
    ),
    Hazard(
        "H5", ("ammonia",), ("halogen",), "an explosive of the kind of nitrogen triiodide",
        "any contact", _NOAA, Status.SEEN,
    ),
    Hazard(
        "H6", ("ammonium salt",), ("silver salt",), "a compound that shock sets off", "any",
        _ICSC, Status.SEEN,
    ),
    Hazard(
        "H7", ("ammonium salt",), ("strong alkali",), "ammonia gas", "any", _ICSC, Status.SEEN,
    ),
    Hazard(
        "H8", ("ammonium salt",), ("nitrate",), "fire or explosion", "solid mixtures, or heating",
        _ICSC, Status.SEEN, When.DRY_OR_HOT,
    ),
    Hazard(
        "H9", ("peroxide",), ("acetic acid",), "peracetic acid, corrosive and an irritant",
        "slow at household strength: weeks to equilibrium without an acid as catalyst; fast with "
        "strong reagents or mineral acid",
        "an encyclopaedia on peracetic acid", Status.SEEN, When.STRONG,
    ),
    Hazard(
        "H10", ("strong oxidiser",), ("organic", "reducer"),
        "a more intense fire, or an explosive reaction", "contact, or drying on rags",
        "NOAA chemical datasheet, cupric nitrate", Status.SEEN,
    ),
    Hazard(
        "H11", ("nitric acid",), ("copper metal", "silver metal"), "nitrogen oxides (NO2)", "any",
        "NOAA mixing report that lists NOx, copper with nitric acid", Status.LISTED,
    ),
    Hazard(
        "H12", ("ammonia",), ("acid",), "heat and spatter", "concentrated", _NOAA, Status.SEEN,
        When.STRONG,
    ),
    Hazard(
        "H13", ("ammonia",), ("zinc alloy",), "stress-corrosion cracking (season cracking)",
        "cold-worked parts that were not annealed; humid", "ISO 6957:1988; ASTM B858-06(2018)",
        Status.SEEN, When.UNANNEALED, forbids=False,
    ),
    Hazard(
        "H14", ("hypochlorite",), ("peroxide",),
        "a vigorous reaction: peroxide is among what must not be mixed with bleach", "any",
        "a state health department's summary (secondary)", Status.SEEN,
    ),
    Hazard(
        "H15", ("hypochlorite",), ("alcohol",), "chloroform and other toxic products", "any",
        "newspapers and trade summaries (secondary)", Status.SEEN,
    ),
    Hazard(
        "H16", ("acetone",), ("peroxide",), "unstable organic peroxides; worse with acid",
        "any concentrated mixture", _LAB, Status.MEMORY, When.STRONG,
    ),
    Hazard(
        "H17", ("sulphide",), ("peroxide", "hypochlorite", "strong oxidiser"),
        "heat and sulphur oxides; violent where concentrated", "any", _LAB, Status.MEMORY,
    ),
)  # fmt: skip


def _call(*rows: tuple[tuple[str, ...], str]) -> Mapping[str, tuple[str, ...]]:
    return MappingProxyType({name.strip(): kinds for kinds, names in rows for name in
                             names.split(",")})  # fmt: skip


#: Names, in lower case and British spelling without hyphens, and the classes each belongs to. A
#: longer name goes before a shorter one within it: "oil of vitriol" is no oil. One that belongs to
#: none is there to keep its words from being taken for another.
SUBSTANCES: Mapping[str, tuple[str, ...]] = _call(
    (
        ("hypochlorite",),
        "bleach, chlorine bleach, household bleach, hypochlorite, javel water, eau de javel, "
        "bleaching powder, chloride of lime, chlorinated lime, pool chlorine, chlorine tablets",
    ),
    (
        ("ammonia",),
        "ammonia, ammonium hydroxide, spirit of hartshorn, spirits of hartshorn, stale urine, "
        "liquor ammoniae",
    ),
    (
        ("ammonium salt",),
        "ammonium, sal ammoniac, hartshorn, salt of hartshorn, salts of hartshorn, sal volatile, "
        "baker's ammonia, bakers ammonia",
    ),
    (("acid",), "acid, lemon juice, ferric chloride, iron chloride, iron iii chloride, pickling "
                "salt, sodium bisulphate, sodium hydrogen sulphate"),
    (("acid", "acetic acid"), "vinegar, acetic acid"),
    (("acid", "mineral acid"), "hydrochloric acid, hydrochloric, muriatic acid, muriatic, spirits "
                               "of salt, spirits of salts, spirit of salt, sulphuric acid, "
                               "oil of vitriol, vitriol oil, phosphoric acid, battery acid"),
    (("acid", "mineral acid", "nitric acid", "strong oxidiser"), "nitric acid, nitric, "
                                                                 "aqua fortis, aqua regia"),
    (
        ("sulphide",),
        "liver of sulphur, sulphurated potash, los, sulphide, polysulphide, polysulfide, "
        "lime sulphur, potassium sulphide mix",
    ),
    (("silver salt", "strong oxidiser", "nitrate"), "silver nitrate, lunar caustic"),
    (("silver salt",), "silver oxide, silver chloride, silver sulphate, silver carbonate, "
                       "silver acetate, silver salt, silver salts"),
    (("halogen",), "iodine, tincture of iodine, bromine, chlorine"),
    (
        ("strong alkali",),
        "lye, caustic soda, sodium hydroxide, caustic potash, potassium hydroxide, washing soda, "
        "soda crystals, sodium carbonate, quicklime, slaked lime, calcium hydroxide, drain cleaner",
    ),
    (("nitrate", "strong oxidiser"), "nitrate, saltpetre, chlorate, perchlorate"),
    (("strong oxidiser",), "permanganate, persulphate, persulfate"),
    (("peroxide",), "peroxide, percarbonate, oxygen bleach"),
    (
        ("organic",),
        "wax, beeswax, oil, sawdust, wood shavings, wood chips, straw, hay, rag, rags, cotton, "
        "paper, sugar, glycerine, glycerol, turpentine, white spirit, solvent, solvents, shellac, "
        "paraffin, tallow",
    ),
    (("reducer",), "tin ii chloride, stannous chloride, tin chloride"),
    (
        ("alcohol", "organic"),
        "alcohol, ethanol, methanol, isopropanol, propanol, methylated spirit, methylated spirits, "
        "meths, surgical spirit",
    ),
    (("acetone", "organic"), "acetone, propanone, nail varnish remover"),
    ((), "acid free"),
)  # fmt: skip
#: The metal of the piece, likewise. In an ingredient's name it is a mere word: "copper nitrate".
METALS: Mapping[str, tuple[str, ...]] = _call(
    (("copper metal",), "copper, phosphor bronze, silicon bronze, cast bronze, bronze"),
    (("copper metal", "zinc alloy"), "brass, gilding metal, gunmetal, nickel silver"),
    (("silver metal",), "silver, sterling silver"),
)

#: The most of a thing, %, that is of household strength. Common practice, no source.
HOUSEHOLD: Mapping[str, float] = MappingProxyType(
    {"peroxide": 6.0, "acetic acid": 10.0, "ammonia": 10.0, "acid": 10.0}
)
