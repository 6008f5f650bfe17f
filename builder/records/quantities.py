"""Words to quantities. Each function gives None for words it cannot convert, and never raises.

Units of the results are those of :class:`Quantity`: °C, %, mm, l, s, g, ml, g/l, count, ratio.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from builder.records.facts import Quantity
from builder.records.gauges import find_awg_diameter, split_gauge
from builder.records.numbers import split_measure
from builder.records.units import COUNTED, LENGTHS, MASSES, TIMES, VOLUMES, Unit

_CELSIUS = frozenset({"", "c", "°c", "degc", "degreesc", "°", "celsius", "degreescelsius"})
_FAHRENHEIT = frozenset({"f", "°f", "degf", "degreesf", "fahrenheit", "degreesfahrenheit"})
_PER_CENT = frozenset({"%", "per cent", "percent", "pct"})
_WEIGHT_PER_CENT = _PER_CENT | {
    "% w/w", "% w/v", "% by weight", "% by volume", "% v/v", "per cent by weight", "% nh3"
}  # fmt: skip
_G_PER_LITRE = {
    "g/l": 1.0, "g per l": 1.0, "g per litre": 1.0, "g/litre": 1.0, "grams per litre": 1.0,
    "grams/litre": 1.0, "g per liter": 1.0, "g/liter": 1.0, "mg/l": 0.001, "kg/l": 1000.0,
    "g/100 ml": 10.0, "g/ml": 1000.0,
}  # fmt: skip
_COLDEST, _HOTTEST = -273.15, 3000.0  # absolute zero; no bench work is hotter
_LEAST_GAUGE = 8  # a blank of 8 mm or more is rarer than a gauge written without its system
_PART = re.compile(r"[0-9.½⅓⅔¼¾/⁄\s]*?[0-9½⅓⅔¼¾]\s*[a-z]+\.?")
#: “a week” is one, “half an hour” and “half a day” are halves; “a” alone is no number.
_ARTICLE = re.compile(r"\b(?P<half>half\s+)?an?\s+(?=[a-z]{3})", re.IGNORECASE)
_RATIO = re.compile(r"(?P<a>[^:]+):(?P<b>[^:]+?)(?P<by>\s+by (?:weight|volume|mass))?")
_ROUGH = "written as rough"
_NH4OH_PER_NH3 = 35.046 / 17.031  # molar masses, g/mol


def read_celsius(text: str) -> Quantity | None:
    """Read "45", "45 °C", "113 F" → °C; below absolute zero and above 3000 °C give None.

    Source: t/°C = (t/°F − 32)/1.8, NIST SP 811 B.8.
    """
    measure = split_measure(text)
    if measure is None:
        return None
    unit = re.sub(r"[º˚]", "°", measure.rest).replace(" ", "").replace("°degrees", "°")
    if unit in _CELSIUS:
        degrees = measure.number
    elif unit in _FAHRENHEIT:
        degrees = round((measure.number - 32) / 1.8, 6)
    elif unit in {"k", "kelvin"}:
        degrees = round(measure.number - 273.15, 6)
    else:
        return None
    if not _COLDEST <= degrees <= _HOTTEST:
        return None
    return Quantity(degrees, "°C", _ROUGH if measure.about else "")


def read_percent(text: str) -> Quantity | None:
    """Read "5", "5 %" → %, from 0 to 100."""
    measure = split_measure(text)
    if measure is None or measure.rest not in _PER_CENT | {""} or not 0 <= measure.number <= 100:
        return None
    return Quantity(measure.number, "%", _ROUGH if measure.about else "")


def read_millimetres(text: str) -> Quantity | None:
    """Read "0.9", "9 cm", "1/4 in" → mm; "20 AWG", "20 B&S" → mm by formula; "20 SWG" stays the
    number of its gauge, unit ``SWG``; a gauge without its system gives None."""
    length = _convert(text, LENGTHS, bare=Unit(1.0, "mm"))
    return length or _read_gauge(text)


def read_thickness(text: str) -> Quantity | None:
    """As :func:`read_millimetres`, but a bare whole number of 8 or more is taken for a gauge
    without its system, and gives None."""
    return None if is_bare_gauge(text) else read_millimetres(text)


def is_bare_gauge(text: str) -> bool:
    """Whether ``text`` looks like a gauge that does not say its system."""
    gauge = split_gauge(text)
    if gauge is None or gauge[1]:
        return False
    return not text.strip().isdigit() or gauge[0] < 0 or gauge[0] >= _LEAST_GAUGE


def _read_gauge(text: str) -> Quantity | None:
    gauge = split_gauge(text)
    if gauge is None or not gauge[1]:
        return None
    n, system = gauge
    if system == "SWG":
        return Quantity(float(n), "SWG")
    return Quantity(find_awg_diameter(n), "mm", f"American gauge {n} by the formula of ASTM B258")


def read_litres(text: str) -> Quantity | None:
    """Read "3", "3 l", "500 ml", "1 US gallon" → l."""
    volume = _convert(text, VOLUMES, bare=Unit(1000.0, "ml"))
    return volume and Quantity(volume.number / 1000.0, "l", volume.assumed)


def read_count(text: str) -> Quantity | None:
    """Read "2", "two coats", "4 passes", "x3" → whole number, unit ``count``."""
    measure = split_measure(re.sub(r"^\s*[x×]\s*(?=[0-9])", "", text))
    if measure is None or measure.rest not in COUNTED | {""} or measure.number < 0:
        return None
    if not measure.number.is_integer():
        return None
    return Quantity(measure.number, "count", _ROUGH if measure.about else "")


def read_minutes(text: str) -> Quantity | None:
    """Read "20", "20 min", "1 h 30 min" → s; a bare number is minutes."""
    return _convert(text, {}, bare=TIMES["min"]) or _add_times(text)


def read_duration(text: str) -> Quantity | None:
    """Read "15 s", "20 min", "1 h 30 min", "7 d", "2 weeks", "a week", "half an hour" → s;
    "4 passes" → ``count``. A bare number gives None: it could be any unit."""
    text = _ARTICLE.sub(lambda match: "½ " if match["half"] else "1 ", text)
    measure = split_measure(text)
    if measure and measure.rest in COUNTED:
        return read_count(text)
    return _add_times(text)


def _add_times(text: str) -> Quantity | None:
    """A time, or several written one after the other, added up."""
    tidy = re.sub(r"\s*(?:,|\band\b)\s*", " ", " ".join(text.casefold().split()))
    whole = _convert(tidy, TIMES)
    if whole:
        return whole
    parts = [part.strip() for part in _PART.findall(tidy)]
    if len(parts) < 2 or "".join(parts).replace(" ", "") != tidy.replace(" ", ""):
        return None
    times = [_convert(part, TIMES) for part in parts]
    read = [time for time in times if time]
    if len(read) < len(parts):
        return None
    assumed = "; ".join(dict.fromkeys(time.assumed for time in read if time.assumed))
    return Quantity(sum(time.number for time in read), "s", assumed)


def read_amount(text: str) -> Quantity | None:
    """Read "200 g", "½ cup", "2½ tsp" → g or ml; "3 drops" → ``count``; "3 : 1 by weight",
    "3 parts" → ``ratio``. A bare number gives None. ``assumed`` names the cup, spoon or pint
    taken."""
    return _convert(text, MASSES) or _convert(text, VOLUMES) or _read_shares(text)


def _read_shares(text: str) -> Quantity | None:
    match = _RATIO.fullmatch(" ".join(text.casefold().split()))
    if match:
        a, b = split_measure(match["a"]), split_measure(match["b"])
        if not (a and b) or a.rest or b.rest or a.number < 0 or b.number <= 0:
            return None
        return Quantity(a.number / b.number, "ratio", "" if match["by"] else "basis not written")
    measure = split_measure(text)
    if measure is None or measure.number < 0:
        return None
    if measure.rest in COUNTED:
        return Quantity(measure.number, "count", _ROUGH if measure.about else "")
    parts = re.fullmatch(r"parts?(?P<by> by (?:weight|volume|mass))?", measure.rest)
    if parts:
        return Quantity(measure.number, "ratio", "" if parts["by"] else "basis not written")
    return None


def read_strength(text: str) -> Quantity | None:
    """Read "5 %" → %; "20 g/l" → g/l; "10 vol" (peroxide) → %; "56 % NH4OH" → % of NH3. A bare
    number gives None.

    Source: 10 volumes of peroxide as 3 %: common practice, no source.
    """
    measure = split_measure(text)
    if measure is None or measure.number < 0:
        return None
    rough = _ROUGH if measure.about else ""
    unit = measure.rest.replace(" / ", "/")
    if unit in _WEIGHT_PER_CENT and measure.number <= 100:
        return Quantity(measure.number, "%", rough)
    if unit == "% nh4oh" and measure.number <= 100:
        percent = float(f"{measure.number / _NH4OH_PER_NH3:.4g}")
        return Quantity(percent, "%", "as NH3; NH4OH weighs 2.058 times as much")
    if unit in _G_PER_LITRE:
        return Quantity(measure.number * _G_PER_LITRE[unit], "g/l", rough)
    if unit in {"vol", "vols", "volume", "volumes"} and measure.number <= 200:
        return Quantity(measure.number * 0.3, "%", "peroxide, 10 volumes as 3 %")
    return None


def _convert(text: str, units: Mapping[str, Unit], bare: Unit | None = None) -> Quantity | None:
    """A number with one of ``units``; a number alone is in ``bare``. Never below nought."""
    measure = split_measure(text)
    if measure is None or measure.number < 0:
        return None
    unit = units.get(measure.rest, bare if not measure.rest else None)
    if unit is None:
        return None
    assumed = "; ".join(words for words in (unit.assumed, _ROUGH * measure.about) if words)
    size = float(f"{measure.number * unit.size:.12g}")  # 6 in is 152.4 mm, not 152.39999999999998
    return Quantity(size, unit.unit, assumed)
