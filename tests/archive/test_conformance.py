"""Bags of the public conformance suite (LibraryOfCongress/bagit-conformance-suite, public domain,
CC0), made again as code; the comment beside each is its path there. The package bagit judges the
same bags wherever it follows the standard."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest

from tests.archive.bag_folders import (
    V097,
    V10,
    Files,
    digest,
    judge,
    list_files,
    make_files,
    noted,
    said,
    seal,
    write_files,
)

HELLO = {"data/hello.txt": "hello\n"}
README = {"data/README": "This bag has a file.\n"}
DATES = {
    "data/bare-filename": "Fri Feb 26 14:26:03 EST 2016\n",
    "data/text-file.txt": "Fri Feb 26 14:26:16 EST 2016\n",
}
WRONG = "deadbeef" * 8
NFC, NFD = (unicodedata.normalize(form, "data/Núñez") for form in ("NFC", "NFD"))


def with_line(payload: Files, line: str, declaration: str, algorithm: str = "sha256") -> Files:
    """A bag whose manifest has one line more."""
    return seal(
        {
            "bagit.txt": declaration,
            f"manifest-{algorithm}.txt": list_files(payload, algorithm) + line,
            **payload,
        },
        algorithm,
    )


def twice(declaration: str, other: str = "") -> Files:
    line = f"{other or digest(README['data/README'], 'sha256')}  data/README\n"
    return with_line(README, line, declaration)


def changed(path: str) -> Files:
    info = {"bag-info.txt": "Bagging-Date: 2016-02-26\n"}
    files = {**info, "bagit.txt": V097, "manifest-md5.txt": list_files(DATES, "md5"), **DATES}
    sealed = dict(seal(files, "md5"))
    sealed[path] = f"INVALID {sealed[path]!s}"
    return sealed


def without(files: Files, path: str) -> Files:
    return {name: content for name, content in files.items() if name != path}


def is_right_for_bagit(root: Path) -> bool:
    try:
        bagit.Bag(str(root)).validate()
    except bagit.BagError:
        return False
    return True


VALID: dict[str, Files] = {
    "v1.0/valid/basicBag": make_files(HELLO),
    "v0.97/valid/basic-bag": make_files(DATES, V097, "md5"),
    "v0.97/valid/bag-with-space": make_files({"data/test 1.txt": "test1"}, V097, "md5"),
    "v0.97/valid/bag-with-encoded-names": make_files(
        {"data/%7Edir2/dir3/t.txt": "5", "data/%test2.txt": "2", "data/dir1/~test3.txt": "3"},
        V097,
        "md5",
    ),
    "v0.97/valid/bag-in-a-bag": make_files(
        {f"data/bag/{path}": content for path, content in make_files(HELLO).items()}, V097
    ),
    "v0.97/valid/ISO-8859-1-encoded-tag-files": seal(
        {
            "bagit.txt": V097.replace("UTF-8", "ISO-8859-1"),
            "bag-info.txt": "Contact-Name: Núñez\n".encode("iso-8859-1"),
            "manifest-md5.txt": list_files(HELLO, "md5"),
            **HELLO,
        },
        "md5",
    ),
    "v0.97/valid/UTF-16-encoded-tag-files": {
        "bagit.txt": V097.replace("UTF-8", "UTF-16"),
        "manifest-md5.txt": list_files(HELLO, "md5").encode("utf-16"),
        **HELLO,
    },
}

# What is wrong, as it is named; and whether the package bagit sees it.
INVALID: dict[str, tuple[Files, str, bool]] = {
    "v1.0/invalid/bagit-with-invalid-whitespace": (
        make_files(README, "BagIt-Version : 1.0\nTag-File-Character-Encoding : UTF-8\n"),
        "bagit.txt: its two lines",
        False,
    ),
    "v1.0/invalid/notAllManifestsListAllFiles": (
        {**make_files(HELLO), "data/missingFromManifest.txt": "this file should be missing\n"},
        "data/missingFromManifest.txt: added",
        True,
    ),
    "v1.0/invalid/same-filename-listed-twice-with-different-hashes": (
        twice(V10, WRONG),
        "manifest-sha256.txt:2: data/README is listed twice",
        True,
    ),
    "v1.0/invalid/same-filename-listed-twice-with-the-same-hash": (
        twice(V10),
        "manifest-sha256.txt:2: data/README is listed twice",
        True,
    ),
    "v0.97/invalid/baginfo-missing-encoding": (
        make_files(DATES, "BagIt-Version: 0.97\n", "md5"),
        "bagit.txt: its two lines",
        True,
    ),
    "v0.97/invalid/bom-in-bagit.txt": (
        make_files(HELLO, f"\ufeff{V097}", "md5"),
        "bagit.txt: it begins with a byte order mark",
        True,
    ),
    "v0.97/invalid/corrupt-data-file": (
        changed("data/bare-filename"),
        "data/bare-filename: changed: it is not as in manifest-md5.txt",
        True,
    ),
    "v0.97/invalid/corrupt-tag-file": (
        changed("bag-info.txt"),
        "bag-info.txt: changed: it is not as in tagmanifest-md5.txt",
        True,
    ),
    "v0.97/invalid/extra-file-in-bag": (
        {**make_files(HELLO, V097), "data/bar": "more\n"},
        "data/bar: added",
        True,
    ),
    "v0.97/invalid/invalid-version-number": (
        make_files(README, V097.replace("0.97", ".97")),
        "bagit.txt: its two lines",
        True,
    ),
    "v0.97/invalid/missing-baginfo": (
        without(changed("bag-info.txt"), "bag-info.txt"),
        "bag-info.txt: missing: tagmanifest-md5.txt lists it",
        True,
    ),
    "v0.97/invalid/missing-bagit.txt": (
        without(make_files(HELLO, V097), "bagit.txt"),
        "bagit.txt: there is no bagit.txt",
        True,
    ),
    "v0.97/invalid/same-filename-listed-twice-with-different-hashes": (
        twice(V097, WRONG),
        "manifest-sha256.txt:2: data/README is listed twice",
        True,
    ),
    "v0.97/invalid/out-of-scope-file-paths-using-dot-notation": (
        with_line(DATES, f"{WRONG}  ../../../README.md\n", V097),
        "manifest-sha256.txt:3: ../../../README.md is a path that goes up",
        True,
    ),
    "v0.97/invalid/out-of-scope-file-paths-using-dot-notation-for-fetch": (
        {
            **make_files(DATES, V097),
            "fetch.txt": "http://localhost:8989/test3.txt - ../../../README.md\r\n",
        },
        "fetch.txt:1: ../../../README.md is a path that goes up",
        True,
    ),
    "v0.97/linux-only/out-of-scope-file-paths-using-absolute-path": (
        with_line(DATES, f"{WRONG}  /tmp/foo\n", V097),
        "manifest-sha256.txt:3: /tmp/foo is a path from the root",
        True,
    ),
    "v0.97/linux-only/out-of-scope-file-paths-using-shortcut": (
        with_line(DATES, f"{WRONG}  ~/foo\n", V097),
        "manifest-sha256.txt:3: ~/foo is a path into somebody's home",
        True,
    ),
    "v0.97/linux-only/out-of-scope-file-paths-using-shortcut-username": (
        with_line(DATES, f"{WRONG}  ~root/foo\n", V097),
        "manifest-sha256.txt:3: ~root/foo is a path into somebody's home",
        True,
    ),
    "v0.97/windows-only/out-of-scope-file-paths-using-absolute-path": (
        with_line(DATES, f"{WRONG}  C:\\Windows\\System32\\setx.exe\n", V097),
        "manifest-sha256.txt:3: C:\\Windows\\System32\\setx.exe is a backslash",
        True,
    ),
    "v0.97/windows-only/out-of-scope-file-paths-using-unc-for-fetch": (
        {
            **make_files(DATES, V097),
            "fetch.txt": "https://example.org - \\\\?\\UNC\\server\\setx.exe\n",
        },
        "fetch.txt:1: \\\\?\\UNC\\server\\setx.exe is a backslash",
        False,
    ),
}

# What is only said; and whether the package bagit lets it pass where the disk knows both names.
WARNED: dict[str, tuple[Files, str, bool]] = {
    "v0.97/warning/duplicate-file-with-different-case": (
        with_line(HELLO, f"{digest(HELLO['data/hello.txt'])}  data/HELLO.txt\n", V097, "sha512"),
        "data/HELLO.txt and data/hello.txt differ by capitals",
        False,
    ),
    "v0.97/warning/same-filename-listed-twice-with-different-normalization": (
        with_line({NFC: ""}, f"{digest('')}  {NFD}\n", V097, "sha512"),
        "differ by capitals or the form of their letters alone",
        False,
    ),
    "v0.97/warning/same-filename-listed-twice-with-the-same-hash": (
        twice(V097),
        "manifest-sha256.txt:2: data/README is listed twice",
        True,
    ),
    "v0.97/warning/made-with-md5sum-tools": (
        {
            "bagit.txt": V097,
            "manifest-md5.txt": list_files(HELLO, "md5").replace("  ", " *"),
            **HELLO,
        },
        "manifest-md5.txt:1: a path with a star before it",
        True,
    ),
    "v0.97/warning/relative-path": (
        {
            "bagit.txt": V097,
            "manifest-sha512.txt": list_files(HELLO).replace("  ", "  ./"),
            **HELLO,
        },
        "manifest-sha512.txt:1: a path with ./ before it",
        True,
    ),
    "v0.97/warning/special-system-files": (
        make_files({"data/Thumbs.db": "", "data/.DS_Store": ""}, V097),
        "data/Thumbs.db: a file that a computer left there",
        True,
    ),
}


def test_the_suites_basic_bag_has_the_digest_it_publishes() -> None:
    line = str(make_files(HELLO)["manifest-sha512.txt"])
    assert line.startswith("e7c22b99") and line.endswith("bc019629  data/hello.txt\n")


@pytest.mark.parametrize("name", VALID)
def test_a_valid_bag_is_valid(tmp_path: Path, name: str) -> None:
    root = write_files(tmp_path / "bag", VALID[name])
    verdict = judge(root)
    assert verdict.valid, said(verdict)
    assert verdict.notes == []
    assert is_right_for_bagit(root)


@pytest.mark.parametrize("name", INVALID)
def test_an_invalid_bag_is_named_for_what_it_is(tmp_path: Path, name: str) -> None:
    files, found, seen_by_bagit = INVALID[name]
    root = write_files(tmp_path / "bag", files)
    assert found in said(judge(root))
    assert is_right_for_bagit(root) is not seen_by_bagit


@pytest.mark.parametrize("name", WARNED)
def test_what_is_only_odd_is_said(tmp_path: Path, name: str) -> None:
    files, found, let_pass_by_bagit = WARNED[name]
    root = write_files(tmp_path / "bag", files)
    verdict = judge(root)
    assert verdict.valid, said(verdict)
    assert found in noted(verdict)
    assert is_right_for_bagit(root) is let_pass_by_bagit


def edit(change: Callable[[dict[str, str | bytes]], object]) -> Files:
    files = dict(make_files(HELLO))
    del files["tagmanifest-sha512.txt"]
    change(files)
    return files


# RFC 8493, section by section; what the suite has no bag for.
STANDARD: dict[str, tuple[Files, str]] = {
    "2.1.1 the two lines of bagit.txt in their order": (
        make_files(HELLO, "\n".join(reversed(V10.splitlines()))),
        "bagit.txt: its two lines",
    ),
    "2.1.1 no third line": (make_files(HELLO, f"{V10}More: words\n"), "bagit.txt: its two lines"),
    "2.1.1 a version that there is not": (
        make_files(HELLO, V10.replace("1.0", "7.3")),
        "bagit.txt: its version 7.3 is none that is known",
    ),
    "2.1.1 an encoding that there is not": (
        make_files(HELLO, V10.replace("UTF-8", "punycode")),
        "manifest-sha512.txt: the encoding punycode is none",
    ),
    "2.1.1 tag files in another encoding than was said": (
        seal({"bagit.txt": V10, "manifest-sha512.txt": b"\xff\xfe\x00", **HELLO}),
        "manifest-sha512.txt: it is not UTF-8",
    ),
    "2.1.3 a payload manifest at least": (
        edit(lambda files: files.pop("manifest-sha512.txt")),
        "there is no payload manifest",
    ),
    "2.1.3 every payload file in every manifest": (
        edit(lambda files: files.update({"manifest-sha256.txt": ""})),
        "data/hello.txt: manifest-sha256.txt does not list it",
    ),
    "2.1.3 nothing but payload in a payload manifest": (
        edit(lambda files: files.update({"manifest-sha512.txt": f"{digest(V10)}  bagit.txt\n"})),
        "manifest-sha512.txt:1: bagit.txt is not in data/",
    ),
    "2.1.3 a digest of the right length": (
        edit(lambda files: files.update({"manifest-sha512.txt": "abc  data/hello.txt\n"})),
        "manifest-sha512.txt:1: this line is no digest and path",
    ),
    "2.1.3 % is written %25, and hides no dots": (
        with_line(HELLO, f"{WRONG}  data/%2e%2e/%2E%2e/x\n", V10),
        "is a % that hides a dot or a slash",
    ),
    "2.2.1 a tag manifest lists every payload manifest": (
        edit(lambda files: files.update({"tagmanifest-sha512.txt": f"{digest(V10)}  bagit.txt\n"})),
        "tagmanifest-sha512.txt: it does not list manifest-sha512.txt",
    ),
    "2.2.1 and no tag manifest": (
        {
            **make_files(HELLO),
            "tagmanifest-sha256.txt": f"{WRONG}  tagmanifest-sha512.txt\n",
        },
        "tagmanifest-sha256.txt:1: tagmanifest-sha512.txt is a tag manifest itself",
    ),
    "2.2.2 a Payload-Oxum that does not fit": (
        edit(lambda files: files.update({"bag-info.txt": "Payload-Oxum: 7.1\n"})),
        "bag-info.txt: its Payload-Oxum is 7.1, the payload's 6.1",
    ),
    "2.2.2 and one alone": (
        edit(lambda files: files.update({"bag-info.txt": "Payload-Oxum: 6.1\n" * 2})),
        "bag-info.txt: it has more than one Payload-Oxum",
    ),
    "2.2.3 a file that would have to be fetched": (
        {
            **with_line(HELLO, f"{WRONG}  data/away.txt\n", V10),
            "fetch.txt": "https://example.org/a 7 data/away.txt\n",
        },
        "data/away.txt: missing: manifest-sha256.txt lists it; it would have to be fetched",
    ),
    "2.4 a kind of digest that cannot be checked": (
        {"bagit.txt": V10, "manifest-whirl9.txt": f"{WRONG}  data/hello.txt\n", **HELLO},
        "manifest-whirl9.txt: digests of the kind whirl9 cannot be checked here",
    ),
    "5.2 every line of a name twice in another form": (
        with_line({NFC: ""}, f"{digest('', 'sha256')}  {NFD}\n", V10),
        "is listed twice",
    ),
}


@pytest.mark.parametrize("rule", STANDARD)
def test_what_the_standard_asks(tmp_path: Path, rule: str) -> None:
    files, found = STANDARD[rule]
    assert found in said(judge(write_files(tmp_path / "bag", files)))


def test_an_oxum_that_fits_takes_no_digests_place(tmp_path: Path) -> None:
    files = edit(lambda files: files.update({"bag-info.txt": "Payload-Oxum: 6.1\n"}))
    root = write_files(tmp_path / "bag", {**files, "data/hello.txt": "hallo\n"})
    assert said(judge(root)).startswith("data/hello.txt: changed")


def test_only_line_feed_carriage_return_and_per_cent_are_encoded(tmp_path: Path) -> None:
    names = {"data/a%0Ab": "data/a\nb", "data/a%0db": "data/a\rb", "data/100%25": "data/100%"}
    files = {
        "bagit.txt": V10,
        "manifest-sha512.txt": "".join(f"{digest('x')}  {name}\n" for name in names),
        **dict.fromkeys(names.values(), "x"),
    }
    verdict = judge(write_files(tmp_path / "bag", files))
    assert verdict.valid and verdict.notes == [], said(verdict)


def test_a_further_manifest_of_an_unknown_kind_is_only_said(tmp_path: Path) -> None:
    files = edit(lambda files: files.update({"manifest-whirl9.txt": "ab  data/hello.txt\n"}))
    verdict = judge(write_files(tmp_path / "bag", files))
    assert verdict.valid
    assert "manifest-whirl9.txt: digests of the kind whirl9 were not checked" in noted(verdict)


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_any_line_end_will_do(tmp_path: Path, end: str) -> None:
    files = {path: str(c).replace("\n", end) for path, c in make_files({"data/a": "x"}).items()}
    del files["tagmanifest-sha512.txt"]
    assert judge(write_files(tmp_path / "bag", files)).valid
