import os

import pytest

from builder.errors import SidecarError
from builder.read.plain_text import decode_plain_text, read_plain_text

LIMIT = 1000


def refuse(path, limit=LIMIT):
    with pytest.raises(SidecarError) as refusal:
        read_plain_text(path, "sample.yaml", limit)
    return str(refusal.value)


def test_a_byte_order_mark_is_passed_over(tmp_path):
    path = tmp_path / "sample.yaml"
    path.write_bytes(b"\xef\xbb\xbfpiece: \xc3\xa9\r\n")
    assert read_plain_text(path, "sample.yaml", LIMIT) == "piece: é\n"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf16_is_called_by_its_name(encoding):
    data = "piece: SH-001".encode(encoding)
    if encoding != "utf-16":
        data = {"utf-16-le": b"\xff\xfe", "utf-16-be": b"\xfe\xff"}[encoding] + data
    with pytest.raises(SidecarError, match="saved as UTF-16; expected UTF-8; save it as UTF-8"):
        decode_plain_text(data, "sample.yaml")


def test_a_byte_that_is_not_utf8_is_told_with_its_line():
    with pytest.raises(SidecarError, match=r"^sample.yaml:3: byte 0xe9 here is not UTF-8"):
        decode_plain_text(b"a: 1\r\nb: 2\r\nc: caf\xe9\r\n", "sample.yaml")


def test_a_sign_that_does_not_print_is_told_with_its_line():
    with pytest.raises(
        SidecarError, match=r"^sample.yaml:2: a sign that does not print \(code 0x00\)"
    ):
        decode_plain_text(b"a: 1\nb: \x00\n", "sample.yaml")


def test_a_file_over_the_limit_is_refused(tmp_path):
    path = tmp_path / "sample.yaml"
    path.write_bytes(b"a: " + b"x" * LIMIT)
    assert "larger than 1000 bytes" in refuse(path)


def test_a_file_that_is_not_there_is_told(tmp_path):
    assert "cannot be opened" in refuse(tmp_path / "sample.yaml")


def test_a_folder_is_no_file(tmp_path):
    assert "this is not a file" in refuse(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes among its files")
def test_a_pipe_is_never_waited_for(tmp_path):
    os.mkfifo(tmp_path / "sample.yaml")
    assert "this is not a file" in refuse(tmp_path / "sample.yaml")
