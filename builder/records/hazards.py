"""What must not meet: classes of substances by the names the trade calls them, the pairs that are
dangerous together, and what is to be minded of one thing by itself.

A row is as far as its source goes, no further: it is no list of all that is dangerous. Each says
where it comes from and how that was read. Names, and what to do: common practice, no source, but
where a row's own source says it.
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
    STRONG_OR_HOT = "where hot, or unless both are of household strength"
    DRY_OR_HOT = "unless in water and cold"
    UNANNEALED = "unless the metal is annealed"
    CLOSED = "in a closed vessel"
    HEATED = "where it is heated"
    CONCENTRATED = "where it is stronger than household strength"


class Status(StrEnum):
    """How a row's source was read."""

    SEEN = "seen"
    LISTED = "seen, in a list alone"
    MEMORY = "from memory"
    DERIVED = "reasoned from what was seen"
    PRACTICE = "common practice, no source"


class Loudness(StrEnum):
    """How loudly a caution is told, in words: the first is the loudest."""

    NEVER = "Never together"
    CARE = "Take care"
    KNOW = "Know that"


@dataclass(frozen=True)
class Hazard:
    """One row: something of a class in ``ones`` with something of a class in ``others``.

    ``condition`` is the source's own, in words; ``when`` what can be checked of it. ``forbids``:
    it can hurt whoever does it, so that no test with it is ever proposed. ``loud`` is how it is
    told of two things in one pot; ``apart`` by how many grades softer where they stand in separate
    steps. ``mild`` says what there is to know where ``when`` does not hold, "" where nothing is.
    ``advice``: what to do, in sentences.
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
    loud: Loudness = Loudness.NEVER
    apart: int = 1
    mild: str = ""
    advice: str = ""


@dataclass(frozen=True)
class Alone:
    """What is to be minded of one thing by itself, wherever something of ``kinds`` is used.
    Not told where one of the rows ``within`` is, which say it already."""

    number: str
    kinds: tuple[str, ...]
    words: str
    source: str
    status: Status
    loud: Loudness
    when: When = When.ALWAYS
    within: tuple[str, ...] = ()


_NOAA = "NOAA chemical datasheet, ammonia"
_ICSC = "International Chemical Safety Card, ammonium chloride"
_LAB = "general laboratory safety guidance"
_BLEACH_RULE = "Bleach has no place at this bench: clean with water and detergent."

HAZARDS: tuple[Hazard, ...] = (
    Hazard(
        "H1", ("ammonia", "ammonium salt"), ("hypochlorite",),
        "toxic chloramine vapours, and nitrogen trichloride, which is explosive as well",
        "any contact", f"{_NOAA}; a state's talk on transport safety", Status.SEEN,
        apart=0, advice=_BLEACH_RULE,
    ),
    Hazard(
        "H2", ("acid",), ("hypochlorite",), "chlorine gas", "any contact",
        "a state's talk on transport safety; a state health department's summary (secondary)",
        Status.SEEN, apart=0, advice=_BLEACH_RULE,
    ),
    Hazard(
        "H3", ("sulphide",), ("acid",), "hydrogen sulphide gas",
        "any contact; the sense of smell is lost at high levels",
        "UK school safety sheet 59; ICSC 1038, calcium polysulphide; a chemical dictionary on "
        "potassium sulphide",
        Status.SEEN,
        advice="No smell is no all-clear: at high levels the gas dulls the nose.",
    ),
    Hazard(
        "H4", ("ammonia",), ("silver salt",), "explosive silver nitride (“fulminating silver”)",
        "forms on standing or drying; keeping it cold does not stop it",
        f"C&EN, letter of 8 Jan 1996; a histology safety page; {_NOAA}", Status.SEEN,
        advice="Never keep it, not in the cold either, and let none of it dry: what was mixed is "
        "made harmless within two hours with salt water.",
    ),
    Hazard(
        "H5", ("ammonia",), ("halogen",), "an explosive of the kind of nitrogen triiodide",
        "any contact", _NOAA, Status.SEEN,
    ),
    Hazard(
        "H6", ("ammonium salt",), ("silver salt",), "a compound that shock sets off", "any",
        _ICSC, Status.SEEN, advice="Never keep it, and let none of it dry.",
    ),
    Hazard(
        "H7", ("ammonium salt",), ("strong alkali",), "ammonia gas", "any", _ICSC, Status.SEEN,
        loud=Loudness.CARE, advice="Outdoors or under extraction, and never in a closed jar.",
    ),
    Hazard(
        "H8", ("ammonium salt",), ("nitrate",), "fire or explosion", "solid mixtures, or heating",
        _ICSC, Status.SEEN, When.DRY_OR_HOT, apart=2,
        mild="It is let pass in cold water, and comes back where the mixture is heated or dries "
        "in its jar.",
    ),
    Hazard(
        "H9", ("peroxide",), ("acetic acid",), "peracetic acid, corrosive and an irritant",
        "slow at household strength: weeks to equilibrium without an acid as catalyst; fast with "
        "strong reagents or mineral acid",
        "an encyclopaedia on peracetic acid", Status.SEEN, When.STRONG,
        mild="At household strength it forms slowly, over weeks.",
        advice="Mix what is used up at once, and never keep it in a closed bottle.",
    ),
    Hazard(
        "H10", ("strong oxidiser",), ("organic", "reducer"),
        "a more intense fire, or an explosive reaction", "contact, or drying on rags",
        "NOAA chemical datasheet, cupric nitrate", Status.SEEN, apart=2,
        advice="Rags, paper or sawdust wetted with the oxidiser are kept wet, outdoors, in a "
        "lidded metal can.",
    ),
    Hazard(
        "H11", ("nitric acid",), ("copper metal", "silver metal"), "nitrogen oxides (NO2)", "any",
        "NOAA mixing report that lists NOx, copper with nitric acid", Status.LISTED,
        loud=Loudness.CARE, apart=0,
        advice="Under extraction alone, by whoever is trained and licensed for it.",
    ),
    Hazard(
        "H12", ("ammonia",), ("acid",), "heat and spatter", "concentrated", _NOAA, Status.SEEN,
        When.STRONG, loud=Loudness.CARE, advice="Dilute both first, and add slowly.",
    ),
    Hazard(
        "H13", ("ammonia",), ("zinc alloy",), "stress-corrosion cracking (season cracking)",
        "cold-worked parts that were not annealed; humid", "ISO 6957:1988; ASTM B858-06(2018)",
        Status.SEEN, When.UNANNEALED, forbids=False, loud=Loudness.CARE,
        advice="It can crack weeks later: anneal before, or take an alloy of more copper.",
    ),
    Hazard(
        "H14", ("hypochlorite",), ("peroxide",),
        "a vigorous reaction: peroxide is among what must not be mixed with bleach", "any",
        "a state health department's summary (secondary)", Status.SEEN, apart=0,
        advice=_BLEACH_RULE,
    ),
    Hazard(
        "H15", ("hypochlorite",), ("alcohol",), "chloroform and other toxic products", "any",
        "newspapers and trade summaries (secondary)", Status.SEEN, apart=0, advice=_BLEACH_RULE,
    ),
    Hazard(
        "H16", ("acetone",), ("peroxide",), "unstable organic peroxides; worse with acid",
        "any concentrated mixture", _LAB, Status.MEMORY, When.STRONG,
        mild="It is told of concentrated mixtures; nobody knows it harmless in weak ones.",
    ),
    Hazard(
        "H17", ("sulphide",), ("peroxide", "hypochlorite", "strong oxidiser"),
        "heat and sulphur oxides; violent where concentrated", "any", _LAB, Status.MEMORY,
    ),
    Hazard(
        "H18", ("ammonia", "ammonium salt"), ("silver metal",),
        "dissolved silver, from which an explosive can form as it stands or dries",
        "on standing or drying",
        "as H4 and H6, which speak of silver salts: a silver-bearing metal can bring them",
        Status.DERIVED, loud=Loudness.CARE,
        advice="Never keep the used liquid, and let none of it dry.",
    ),
    Hazard(
        "H19", ("cyanide",), ("acid",), "hydrogen cyanide gas, which kills at once", "any contact",
        _LAB, Status.MEMORY, apart=0,
        advice="Cyanide has no place at this bench: it is for those licensed and trained for it.",
    ),
    Hazard(
        "H20", ("hydrochloric acid",), ("peroxide",),
        "chlorine gas, and a corrosive liquid that eats metal fast", "any; faster where strong",
        _LAB, Status.MEMORY,
        advice="Never keep it in a closed bottle: it goes on making gas.",
    ),
    Hazard(
        "H21", ("strong alkali",), ("aluminium metal",), "hydrogen, which burns, and much heat",
        "any; violent where strong, hot or on thin metal", _LAB, Status.MEMORY,
        loud=Loudness.CARE, apart=0,
        advice="No flame near it, never in a closed vessel, and no tub or tool of aluminium for "
        "the alkali either.",
    ),
    Hazard(
        "H22", ("ferricyanide",), ("acid",), "hydrogen cyanide gas", "hot or strong acid",
        _LAB, Status.MEMORY, When.STRONG_OR_HOT,
        mild="With cold acid of household strength little is set free; it comes where it is "
        "heated or the acid is strong.",
        advice="Never heat the two, and keep their waste apart.",
    ),
)  # fmt: skip

ALONE: tuple[Alone, ...] = (
    Alone(
        "A1", ("ammonia",),
        "The air in a closed box over ordinary household ammonia holds far more than the 300 ppm "
        "that are dangerous to life at once. Open it outdoors, and stand back until it is aired.",
        "reckoned from Henry's constant of ammonia (the compilation at doi 10.5194/acp-23-10901-"
        "2023) and the limit of 300 ppm (Minnesota Department of Agriculture)",
        Status.DERIVED, Loudness.CARE, When.CLOSED,
    ),
    Alone(
        "A2", ("sulphide",),
        "No acid comes near it, not from the pickle either: hydrogen sulphide gas. No smell is no "
        "all-clear, for at high levels the gas dulls the nose.",
        "UK school safety sheet 59; ICSC 1038, calcium polysulphide", Status.SEEN, Loudness.KNOW,
        within=("H3",),
    ),
    Alone(
        "A3", ("hypochlorite",),
        "It stands in five rows of the table: no ammonia, no acid, no peroxide, no alcohol and no "
        "sulphide may come near it, in the bucket and the sink as in the mixture.",
        "rows H1, H2, H14, H15 and H17", Status.SEEN, Loudness.CARE,
        within=("H1", "H2", "H14", "H15", "H17"),
    ),
    Alone(
        "A4", ("mineral acid",),
        "The acid goes into the water, slowly; never the water into the acid.",
        "common practice, no source", Status.PRACTICE, Loudness.CARE,
    ),
    Alone(
        "A5", ("strong oxidiser",),
        "Rags, paper and sawdust wetted with it can take fire once they are dry: kept wet, "
        "outdoors, in a lidded metal can. No wax or oil on the bench while it is open.",
        "NOAA chemical datasheet, cupric nitrate", Status.SEEN, Loudness.KNOW, within=("H10",),
    ),
    Alone(
        "A6", ("coated metal",),
        "What it is coated with can give poisonous fumes in the heat: it is not heated before the "
        "coating is known and off.",
        "common practice, no source", Status.PRACTICE, Loudness.CARE, When.HEATED,
    ),
    Alone(
        "A7", ("acid",),
        "Of more than household strength it is corrosive, to skin, eyes and lungs: goggles and "
        "gloves. The acid goes into the water, slowly; never the water into the acid.",
        _LAB, Status.MEMORY, Loudness.CARE, When.CONCENTRATED,
    ),
    Alone(
        "A8", ("caustic alkali",),
        "It burns skin and eyes, and is slow to be felt: goggles and gloves. It goes into cold "
        "water, slowly; never the water onto it, for it grows hot and spits.",
        _LAB, Status.MEMORY, Loudness.CARE,
    ),
)  # fmt: skip

#: What each class is called in a sentence, for the table.
CLASSES: Mapping[str, str] = MappingProxyType(
    {
        "ammonia": "ammonia",
        "ammonium salt": "an ammonium salt",
        "hypochlorite": "chlorine bleach (hypochlorite)",
        "acid": "any acid, vinegar too",
        "acetic acid": "vinegar or acetic acid",
        "mineral acid": "a mineral acid",
        "hydrochloric acid": "hydrochloric (muriatic) acid",
        "nitric acid": "nitric acid",
        "cyanide": "a cyanide",
        "ferricyanide": "a ferricyanide or ferrocyanide",
        "sulphide": "liver of sulphur, or any sulphide",
        "silver salt": "a silver salt or silver oxide",
        "halogen": "iodine, or another free halogen",
        "strong alkali": "a strong alkali",
        "caustic alkali": "lye, caustic soda or another caustic alkali",
        "nitrate": "a nitrate or chlorate",
        "peroxide": "hydrogen peroxide",
        "strong oxidiser": "a nitrate, or another strong oxidiser",
        "organic": "wax, oil, solvent, rags, wood or other organic matter",
        "reducer": "a reducing agent",
        "alcohol": "alcohol",
        "acetone": "acetone",
        "iron salt": "a soluble iron salt",
        "copper metal": "copper and its alloys",
        "silver metal": "silver and its alloys",
        "aluminium metal": "aluminium",
        "zinc alloy": "brass and other copper alloys with zinc",
        "coated metal": "coated, plated or painted metal",
    }
)


def _call(*rows: tuple[tuple[str, ...], str]) -> Mapping[str, tuple[str, ...]]:
    return MappingProxyType({name.strip(): kinds for kinds, names in rows for name in
                             names.split(",")})  # fmt: skip


#: Names, in lower case and British spelling without hyphens, and the classes each belongs to. A
#: longer name goes before a shorter one within it: "oil of vitriol" is no oil. One that belongs to
#: none is there to keep its words from being taken for another.
SUBSTANCES: Mapping[str, tuple[str, ...]] = _call(
    (
        ("hypochlorite",),
        "bleach, chlorine bleach, household bleach, hypochlorite, javel water, javelle water, "
        "eau de javel, bleaching powder, chloride of lime, chlorinated lime, pool chlorine, "
        "chlorine tablets, dakin's solution",
    ),
    (
        ("ammonia",),
        "ammonia, ammonium hydroxide, ammoniacal, spirit of hartshorn, spirits of hartshorn, "
        "urine, liquor ammoniae",
    ),
    (
        ("ammonium salt",),
        "ammonium, sal ammoniac, salmiac, hartshorn, salt of hartshorn, salts of hartshorn, "
        "sal volatile, smelling salts, baker's ammonia, bakers ammonia",
    ),
    (("ammonium salt", "sulphide"), "ammonium sulphide, ammonium polysulphide"),
    (("ammonium salt", "nitrate", "strong oxidiser"), "ammonium nitrate"),
    (
        ("acid",),
        "acid, citric, oxalic, tartaric, lemon juice, salts of lemon, pickling salt, pickle salt, "
        "safety pickle, sodium bisulphate, sodium hydrogen sulphate",
    ),
    (("acid", "iron salt"), "ferric chloride, iron chloride, iron iii chloride"),
    (("iron salt",), "ferric sulphate, ferrous sulphate, iron sulphate, copperas, green vitriol"),
    (
        ("iron salt", "nitrate", "strong oxidiser"),
        "ferric nitrate, iron nitrate, iron iii nitrate",
    ),
    (("acid", "acetic acid"), "vinegar, acetic acid, acetic, ethanoic acid, alegar"),
    (
        ("acid", "mineral acid", "hydrochloric acid"),
        "hydrochloric acid, hydrochloric, muriatic acid, muriatic, spirits of salt, "
        "spirits of salts, spirit of salt",
    ),
    (
        ("acid", "mineral acid"),
        "sulphuric acid, sulphuric, oil of vitriol, vitriol oil, phosphoric acid, battery acid",
    ),
    (("cyanide",), "cyanide, potassium cyanide, sodium cyanide"),
    (
        ("ferricyanide",),
        "ferricyanide, ferrocyanide, hexacyanoferrate, red prussiate of potash, "
        "yellow prussiate of potash, red prussiate of soda, yellow prussiate of soda",
    ),
    (
        ("acid", "mineral acid", "nitric acid", "strong oxidiser"),
        "nitric acid, nitric, aqua fortis, aqua regia",
    ),
    (
        ("sulphide",),
        "liver of sulphur, sulphurated potash, los, sulphide, polysulphide, lime sulphur, "
        "potassium sulphide mix, hepar sulphuris",
    ),
    (("silver salt", "strong oxidiser", "nitrate"), "silver nitrate, lunar caustic"),
    (
        ("silver salt",),
        "silver oxide, silver chloride, silver sulphate, silver carbonate, silver acetate, "
        "silver salt, silver salts",
    ),
    (("halogen",), "iodine, tincture of iodine, bromine, chlorine"),
    (
        ("strong alkali", "caustic alkali"),
        "lye, caustic soda, sodium hydroxide, caustic potash, potassium hydroxide, quicklime, "
        "drain cleaner",
    ),
    (
        ("strong alkali",),
        "washing soda, soda crystals, sal soda, sodium carbonate, potash, potassium carbonate, "
        "pearl ash, slaked lime, milk of lime, calcium hydroxide",
    ),
    (("nitrate", "strong oxidiser"), "nitrate, saltpetre, saltpeter, chlorate, perchlorate"),
    (("strong oxidiser",), "permanganate, persulphate"),
    (
        ("peroxide",),
        "peroxide, percarbonate, oxygen bleach, non chlorine bleach, chlorine free bleach",
    ),
    (
        ("organic",),
        "wax, beeswax, oil, sawdust, wood shavings, wood chips, straw, hay, rag, rags, cotton, "
        "paper, sugar, glycerine, glycerin, glycerol, turpentine, turps, white spirit, "
        "mineral spirits, solvent, solvents, shellac, paraffin, tallow",
    ),
    (("reducer",), "tin ii chloride, stannous chloride, tin chloride"),
    (
        ("alcohol", "organic"),
        "alcohol, ethanol, methanol, isopropanol, propanol, methylated spirit, methylated spirits, "
        "meths, surgical spirit, spirit of wine, spirits of wine",
    ),
    (("acetone", "organic"), "acetone, propanone, nail varnish remover, nail polish remover"),
    ((), "acid free, sugar of lead, sandpaper, emery paper, abrasive paper, glass paper, "
         "wet and dry paper"),
)  # fmt: skip
#: The metal of the piece, likewise. In an ingredient's name it is a mere word: "copper nitrate".
METALS: Mapping[str, tuple[str, ...]] = _call(
    (
        ("copper metal",),
        "copper, phosphor bronze, silicon bronze, aluminium bronze, aluminum bronze, cast bronze, "
        "bronze",
    ),
    (("aluminium metal",), "aluminium, aluminum"),
    (
        ("copper metal", "zinc alloy"),
        "brass, gilding metal, gunmetal, nickel silver, german silver, muntz metal",
    ),
    (("silver metal",), "silver, sterling silver, sterling, britannia silver"),
    (("coated metal",), "galvanised, galvanized, zinc plated, plated, painted, lacquered, coated"),
    (("coated metal", "silver metal"), "silver plated"),
    (("coated metal", "copper metal"), "copper plated"),
    ((), "silver steel"),
)  # fmt: skip

#: The most of a thing, %, that is of household strength. Common practice, no source.
HOUSEHOLD: Mapping[str, float] = MappingProxyType(
    {"peroxide": 6.0, "acetic acid": 10.0, "ammonia": 10.0, "acid": 10.0}
)
