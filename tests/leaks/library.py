"""A small library with a mark in every field, made from the vocabulary itself: a field that is
added to it is marked without a line here."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from click.testing import CliRunner

from builder.cli import cli
from builder.read.fields import find_record, is_list, list_fields
from builder.records.piece import OWN_FIELDS, Piece
from builder.records.record import Record
from tests.leaks.doors import lay_code, open_every_door
from tests.leaks.tokens import Tokens

ROOT = Path(__file__).parents[2]
TODAY = "2026-06-01"
#: Photographs of the demo by piece: day and what the name says. Pictures of the finished piece, but
#: for the bare one.
PHOTOS = {
    "SH-012": ("2024-10-01_bare_front", "2024-10-15_dry_front", "2025-10-15_recheck_front"),
    "SH-014": ("2024-10-15_before-seal_front", "2025-10-19_recheck_front"),
    "SH-024": ("2024-12-03_before-seal_front", "2025-12-04_recheck_front"),
}
#: Photographs with a stranger's code in the frame; that of SH-014 is blurred.
STRANGE = {"SH-012": "2025-10-15_recheck_front", "SH-014": "2025-10-19_recheck_front"}
CODE_AT = (0.52, 0.66, 0.6, 0.78)
#: Days that nothing else has, so that they can be searched for.
BEGUN, SEALED = "2024-10-01", "2024-10-16"
#: Fields that only serve in one form. Everything else is the maker's words.
_FORMS: Mapping[str, Any] = {
    "started": BEGUN, "finished": "2024-10-08", "exposure": "7.0331 d", "dry.for": "7 d",
    "coverage_pct": "76", "outcome": "success", "checks.date": "2025-01-14",
    "checks.state": "recheck", "zones.at": ["0", "0", "0.333", "1"],
}  # fmt: skip
_REFERENCES = ("piece", "same_as", "sister", "setup", "attempt", "share", "change", "photos")


def fill(
    record: type[Record], owner: str, tokens: Tokens, forms: Mapping[str, Any], at: str = ""
) -> dict[str, Any]:
    """A record with every field filled: in the form it serves in, else with a mark."""
    filled: dict[str, Any] = {}
    for name, info in list_fields(record).items():
        path = f"{at}{name}"
        inner = find_record(info)
        if path in _REFERENCES:
            continue
        if path in forms:
            filled[name] = forms[path]
        elif inner:
            one = fill(inner, owner, tokens, forms, f"{path}.")
            filled[name] = [one] if is_list(info) else one
        else:
            text = tokens.text(owner, path)
            filled[name] = [text] if is_list(info) else text
    return filled


def make_library(folder: Path) -> Tokens:
    """The library in ``folder``: settings, pages and a file of the maker's own, six pieces (one
    like another with a change, one of three zones, one of two attempts that came to nothing, one
    wholly private), their photographs, and a ledger."""
    tokens = Tokens()
    names = {n: [tokens.core(n, "photos.file") for _ in looks] for n, looks in PHOTOS.items()}
    for number, looks in PHOTOS.items():
        place = folder / "samples" / number
        place.mkdir(parents=True)
        for name, look in zip(names[number], looks, strict=True):
            (file,) = (ROOT / "samples" / number).glob(f"{number}_{look}.*")
            taken = datetime.fromisoformat(f"{look[:10]}T13:27:41")
            picture = file.read_bytes()
            if look == STRANGE.get(number):
                picture = lay_code(picture, tokens.core(number, "code in the frame"))
            marked = open_every_door(picture, taken, number, tokens)
            (place / f"{name}.jpg").write_bytes(marked)
    for number, documents in _list_records(names, tokens).items():
        place = folder / "samples" / number
        place.mkdir(exist_ok=True)
        texts = (json.dumps(one, ensure_ascii=False, indent=1) for one in documents)
        (place / "sample.yaml").write_text("\n---\n".join(texts) + "\n", encoding="utf-8")
    _write_settings(folder, tokens)
    recorded = CliRunner().invoke(cli, ["record", "--library", str(folder), "--today", TODAY])
    assert recorded.exit_code == 0, recorded.output
    return tokens


def _list_records(
    names: Mapping[str, list[str]], tokens: Tokens
) -> dict[str, list[dict[str, Any]]]:
    """The sidecars, by piece."""

    def whole(number: str, **forms: Any) -> dict[str, Any]:
        return {"piece": number, **fill(Piece, number, tokens, {**_FORMS, **forms})}

    bare = whole("SH-012", sealant="none", zones="")
    waxed = {
        "piece": "SH-014",
        "same_as": "SH-012",
        "sister": "SH-012",
        "change": {
            "sealant": {
                **fill(Piece, "SH-014", tokens, _FORMS)["sealant"],
                "date": SEALED,
                "coats": "2",
            },
            "temper": tokens.text("SH-014", "change"),
        },
        **{k: v for k, v in whole("SH-014").items() if k in OWN_FIELDS},
    }
    wax = {"kind": "microcrystalline wax", "coats": "2", "date": "2024-12-04"}
    zoned = whole("SH-024", started="2024-11-12", finished="2024-11-19", sealant="")
    zoned["zones"] = [
        {"name": "left", "at": ["0", "0", "0.333", "1"], "sealant": wax},
        {**zoned["zones"][0], "at": ["0.333", "0", "0.667", "1"], "sealant": "none"},
    ]
    zoned["share"] = {"recipe": "guild", "notes": ["private", "guild"], "sheen": "public"}
    unread = fill(Piece, "ZQ-3", tokens, {"zones.at": _FORMS["zones.at"], "outcome": "failure"})
    again = fill(Piece, "ZQ-3 again", tokens, {"zones.at": _FORMS["zones.at"], "outcome": "lost"})
    secret = fill(Piece, "ZQ-4", tokens, {"zones.at": _FORMS["zones.at"]})
    planned = {
        "piece": "ZQ-5",
        "same_as": "SH-012",
        "why": tokens.text("ZQ-5", "why"),
        "change": {"exposure": "9.0773 d"},
    }
    for number, record in (("SH-012", bare), ("SH-014", waxed), ("SH-024", zoned)):
        caption = {"caption": tokens.text(number, "photos.caption"), "setup": "zqsetup"}
        record["photos"] = [
            {
                "file": f"{name}.jpg",
                **_read_name(look),
                **caption,
                "blur": CODE_AT if (number, look) == ("SH-014", STRANGE["SH-014"]) else "none",
            }
            for name, look in zip(names[number], PHOTOS[number], strict=True)
        ]
    return {
        "SH-012": [bare],
        "SH-014": [waxed],
        "SH-024": [zoned],
        "ZQ-3": [{"piece": "ZQ-3", **unread}, {"piece": "ZQ-3", "attempt": "2", **again}],
        "ZQ-4": [{"piece": "ZQ-4", "share": {"piece": "private"}, **secret}],
        "ZQ-5": [planned],
    }


def _read_name(look: str) -> dict[str, str]:
    day, state, side = look.split("_")
    return {"date": day, "state": state.replace("-", " "), "side": side}


def _write_settings(folder: Path, tokens: Tokens) -> None:
    card = tokens.core("settings", "card")
    source = ROOT / "samples" / "sparrowhithe-card.txt"
    (folder / "samples" / f"{card}.txt").write_bytes(source.read_bytes())
    docs = folder / "docs"
    docs.mkdir()
    kept, shown = tokens.core("docs", "file"), tokens.core("docs", "shown file")
    (docs / f"{kept}.txt").write_text(tokens.core("docs", "words of a file"))
    (docs / f"{shown}.txt").write_text("for anyone")
    (docs / "about.md").write_text(f"# About\n\n{tokens.core('docs', 'page')} <!-- note -->\n")
    (docs / "care.md").write_text(
        f"---\nfor: [clients, students]\n---\n# Care\n\n{tokens.core('docs', 'shown page')} "
        f"[a list]({shown}.txt) ![on a house](house.jpg)\n"
    )
    (piece,) = (ROOT / "samples" / "SH-012").glob("SH-012_2024-10-22_*")
    taken = datetime(2024, 10, 22, 13, 27, 41)
    (docs / "house.jpg").write_bytes(open_every_door(piece.read_bytes(), taken, "docs", tokens))
    settings = {
        "site_name": f"A library {tokens.core('settings', 'title')}",
        "site_author": tokens.core("settings", "author"),
        "site_description": tokens.core("settings", "description"),
        "repo_url": f"https://example.org/{tokens.core('settings', 'repository')}",
        "theme": {"name": "material", "font": False},
        "nav": [
            {"Home": "index.md"},
            {"The wall": "wall.md"},
            {"Due": "due.md"},
            {f"About {tokens.core('docs', 'title')}": "about.md"},
            {"More": [{"Care": "care.md"}, {"Data": "data.md"}]},
        ],
        "plugins": [
            "search",
            {
                "patinarium": {
                    "default_setup": "zqsetup",
                    "threshold_source": tokens.core("settings", "threshold_source"),
                    "setups": {
                        "zqsetup": {
                            "sheet": "A4",
                            "card": f"{card}.txt",
                            "card_grid": [3, 3],
                            "card_mm": [70, 70],
                        }
                    },
                    "audiences": {"guild": {"like": "students", "show": ["made_by"]}},
                }
            },
        ],
    }
    text = json.dumps(settings, indent=1).replace("zqsetup", tokens.core("settings", "setup"))
    (folder / "mkdocs.yml").write_text(text, encoding="utf-8")
    for note in (folder / "samples").glob("*/sample.yaml"):
        setup = next(iter(tokens.of("setup", "settings")))
        note.write_text(re.sub("zqsetup", setup, note.read_text("utf-8")), encoding="utf-8")
