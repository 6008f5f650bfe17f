"""The JSON Schema and the guide's page, made from the vocabulary."""

from pathlib import Path

import pytest
import yaml
from jsonschema import Draft202012Validator

from builder.read.fields import find_record, list_fields
from builder.read.reference import reference_page
from builder.read.schema import render_schema, sidecar_schema
from builder.read.spelling import KEY_SPELLINGS
from builder.records.piece import Piece

HOME = Path(__file__).parents[2]
SIDECARS = sorted((HOME / "samples").glob("*/sample.yaml"))
VALIDATOR = Draft202012Validator(sidecar_schema())


class Typed(yaml.SafeLoader):
    """What an editor sees: YAML's own types, dates as the text they are in JSON."""


Typed.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if not tag.endswith("timestamp")]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def faults(document):
    return [error.message for error in VALIDATOR.iter_errors(document)]


def test_it_is_a_schema():
    Draft202012Validator.check_schema(sidecar_schema())


@pytest.mark.parametrize("path", SIDECARS, ids=lambda path: path.parent.name)
def test_every_sidecar_of_the_demo_is_valid_typed_or_as_text(path):
    text = path.read_text(encoding="utf-8")
    for loader in (Typed, yaml.BaseLoader):
        for document in yaml.load_all(text, Loader=loader):
            assert faults(document) == []


def test_there_are_sidecars_to_look_at():
    assert len(SIDECARS) == 30


WHOLE = {"piece": "SH-001", "metal": "copper", "method": "dip", "started": "2024-10-01"}


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"sealant": "none", "prep": "abrade", "checks": ["2024-10-15"]},
        {"sealant": {"kind": "wax", "coats": 2, "how": "cold"}, "cure": None},
        {"humidity_pct": "unknown", "temperature_c": "not measured", "starred": True},
        {"prep": [{"step": "degrease", "with": "pumice"}], "dry": {"for": "7 d"}},
        {"size_mm": [100, 150, 0.9]},
        {"size_mm": "100 x 150"},
    ],
)
def test_what_the_reader_takes_the_schema_takes(more):
    assert faults({**WHOLE, **more}) == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"metl": "copper"},
        {"metal": ["copper"]},
        {"sealant": {"coat": 2}},
        {"prep": [{"with_": "pumice"}]},
        {"same_as": "SH-002", "change": {"exposre": "7 d"}},
        {"same_as": "SH-002", "change": {"piece": "SH-003"}},
        {"attempt": 0},
    ],
)
def test_what_the_reader_flags_in_keys_and_shapes_the_schema_flags(wrong):
    assert faults({**WHOLE, **wrong})


@pytest.mark.parametrize("missing", ["piece", "metal", "method", "started"])
def test_what_is_required_is_required(missing):
    assert faults({key: value for key, value in WHOLE.items() if key != missing})


def test_a_piece_like_another_needs_no_more_than_that():
    assert faults({"piece": "SH-001", "same_as": "SH-002"}) == []


def test_no_default_is_written_into_the_schema():
    assert '"default"' not in render_schema()


def test_the_files_of_the_guide_are_what_is_made_now():
    hint = "run: python -m builder.read.schema"
    assert (HOME / "docs" / "sidecar.md").read_bytes().decode() == reference_page(), hint
    assert (HOME / "docs" / "sidecar.schema.json").read_bytes().decode() == render_schema(), hint


def test_other_spellings_lead_to_keys_there_are():
    known, waiting = set(), [Piece]
    while waiting:
        for name, info in list_fields(waiting.pop()).items():
            known.add(name)
            record = find_record(info)
            if record:
                waiting.append(record)
    assert set(KEY_SPELLINGS.values()) <= known
    assert not set(KEY_SPELLINGS) & known
