"""One name for each thing the trade calls by several. Names: common practice, no source."""

from __future__ import annotations

from builder.records.plain_names import name_plainly

#: Nothing over the colour.
BARE = "none"
#: A finish, such as oil and beeswax, that needs no sealant over it.
FINISH_SEALS = "finish is the sealant"

_BARE_WORDS = frozenset({"none", "no", "nothing", "bare", "unsealed", "not sealed", "no sealant"})

_SAME = {
    "sulphurated potash": "liver of sulphur",
    "potassium sulphide mix": "liver of sulphur",
    "potassium sulphide": "liver of sulphur",
    "los": "liver of sulphur",
    "copper green": "verdigris",
    "ammonium hydroxide": "ammonia",
    "household ammonia": "ammonia",
    "ammonia solution": "ammonia",
    "acetic acid": "vinegar",
    "table salt": "salt",
    "common salt": "salt",
    "sodium chloride": "salt",
    "hydrogen peroxide": "peroxide",
    "micro wax": "microcrystalline wax",
    "microcrystalline": "microcrystalline wax",
    "micro crystalline wax": "microcrystalline wax",
}


def name_substance(written: str) -> str:
    """The one name of an ingredient, sealant or cleaner; varnish and lacquer stay apart."""
    plain = name_plainly(written)
    return _SAME.get(plain, plain)


def name_sealant(written: str) -> str:
    """The one name of a sealant; ``BARE`` where nothing was put on."""
    name = name_substance(written)
    return BARE if name in _BARE_WORDS else name
