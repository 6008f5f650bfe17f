"""What the columns of a table mean: their headings to the sidecar's vocabulary.

Headings: common practice, no source.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.read.fields import find_marker, find_record, list_fields
from builder.read.spelling import spell_key
from builder.read.wording import find_nearest
from builder.records.hazards import SUBSTANCES
from builder.records.kinds import Expected
from builder.records.moments import explain_date
from builder.records.piece import Piece
from builder.records.units import LENGTHS, MASSES, TIMES, VOLUMES

NUMBER, PHOTOS, NOTES, DROP, MIXTURE = "piece", "photos", "notes", "drop", "ingredients"
#: Sides of a piece in columns of their own, in order.
SIDES = ("size_mm.width", "size_mm.height", "size_mm.thickness")
#: What a column of one ingredient says of it.
PARTS = ("amount", "strength", "as_written", "brand_note")
#: A share that the table holds as a part of one, as workbooks keep what they show as 5 %.
FRACTION = "fraction"

_HEADINGS: Mapping[str, str] = {
    NUMBER: "no,nos,nr,num,number,piece,piece no,piece number,id,sample,sample no,sample id,"
    "sample number,test,test no,test number,test piece,plate,plate no,tag,ref,reference,code,blank,"
    "blank no,tile,tile no,coupon,coupon no",
    PHOTOS: "photo,photos,picture,pictures,photo file,photo files,image,images,image file,file,"
    "file name,filename,photograph,photographs,jpg",
    NOTES: "notes,note,remarks,remark,comments,comment,observations,what happened,"
    "other,others,other notes,anything else,misc,miscellaneous,extra,extras,details",
    "why": "why,purpose,question,aim,what for,reason",
    "form": "form,shape,kind of piece,type,object",
    "size_mm": "size,dimensions,dims,blank size",
    "size_mm.width": "width,w",
    "size_mm.height": "height,length,h",
    "thickness": "thickness,thick,gauge,ga",
    "metal": "metal,base metal,material,substrate,what metal,metal used",
    "alloy": "alloy,grade,alloy no",
    "temper": "temper,hardness",
    "surface": "surface,surface finish,texture,polish",
    "blank_from": "blank from,cut from,sheet,stock",
    "prep": "prep,preparation,cleaning,pre treatment,pretreatment,how cleaned,cleaned with",
    "method": "method,process,technique,how coloured,application,applied by,how applied,how,"
    "how done,how made,how it was done,way,treatment,done how",
    MIXTURE: "ingredients,recipe,solution,mixture,chemicals,patina,formula,what with,"
    "chemical,with,used,what used,what was used,mix,patina recipe,solution used,chemicals used",
    "batch.mixed": "mixed,date mixed,solution mixed,batch date",
    "batch.opened": "bottle opened,opened,date opened",
    "batch.name": "batch,batch name,batch no,jar",
    "container.kind": "container,vessel,tub,coloured in",
    "container.litres": "container volume,tub volume,container size,volume of tub",
    "position.face": "position,face,orientation",
    "temperature_c": "temp,temperature,work temperature,room temp,room temperature,solution temp,"
    "bath temp,bath temperature,deg c,degrees",
    "humidity_pct": "humidity,rh,relative humidity,room humidity,damp",
    "started": "started,start,date,date coloured,coloured,coloured on,date started,start date,"
    "day,begun,date begun,in,date in,put in,patinated,date patinated,date made,made,made on,"
    "date done,done on,day done,when,when done,date of test,test date,date tried,tried on,"
    "day begun,day started,day coloured,begun on,started on",
    "finished": "finished,finish,end date,date finished,out,date out,lifted,lifted out,taken out",
    "exposure": "exposure,time,duration,time in,how long,length of time,dwell,dwell time,"
    "immersion,immersion time,exposure time,left for,for how long,left how long,how long left,"
    "time left,left in for,left in,kept in for,exposed for,soaked for,soak time,days in,hours in",
    "cycles": "cycles,passes,rounds,sprays,applications,dips,no of passes,number of passes",
    "stop": "stop,stopped,rinse,rinsed,how stopped,rinsed with",
    "dry.how": "drying,dried,how dried",
    "dry.for": "drying time,dried for",
    "sealant.kind": "sealant,sealer,sealing,seal,sealed,sealed with,wax,lacquer,coating,top coat,"
    "topcoat,finish coat",
    "sealant.coats": "coats,no of coats,number of coats,coats of sealant,coats of wax",
    "sealant.date": "date sealed,sealed on,seal date,sealing date,date waxed,waxed on",
    "sealant.notes": "sealant notes,sealing notes",
    "cure.for": "cure,curing,cured for,cure time,curing time",
    "storage.place": "stored,storage,kept,where kept,location,place,shelf,drawer",
    "storage.light": "light,storage light",
    "coverage_pct": "coverage,cover,covered,area covered",
    "colour_words": "colour,colours,result colour,look,appearance,colour seen,colour words",
    "sheen": "sheen,gloss,lustre",
    "outcome": "outcome,result,success,how it came out,verdict",
    "cause": "cause,cause of failure,why it failed,failure,fault",
    "made_by": "made by,by,maker,who,initials,student",
    "starred": "starred,star,favourite,best,keep",
    "same_as": "same as,like,repeat of,repeats",
    "sister": "sister,bare sister,compare with,control",
    "setup": "setup,set up,stand",
}  # fmt: skip
#: Groups of columns under one heading, by the field they belong to.
_GROUPS: Mapping[str, str] = {
    **dict.fromkeys(
        ("sealant", "sealer", "sealing", "seal", "wax", "lacquer", "coating"), "sealant"
    ),
    **dict.fromkeys(("batch", "solution batch"), "batch"),
    **dict.fromkeys(("container", "tub", "vessel"), "container"),
    **dict.fromkeys(("dry", "drying"), "dry"),
    **dict.fromkeys(("cure", "curing"), "cure"),
    **dict.fromkeys(("storage", "stored", "kept"), "storage"),
    **dict.fromkeys(("position",), "position"),
    **dict.fromkeys(
        ("ingredients", "recipe", "solution", "mixture", "bath", "chemicals", "formula"), MIXTURE
    ),
    **dict.fromkeys(("size", "dimensions", "blank"), "size_mm"),
}  # fmt: skip
_IN_GROUP = {"type": "kind", "what": "kind", "no": "coats", "number": "coats", "when": "date",
             "day": "date", "time": "for", "method": "how", "volume": "litres"}  # fmt: skip
_TEMPERATURES = {
    "c": "°C", "°c": "°C", "deg c": "°C", "degc": "°C", "degrees c": "°C", "celsius": "°C",
    "f": "°F", "°f": "°F", "deg f": "°F", "degf": "°F", "degrees f": "°F", "fahrenheit": "°F",
    "k": "K",
}  # fmt: skip
_SHARES = {"%": "%", "per cent": "%", "percent": "%", "pct": "%", "g/l": "g/l", "% w/w": "%",
           "% rh": "%", "%rh": "%", "rh %": "%", "vol": "vol", "vols": "vol"}  # fmt: skip
_GAUGES = {"swg": "SWG", "awg": "AWG", "b&s": "B&S"}
_UNITS: Mapping[str, str] = {
    **{name: name for name in (*MASSES, *VOLUMES, *LENGTHS, *TIMES) if name not in {"m", "x"}},
    **_TEMPERATURES, **_SHARES, **_GAUGES, "number": "", "mm x mm": "mm", "mm × mm": "mm",
}  # fmt: skip
_BRACKETED = re.compile(r"(?P<name>.*?)[\s,]*[(\[](?P<unit>[^()\[\]]{1,24})[)\]]\s*")
_SLIP = 0.84  # likeness from which a heading is taken for a slip of the finger
_AMOUNTS = frozenset((*MASSES, *VOLUMES))
_STRENGTHS = frozenset({"%", "g/l", "vol"})
#: Words of a heading with a unit that is no ingredient's amount.
_NO_SUBSTANCES = frozenset(
    {
        "weight", "mass", "volume", "total", "sum", "amount", "cost", "price", "loss", "gain",
        "before", "after", "difference",
    }
)  # fmt: skip


@dataclass(frozen=True)
class Column:
    """``heading`` is the table's own. ``field`` is a key of the vocabulary, with a full stop where
    it lies in another (``sealant.coats``), ``photos`` (names of files), ``notes`` or ``drop``.
    ``name`` and ``part`` are an ingredient's. ``unit`` goes after bare numbers."""

    heading: str
    field: str
    name: str = ""
    part: str = "amount"
    unit: str = ""

    @property
    def path(self) -> tuple[str, ...]:
        return tuple(self.field.split("."))


@dataclass(frozen=True)
class Proposal:
    """What a column is taken for, and what is to be known of that, or ""."""

    column: Column
    said: str = ""


def known_fields() -> tuple[str, ...]:
    """Every ``field`` a column may have."""
    return tuple(_walk_fields())


def is_date(field: str) -> bool:
    """Whether a field holds a day."""
    expected = _expected(field)
    return expected is not None and expected.explain is explain_date


def is_measured(field: str) -> bool:
    """Whether a field holds a number with its unit."""
    measured = field.startswith("size_mm") or field == MIXTURE
    return measured or (_expected(field) is not None and not is_date(field))


def propose_columns(
    headings: Sequence[tuple[str, ...]], others: Iterable[Column] = ()
) -> tuple[Proposal, ...]:
    """A column for each heading, from the top level down to its own; () for a column without one,
    which is dropped. ``others`` are columns that have their meaning already.

    What is like no known heading goes to the notes; so does the second of two that mean one thing.
    """
    proposals: list[Proposal] = []
    taken = {_key(column): column.heading for column in others}
    for levels in headings:
        column = match_heading(levels)
        heading = " / ".join(levels)
        said = ""
        if column is None:
            near = _find_slip(levels)
            column = Column(heading, NOTES if heading else DROP)
            said = f"it is like {near}, and goes to the notes" if near else ""
        key = _key(column)
        if column.field not in (NOTES, DROP, PHOTOS):
            if key in taken:
                said = f"“{taken[key]}” is {column.field} already; this one goes to the notes"
                column = Column(heading, NOTES)
            else:
                taken[key] = heading
        proposals.append(Proposal(column, said))
    return tuple(proposals)


def _key(column: Column) -> tuple[str, str, str]:
    """What no two columns may both be."""
    return column.field, column.name, column.part if column.name else ""


def match_heading(levels: Sequence[str]) -> Column | None:
    """The column a heading means, or None. ``levels``: headings of groups before its own."""
    own = [level for level in levels if level]
    if not own:
        return None
    heading = " / ".join(own)
    name, unit = split_unit(own[-1])
    group = _GROUPS.get(_fold(split_unit(own[-2])[0])) if len(own) > 1 else None
    if len(own) > 1:
        joined = _find_field(f"{_fold(own[-2])} {_fold(name)}")
        if joined:
            return _make(heading, joined, unit)
    if group == MIXTURE:
        return _ingredient(heading, name, unit)
    if group:
        record = find_record(list_fields(Piece)[group])
        part = spell_key(_IN_GROUP.get(_fold(name), _fold(name)))
        field = f"{group}.{part}"
        if (record and part in list_fields(record)) or field in SIDES:
            return _make(heading, field, unit)
    field = _find_field(_fold(name)) or _find_field(_fold(own[-1]))
    if field and not (field == "temper" and unit):
        return _make(heading, field, unit)
    # A share alone may be of anything, and a weight may be the piece's.
    amount = unit in _AMOUNTS and not set(_fold(name).split()) & _NO_SUBSTANCES
    if name and (amount or _is_substance(name)):
        return _ingredient(heading, name, unit)
    return None


def split_unit(heading: str) -> tuple[str, str]:
    """The name in a heading and its unit, "" for none: "Ammonia (ml)", "Temp °F", "Time, days",
    "Thickness in mm"."""
    text = " ".join(heading.split())
    match = _BRACKETED.fullmatch(text)
    if match and (unit := read_unit(match["unit"])):
        return match["name"].strip(" :"), unit
    words = re.split(r"[\s,:/]+", text)
    for count in (2, 1):
        last = " ".join(words[-count:])
        if len(words) > count and last != "in" and (unit := read_unit(last)):
            name = " ".join(words[:-count])
            name = re.sub(r"\s+in$", "", name, flags=re.IGNORECASE)
            short = len(words[-1]) == 1 and words[-1].islower() and unit not in _TEMPERATURES
            return (text, "") if short and unit not in ("g", "l", "s", "d", "h") else (name, unit)
    if text.endswith("%") and len(text) > 1:
        return text[:-1].strip(), "%"
    return text, ""


def read_unit(text: str) -> str:
    """A unit's usual spelling, or "" where ``text`` is none."""
    plain = re.sub(r"[º˚]", "°", " ".join(text.casefold().split())).strip(".")
    plain = plain.removeprefix("in ").replace("° ", "°")
    return _UNITS.get(plain, "")


def _make(heading: str, field: str, unit: str) -> Column:
    """A column of a field, its unit left out where it is the field's own kind of count."""
    if field == "thickness" and not unit and "gauge" in _fold(heading):
        return Column(heading, field)
    return Column(heading, field, unit=unit)


def _ingredient(heading: str, name: str, unit: str) -> Column:
    part = "strength" if unit in _STRENGTHS else "amount"
    plain = " ".join(name.split())
    for ending in (" strength", " amount", " quantity", " used"):
        if plain.casefold().endswith(ending):
            part = "strength" if ending == " strength" else part
            plain = plain[: -len(ending)]
    shown = plain if plain.isupper() and len(plain) < 5 else plain[:1].lower() + plain[1:]
    return Column(heading, MIXTURE, shown, part, unit)


def _fold(text: str) -> str:
    """Small letters, no signs: “Piece #” is “piece no”."""
    text = unicodedata.normalize("NFKC", text).casefold().replace("color", "colour")
    text = text.replace("#", " no ").replace("№", " no ").replace("numero", "no")
    return " ".join(re.sub(r"[^\w%°]+", " ", text).replace("_", " ").split())


def _find_field(folded: str) -> str:
    return _BY_HEADING.get(folded, "")


def _find_slip(levels: Sequence[str]) -> str:
    own = _fold(split_unit(levels[-1])[0]) if levels else ""
    near = find_nearest(own, _BY_HEADING, _SLIP) if len(own) > 3 else ""
    return _BY_HEADING.get(near, "")


def _is_substance(name: str) -> bool:
    plain = re.sub(r" (?:strength|amount|quantity|used)$", "", _fold(name))
    return plain in _SUBSTANCES or plain in {"salt", "water", "sawdust"}


def _expected(field: str) -> Expected | None:
    info = None
    fields = list_fields(Piece)
    for step in field.split("."):
        info = fields.get(step)
        record = find_record(info) if info else None
        fields = list_fields(record) if record else {}
    return find_marker(info, Expected) if info else None


def _walk_fields() -> Iterator[str]:
    left_out = {"change", "attempt", "share", "zones", "checks"}
    for name, info in list_fields(Piece).items():
        record = find_record(info)
        if name in left_out:
            continue
        if record is None or name in (MIXTURE, PHOTOS, "prep"):
            yield name
        else:
            yield from (f"{name}.{part}" for part in list_fields(record))
    yield from (*SIDES, DROP)


def _headings() -> Iterator[tuple[str, str]]:
    for field in _walk_fields():
        if field not in (DROP, MIXTURE):
            yield _fold(field.replace(".", " ")), field
            yield _fold(field.replace("_mm", "").replace("_pct", "").replace("_c", "")), field
    for field, names in _HEADINGS.items():
        for name in names.split(","):
            yield _fold(name), field


_BY_HEADING: Mapping[str, str] = dict(_headings())
_SUBSTANCES = frozenset(_fold(name) for name in SUBSTANCES)
