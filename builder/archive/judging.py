"""Whether a bag is complete and valid, as RFC 8493 (section 3) asks, and what its ledger says.

Versions 0.93 to 0.97 are judged by the same rules, but for what 1.0 made stricter: a file listed
twice with the same digest was let pass, one manifest was enough to list a file, and a % stood for
itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from builder.archive.ledger_check import check_ledger_in_bag
from builder.archive.names import FIRST_STANDARD, Version, find_alike, find_escape, fold
from builder.archive.names import find_stray_per_cent as find_stray
from builder.archive.pouring import pour
from builder.archive.tag_files import (
    DECLARATION,
    FETCH,
    INFO,
    PAYLOAD,
    Declared,
    Listed,
    Manifest,
    TagFileError,
    decode_tags,
    name_manifest,
    read_declaration,
    read_fetch,
    read_info,
    read_lines,
    read_oxum,
)
from builder.archive.trees import Tree
from builder.archive.verdict import ANOTHER_COPY, Verdict

Progress = Callable[[int, int], None]
_MOST_DECLARATION, _MOST_INFO = 1000, 8_000_000
_MOST_MANIFESTS = 20  # two for each kind of digest there ever was
_ASK = "ask its maker for another copy"
_LEFT_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})


def judge_bag(tree: Tree, progress: Progress = lambda done, of: None) -> Verdict:
    """All that is to be said of the bag ``tree``. Every file is read once; nothing is written.
    ``progress`` is called with (done, of) files."""
    judge = _Judge(tree, tree.verdict)
    declared = judge.read_declaration()
    if declared is None:
        return judge.verdict
    manifests = judge.read_manifests(declared)
    if not any(not manifest.of_tags for manifest in manifests):
        judge.verdict.fault(
            "manifest-sha512.txt", "there is no payload manifest", "one at least", _ASK
        )
        return judge.verdict
    wanted = judge.fetched(declared)
    for manifest in manifests:
        judge.check_list(manifest, declared.version, wanted)
    judge.check_covered(manifests, declared.version)
    judge.check_digests(progress)
    judge.check_info(declared)
    check_ledger_in_bag(tree, judge.verdict)
    return judge.verdict


class _Judge:
    """``expected``: for each file, what manifests say of it: (manifest, line, digest)."""

    def __init__(self, tree: Tree, verdict: Verdict) -> None:
        self.tree, self.verdict = tree, verdict
        self.expected: dict[str, list[tuple[Manifest, Listed]]] = {path: [] for path in tree.sizes}
        self._alike: dict[str, list[str]] | None = None

    def read_declaration(self) -> Declared | None:
        if DECLARATION not in self.tree.sizes:
            self.verdict.fault(DECLARATION, "there is no bagit.txt", "a bag's first file")
            return None
        try:
            return read_declaration(self.tree.read(DECLARATION, _MOST_DECLARATION))
        except (TagFileError, OSError) as error:
            self._refuse(DECLARATION, error)
            return None

    def read_manifests(self, declared: Declared) -> list[Manifest]:
        found = []
        named = [empty for path in self.tree.sizes if (empty := name_manifest(path))]
        if len(named) > _MOST_MANIFESTS:
            self.verdict.fault(
                "", f"there are {len(named)} manifests", f"at most {_MOST_MANIFESTS}", _ASK
            )
            return []
        for empty in named:
            try:
                text = decode_tags(self.tree.read(empty.name), declared.encoding)
            except (TagFileError, OSError) as error:
                self._refuse(empty.name, error)
                found.append(empty)
                continue
            found.append(read_lines(empty, text, declared.version))
        known = [m for m in found if m.checkable and not m.of_tags]
        for manifest in found:
            if not manifest.checkable and not known and not manifest.of_tags:
                self.verdict.fault(
                    manifest.name,
                    f"digests of the kind {manifest.algorithm} cannot be checked here",
                    "sha512 or sha256",
                    _ASK,
                )
            elif not manifest.checkable:
                self.verdict.note(
                    manifest.name, f"digests of the kind {manifest.algorithm} were not checked"
                )
        return found

    def fetched(self, declared: Declared) -> frozenset[str]:
        """Paths that the bag wants to have fetched from elsewhere, which is never done here."""
        if FETCH not in self.tree.sizes:
            return frozenset()
        try:
            text = decode_tags(self.tree.read(FETCH), declared.encoding)
            wanted = read_fetch(text, declared.version)
        except (TagFileError, OSError) as error:
            self._refuse(FETCH, error)
            return frozenset()
        for line, path in wanted:
            if reason := find_escape(path) or ("" if path.startswith(PAYLOAD) else "no payload"):
                self.verdict.fault(FETCH, f"{path[:80]} is {reason}", "files in data/", _ASK, line)
        return frozenset(path for _, path in wanted)

    def check_list(self, manifest: Manifest, version: Version, fetched: frozenset[str]) -> None:
        """The lines of a manifest against the files there are."""
        for line, found in manifest.faults:
            self.verdict.fault(manifest.name, found, "digest and path", _ASK, line)
        before: dict[str, Listed] = {}
        for listed in manifest.lines:
            if not self._check_path(manifest, listed, version):
                continue
            path = self._find_file(manifest, listed)
            if listed.path in before or (version >= FIRST_STANDARD and path in before):
                self._say_twice(manifest, listed, before.get(listed.path) or before[path], version)
                continue
            before[listed.path] = listed
            if path:
                before[path] = listed
                self.expected[path].append((manifest, listed))
            else:
                elsewhere = "; it would have to be fetched" if listed.path in fetched else ""
                self.verdict.fault(
                    listed.path,
                    f"missing: {manifest.name} lists it{elsewhere}",
                    "every file listed",
                )
        for group in find_alike(listed.path for listed in manifest.lines):
            self.verdict.note(
                manifest.name,
                f"{' and '.join(group)} differ by capitals or the form of their letters alone",
                "some disks take them for one file",
            )

    def _check_path(self, manifest: Manifest, listed: Listed, version: Version) -> bool:
        stray = find_stray(listed.written)
        reason = find_escape(listed.path)
        if stray and version >= FIRST_STANDARD and "hides" in stray:
            reason = reason or stray
        elif stray and (version >= FIRST_STANDARD or "hides" in stray):
            self.verdict.note(manifest.name, f"{stray}; it is taken for itself", line=listed.line)
        if not reason and listed.path.startswith(PAYLOAD) == manifest.of_tags:
            reason = "no tag file" if manifest.of_tags else "not in data/"
        if not reason and manifest.of_tags and self._is_tag_manifest(listed.path):
            reason = "a tag manifest itself"
        if reason:
            self.verdict.fault(
                manifest.name,
                f"{listed.written[:80]} is {reason}",
                "paths of files in the bag",
                "leave this bag alone, and ask its maker",
                listed.line,
            )
            return False
        if listed.written.startswith("./") or listed.starred:
            sign = "a star" if listed.starred else "./"
            self.verdict.note(manifest.name, f"a path with {sign} before it", line=listed.line)
        return True

    def _is_tag_manifest(self, path: str) -> bool:
        named = name_manifest(path)
        return named is not None and named.of_tags

    def _find_file(self, manifest: Manifest, listed: Listed) -> str:
        """The file of a line; where there is none, the one whose name differs by capitals or the
        form of its letters alone, as disks and zip programs change them. "" for none."""
        if listed.path in self.tree.sizes:
            return listed.path
        if self._alike is None:
            self._alike = {}
            for path in self.tree.sizes:
                self._alike.setdefault(fold(path), []).append(path)
        alike = self._alike.get(fold(listed.path), [])
        if len(alike) != 1:
            return ""
        self.verdict.note(
            manifest.name, f"{listed.path} is called {alike[0]} here", line=listed.line
        )
        return alike[0]

    def _say_twice(
        self, manifest: Manifest, listed: Listed, before: Listed, version: Version
    ) -> None:
        same = listed.digest == before.digest
        found = f"{listed.path} is listed twice, first on line {before.line}"
        if same and version < FIRST_STANDARD:
            self.verdict.note(manifest.name, found, line=listed.line)
        else:
            with_what = "the same digest" if same else "different digests"
            self.verdict.fault(
                manifest.name, f"{found}, with {with_what}", "every file once", _ASK, listed.line
            )

    def check_covered(self, manifests: Iterable[Manifest], version: Version) -> None:
        """That nothing lies in the bag which no manifest lists."""
        of_payload = [manifest for manifest in manifests if not manifest.of_tags]
        of_tags = [manifest for manifest in manifests if manifest.of_tags]
        for path in self.tree.sizes:
            by = {manifest.name for manifest, _ in self.expected[path]}
            if path.startswith(PAYLOAD):
                self._check_payload(path, by, [m.name for m in of_payload], version)
            elif of_tags and not by and not self._is_tag_manifest(path):
                manifest = name_manifest(path)
                if manifest is None or version < FIRST_STANDARD:
                    self.verdict.note(path, "no tag manifest lists it: nobody can tell its changes")
        for tags in of_tags if version >= FIRST_STANDARD else ():
            listed = {line.path for line in tags.lines}
            for manifest in of_payload:
                if manifest.name not in listed:
                    self.verdict.fault(
                        tags.name, f"it does not list {manifest.name}", "every payload manifest"
                    )

    def _check_payload(self, path: str, by: set[str], names: list[str], version: Version) -> None:
        known = path.rpartition("/")[2] in _LEFT_BY_SYSTEMS
        if known and by:
            self.verdict.note(path, "a file that a computer left there was bagged")
        if not by:
            self.verdict.fault(
                path,
                "added: no manifest lists it",
                "files listed alone",
                "this file is left behind by the computer; delete it" if known else "take it out",
            )
        elif version >= FIRST_STANDARD:
            for name in names:
                if name not in by:
                    self.verdict.fault(
                        path, f"{name} does not list it", "every file in every manifest", _ASK
                    )

    def check_digests(self, progress: Progress) -> None:
        """Every file against all that manifests say of it, in one reading."""
        for done, (path, size) in enumerate(self.tree.sizes.items(), start=1):
            said = [(m, line) for m, line in self.expected[path] if m.checkable]
            if not said and not path.startswith(PAYLOAD):
                continue
            algorithms = {"sha256"} | {manifest.algorithm for manifest, _ in said}
            try:
                with self.tree.open(path) as stream:
                    poured = pour(stream, sorted(algorithms))
            except OSError as error:
                self.verdict.fault(
                    path, f"it cannot be read ({error.strerror or error})", "a readable file"
                )
                continue
            self.verdict.digests[path] = poured.digests["sha256"]
            self.verdict.sizes[path] = poured.bytes
            wrong = [m.name for m, line in said if poured.digests[m.algorithm] != line.digest]
            if wrong or poured.bytes != size:
                self.verdict.fault(
                    path,
                    f"changed: it is not as in {' and '.join(wrong) or 'the zip file'}",
                    "the bytes that were bagged",
                )
            progress(done, len(self.tree.sizes))

    def check_info(self, declared: Declared) -> None:
        """``bag-info.txt``, where there is one; Payload-Oxum on top of the digests, never in their
        place."""
        if INFO not in self.tree.sizes:
            return
        try:
            text = decode_tags(self.tree.read(INFO, _MOST_INFO), declared.encoding)
            self.verdict.about = read_info(text)
            told = [v for label, v in self.verdict.about if label.casefold() == "payload-oxum"]
            if len(told) > 1 and declared.version >= FIRST_STANDARD:
                raise TagFileError("it has more than one Payload-Oxum")
            payload = [size for path, size in self.tree.sizes.items() if path.startswith(PAYLOAD)]
            for oxum in told:
                if read_oxum(oxum) != (sum(payload), len(payload)):
                    found = f"{sum(payload)}.{len(payload)}"
                    raise TagFileError(f"its Payload-Oxum is {oxum[:50]}, the payload's {found}")
        except (TagFileError, OSError) as error:
            self._refuse(INFO, error)

    def _refuse(self, path: str, error: Exception) -> None:
        found = f"{error.strerror or error}" if isinstance(error, OSError) else f"{error}"
        self.verdict.fault(path, found, "a tag file as the standard has it", ANOTHER_COPY)
