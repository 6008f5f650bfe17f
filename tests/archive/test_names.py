"""A name in a bag leads into the bag."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.archive.names import (
    FIRST_STANDARD,
    decode_path,
    encode_path,
    find_alike,
    find_escape,
    find_stray_per_cent,
    find_unportable,
)

ESCAPES = (
    "../x",
    "data/../../x",
    "data/..",
    "/etc/passwd",
    "~/x",
    "~root/x",
    "C:/x",
    "c:x",
    "data\\..\\x",
    "\\\\server\\share",
    "data//x",
    "./x",
    "data/.",
    "data/a\x00b",
    "",
)


@pytest.mark.parametrize("path", ESCAPES)
def test_a_path_that_leads_elsewhere_is_told(path: str) -> None:
    assert find_escape(path)


@pytest.mark.parametrize("path", ["data/~x", "data/..x", "data/a b", "data/.x", "data/Ä:1"])
def test_an_odd_name_is_no_escape(path: str) -> None:
    assert find_escape(path) == ""


@given(st.text(max_size=30))
def test_what_is_encoded_is_decoded_to_the_same(path: str) -> None:
    written = encode_path(path)
    assert decode_path(written, FIRST_STANDARD) == path
    assert find_stray_per_cent(written) == ""
    assert not set(written) & {"\n", "\r"}


@pytest.mark.parametrize("written", ["%2e%2e/x", "a%2Fb", "%5Cx", "%25%2e"])
def test_a_hidden_dot_or_slash_is_told(written: str) -> None:
    assert "hides" in find_stray_per_cent(written)


def test_a_per_cent_that_was_encoded_hides_nothing() -> None:
    assert find_stray_per_cent("%252e%252e/x") == ""
    assert decode_path("%252e%252e/x", FIRST_STANDARD) == "%2e%2e/x"


def test_before_the_standard_a_per_cent_stood_for_itself() -> None:
    assert decode_path("data/%25x%0A", (0, 97)) == "data/%25x\n"


def test_names_that_a_disk_may_take_for_one_are_found() -> None:
    names = ["a/Ä.jpg", "a/A\u0308.jpg", "a/ä.jpg", "a/b.jpg", "STRASSE", "straße"]
    assert [len(group) for group in find_alike(names)] == [2, 3]


@pytest.mark.parametrize("path", ["a/con", "a/Aux.jpg", "a:b", "x/y.", "x /y", "q?", "a/\x01"])
def test_a_name_that_windows_cannot_keep_is_told(path: str) -> None:
    assert find_unportable(path)
