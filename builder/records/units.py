"""Units and their exact sizes in the one unit each kind is kept in.

Source: US and imperial measures, pounds, ounces and inches are exact by definition (NIST SP 811,
appendix B). Metric kitchen measures (teaspoon 5 ml, tablespoon 15 ml, Australian tablespoon 20 ml,
cup 250 ml): from memory. Which one a bare "cup" or "pint" means is this project's own rule, and is
said with every figure that rests on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Unit:
    """``size`` in ``unit``; ``assumed`` is the rule used where the name leaves it open."""

    size: float
    unit: str
    assumed: str = ""


def _name(*units: tuple[Unit, str]) -> dict[str, Unit]:
    return {name.strip(): unit for unit, names in units for name in names.split(",")}


#: How each measure is written.
FORMS = {
    "teaspoon": "tsp,tsps,teaspoon,teaspoons",
    "tablespoon": "tbsp,tbsps,tablespoon,tablespoons",
    "cup": "cup,cups",
    "fluid ounce": "fl oz,fl. oz,floz,fluid ounce,fluid ounces",
    "pint": "pint,pints,pt",
    "quart": "quart,quarts,qt",
    "gallon": "gallon,gallons,gal",
}
_SYSTEMS = {
    "US": "us,u.s,u.s.",
    "imperial": "imperial,imp,uk",
    "metric": "metric",
    "Australian": "australian,aus,au",
}
#: Millilitres by system and measure.
MEASURES_ML: Mapping[tuple[str, str], float] = MappingProxyType(
    {
        ("US", "teaspoon"): 4.92892159375,
        ("US", "tablespoon"): 14.78676478125,
        ("US", "fluid ounce"): 29.5735295625,
        ("US", "cup"): 236.5882365,
        ("US", "pint"): 473.176473,
        ("US", "quart"): 946.352946,
        ("US", "gallon"): 3785.411784,
        ("imperial", "fluid ounce"): 28.4130625,
        ("imperial", "pint"): 568.26125,
        ("imperial", "quart"): 1136.5225,
        ("imperial", "gallon"): 4546.09,
        ("metric", "teaspoon"): 5.0,
        ("metric", "tablespoon"): 15.0,
        ("metric", "cup"): 250.0,
        ("Australian", "tablespoon"): 20.0,
    }
)
#: What a measure without its system is taken for.
PLAIN_SYSTEM: Mapping[str, str] = MappingProxyType(
    {
        "teaspoon": "metric",
        "tablespoon": "metric",
        "cup": "US",
        "fluid ounce": "imperial",
        "pint": "imperial",
        "quart": "imperial",
        "gallon": "imperial",
    }
)


def _kitchen() -> dict[str, Unit]:
    names: dict[str, Unit] = {}
    for measure, system in PLAIN_SYSTEM.items():
        size = MEASURES_ML[system, measure]
        plain = Unit(size, "ml", f"{system} {measure}, {size:.4g} ml")
        names |= dict.fromkeys(FORMS[measure].split(","), plain)
    for (system, measure), size in MEASURES_ML.items():
        names |= {
            f"{prefix} {form}": Unit(size, "ml")
            for prefix in _SYSTEMS[system].split(",")
            for form in FORMS[measure].split(",")
        }
    return names


MASSES: Mapping[str, Unit] = MappingProxyType(
    _name(
        (Unit(1.0, "g"), "g,gram,grams,gramme,grammes,gm,gms"),
        (Unit(1000.0, "g"), "kg,kilo,kilos,kilogram,kilograms"),
        (Unit(0.001, "g"), "mg,milligram,milligrams"),
        (Unit(28.349523125, "g", "ounce by weight, 28.35 g"), "oz,ounce,ounces"),
        (Unit(453.59237, "g"), "lb,lbs,pound,pounds"),
        (Unit(31.1034768, "g"), "oz t,ozt,oz troy,troy oz,troy ounce,troy ounces"),
        (Unit(1.55517384, "g"), "dwt,pennyweight,pennyweights"),
        (Unit(0.06479891, "g"), "grain,grains"),
    )
)
VOLUMES: Mapping[str, Unit] = MappingProxyType(
    _name(
        (Unit(1.0, "ml"), "ml,mls,millilitre,millilitres,milliliter,milliliters,cc,cm3,cm³"),
        (Unit(10.0, "ml"), "cl,centilitre,centilitres"),
        (Unit(1000.0, "ml"), "l,litre,litres,liter,liters,dm3,dm³"),
    )
    | _kitchen()
)
LENGTHS: Mapping[str, Unit] = MappingProxyType(
    _name(
        (Unit(1.0, "mm"), "mm,millimetre,millimetres,millimeter,millimeters"),
        (Unit(10.0, "mm"), "cm,centimetre,centimetres,centimeter,centimeters"),
        (Unit(1000.0, "mm"), "m,metre,metres,meter,meters"),
        (Unit(25.4, "mm"), 'in,inch,inches,",″,”'),
        (Unit(0.0254, "mm"), "thou,mil,mils"),
        (Unit(0.001, "mm"), "µm,μm,um,micron,microns"),
    )
)
_A_MONTH = "a month as a twelfth of 365.25 days"
TIMES: Mapping[str, Unit] = MappingProxyType(
    _name(
        (Unit(1.0, "s"), "s,sec,secs,second,seconds"),
        (Unit(60.0, "s"), "min,mins,minute,minutes"),
        (Unit(3600.0, "s"), "h,hr,hrs,hour,hours"),
        (Unit(86400.0, "s"), "d,day,days"),
        (Unit(604800.0, "s"), "w,wk,wks,week,weeks"),
        (Unit(1209600.0, "s"), "fortnight,fortnights"),
        (Unit(365.25 / 12 * 86400.0, "s", _A_MONTH), "mo,month,months"),
        (Unit(365.25 * 86400.0, "s", "a year as 365.25 days"), "y,yr,yrs,year,years"),
    )
)
#: Things that are counted, in a recipe or a finish.
COUNTED = frozenset(
    {
        "bath", "baths", "brushing", "brushings", "coat", "coats", "cycle", "cycles", "dip", "dips",
        "drop", "drops", "pass", "passes", "piece", "pieces", "round", "rounds", "sheet", "sheets",
        "spray", "sprays", "tablet", "tablets", "time", "times", "x", "×",
    }
)  # fmt: skip
