"""The guide's page: every example on it is read as it says."""

import re

import pytest

from builder.read.fields import find_record, list_fields
from builder.read.reference import reference_page, write_value
from builder.read.sidecar import read_sidecar
from builder.read.text_yaml import read_text_yaml
from builder.records.facts import Known
from builder.records.piece import Piece
from builder.records.settings import Limits

PAGE = reference_page()
BLOCKS = re.findall(r"^```yaml\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)


def walk(model=Piece, seen=None):
    seen = set() if seen is None else seen
    if model in seen:
        return
    seen.add(model)
    for name, info in list_fields(model).items():
        yield model, name, info
        if find_record(info):
            yield from walk(find_record(info), seen)


FIELDS = list(walk())


@pytest.mark.parametrize(("model", "name", "info"), FIELDS, ids=lambda part: str(part)[:40])
def test_every_field_and_example_is_on_the_page_and_is_read(model, name, info):
    assert f"| `{name}` | {info.description} |" in PAGE
    for example in info.examples:
        line = f"{name}: {write_value(example)}"
        assert f"`{line}`" in PAGE
        tree = read_text_yaml(line, "page")[0].tree
        assert tree == {name: example}
        required = {"file": "a.jpg"} if "file" in list_fields(model) else {"name": "left"}
        required = {"piece": "SH-001"} if model is Piece else required
        needed = {key: value for key, value in required.items() if key in list_fields(model)}
        read = getattr(model.model_validate(needed | tree), (info.alias and f"{name}_") or name)
        assert getattr(read, "known", Known.GIVEN) is not Known.UNREAD


@pytest.mark.parametrize("block", BLOCKS, ids=range(len(BLOCKS)))
def test_every_sidecar_on_the_page_is_read_without_a_problem(block, tmp_path):
    path = tmp_path / "sample.yaml"
    path.write_text(block, encoding="utf-8")
    number = re.search(r"^piece: (.*)$", block, re.MULTILINE)
    folder = number[1] if number else "SH-001"
    text = block if number else f"piece: SH-001\n{block}"
    path.write_text(text, encoding="utf-8")
    assert read_sidecar(path, "sample.yaml", folder, Limits()).problems == ()


def test_there_are_sidecars_on_the_page():
    assert len(BLOCKS) >= 6


def test_the_page_names_no_file_system_of_ours():
    assert "/root" not in PAGE
    assert "\\" not in PAGE.replace("\\|", "")
