"""The findings as an audience is told them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from builder.errors import Problem
from builder.read.library import order_number
from builder.records.audiences import KEPT_PRIVATE, Audience
from builder.records.ledger import NO_LEDGER, Ledger
from builder.records.photo import Observation
from builder.records.piece import Entry
from builder.records.settings import Settings
from builder.relate.factors import FACTORS
from builder.relate.failures import name_cause, name_outcome, say_cause, say_failure
from builder.relate.find import compare_all
from builder.relate.findings import (
    Difference,
    Effect,
    Failure,
    Findings,
    Pair,
    Repeats,
    Series,
    Sisters,
    Strand,
    Value,
    Variation,
)
from builder.relate.strands import name_strand
from builder.relate.variation import find_variations
from builder.telling.factors import hides, list_hidden_factors
from builder.telling.hidden import WHOLE, is_shared_whole, list_betraying, list_by_rule, list_hidden
from builder.telling.looks import Teller, name_photos, shows_finish
from builder.telling.pieces import tell_entry

_LOST = ("failure", "stripped", "lost")


def tell(findings: Findings, audience: Audience) -> Findings:
    """The findings without anything that ``audience`` is not shown: values are replaced, pieces,
    photographs and comparisons that would tell them are gone."""
    if audience.everything:
        return replace(findings, audience=audience)
    hidden = list_hidden(findings.library.entries, audience)
    kept = _leave_out(findings, audience, hidden)
    numbers = frozenset(entry.piece.piece for entry in findings.library.entries)
    return _Telling(kept, audience, hidden, numbers).tell()


def _leave_out(
    findings: Findings, audience: Audience, hidden: Mapping[int, frozenset[str]]
) -> Findings:
    """The findings of the pieces that are told of at all, held against each other anew where others
    took part: what is private must not even be counted."""
    there = _list_there(findings, audience, hidden)
    entries = tuple(entry for entry in findings.library.entries if id(entry) in there)
    strands = tuple(
        _without_photographs(strand) if "photographs" in hidden[id(strand.entry)] else strand
        for strand in findings.strands
        if id(strand.entry) in there
    )
    kept = replace(
        findings,
        library=replace(findings.library, entries=entries),
        strands=strands,
        planned=tuple(strand for strand in findings.planned if id(strand.entry) in there),
    )
    same = len(strands) == len(findings.strands) and all(
        one is two for one, two in zip(strands, findings.strands, strict=True)
    )
    return kept if same else compare_all(kept)


def _without_photographs(strand: Strand) -> Strand:
    return replace(
        strand, looks=(), fresh=None, baseline=None, latest=None, seal_cost=None, drifts=(),
        change=None,
    )  # fmt: skip


def _list_there(
    findings: Findings, audience: Audience, hidden: Mapping[int, frozenset[str]]
) -> set[int]:
    """The entries that are told of, by their identity."""
    attempts: dict[str, list[Entry]] = {}
    for entry in findings.library.entries:
        attempts.setdefault(entry.piece.piece, []).append(entry)
    planned = {id(strand.entry) for strand in findings.planned}
    seen = {
        id(strand.entry)
        for strand in findings.strands
        if "photographs" not in hidden[id(strand.entry)]
        and any(shows_finish(look, findings.strays) for look in strand.looks)
    }
    there: set[int] = set()
    for several in attempts.values():
        if any(WHOLE in hidden[id(entry)] for entry in several):
            continue
        last = max(several, key=lambda entry: entry.piece.attempt)
        shared = is_shared_whole(several, audience)
        failed = name_outcome(last) in _LOST and "pieces that failed" in hidden[id(last)]
        if failed and not shared:
            continue
        told = several if "earlier attempts" not in hidden[id(last)] else [last]
        if "planned tests" in hidden[id(last)]:
            told = [entry for entry in told if id(entry) not in planned]
        if not audience.sees("records"):
            told = [entry for entry in told if id(entry) in seen]  # else there is nothing to show
        there |= {id(entry) for entry in told}
    return there


@dataclass
class _Telling:
    """``findings`` of the pieces told of, still as they were written."""

    findings: Findings
    audience: Audience
    hidden: Mapping[int, frozenset[str]]
    numbers: frozenset[str]  # of all pieces, also those that are not told of

    def __post_init__(self) -> None:
        entries = self.findings.library.entries
        self._there = frozenset(entry.piece.piece for entry in entries)
        of_piece = self._hidden_of_pieces()
        self._told = {
            id(entry): tell_entry(
                entry, self.hidden[id(entry)], self.audience, self._there,
                list_betraying(entry, of_piece, self.audience),
            )
            for entry in entries
        }  # fmt: skip
        self._factors = {
            id(entry): list_hidden_factors(entry, self.hidden[id(entry)]) for entry in entries
        }
        self._quiet = self._list_quiet()
        self._secretive = self.numbers - frozenset(self._quiet.values())
        self._tellers = self._make_tellers()
        self._last: dict[str, int] = {}  # attempt told of, by number
        for number, attempt in self._tellers:
            self._last[number] = max(attempt, self._last.get(number, attempt))
        everything = (*self.findings.strands, *self.findings.planned)
        self._strands = {
            id(strand): self._tellers[strand.entry.piece.piece, strand.entry.piece.attempt]
            .tell_strand(strand) for strand in everything
        }  # fmt: skip

    def tell(self) -> Findings:
        found, sees = self.findings, self.audience.sees
        compared, failed = sees("comparisons"), sees("pieces that failed")
        return Findings(
            library=replace(
                found.library,
                root=Path(),
                settings=self._tell_settings(found.library.settings),
                entries=tuple(self._told[id(entry)] for entry in found.library.entries),
                photos=(),
                problems=tuple(filter(self._tells_problem, found.library.problems)),
                ledger=self._tell_ledger(found.library.ledger),
            ),
            today=found.today,
            observations=self._tell_observations(),
            strands=tuple(self._strands[id(strand)] for strand in found.strands),
            sisters=tuple(map(self._tell_sisters, filter(self._tells_both, found.sisters))),
            pairs=tuple(map(self._tell_pair, filter(self._tells_both, found.pairs)))
            if compared else (),
            failures=tuple(map(self._tell_failure, filter(self._tells_outcome, found.failures)))
            if failed else (),
            problems=tuple(filter(self._tells_problem, found.problems)),
            series=tuple(told for one in found.series if (told := self._tell_series(one)))
            if compared else (),
            effects=self._tell_effects() if compared else (),
            repeats=tuple(map(self._tell_repeats, filter(self._tells_repeats, found.repeats)))
            if compared else (),
            singles=tuple(
                replace(one, strand=self._strand(one.strand))
                for one in found.singles
                if not self.hidden[id(one.strand.entry)] & {"outcome", "starred"}
            ) if compared else (),
            variations=self._tell_variations(),
            planned=tuple(self._strands[id(strand)] for strand in found.planned),
            strays=dict.fromkeys(self._paths.values() & found.strays.keys(), ""),
            audience=self.audience,
        )  # fmt: skip

    def _tell_ledger(self, ledger: Ledger) -> Ledger:
        """What it says of the files that are told of, as long as those go by their names."""
        if not (self.audience.sees("ledger") and self.audience.sees("file names")):
            return NO_LEDGER
        told = {entry.file for entry in self._told.values()} | set(self._paths.values())
        chains = ledger.chains()
        kept = {entry.number for file in told & chains.keys() for entry in chains[file]}
        return Ledger(tuple(entry for entry in ledger.entries if entry.number in kept))

    def _hidden_of_pieces(self) -> dict[str, frozenset[str]]:
        """What any attempt at a piece keeps back, by its number."""
        of_piece: dict[str, frozenset[str]] = {}
        for entry in self.findings.library.entries:
            number = entry.piece.piece
            of_piece[number] = of_piece.get(number, frozenset()) | self.hidden[id(entry)]
        return of_piece

    def _make_tellers(self) -> dict[tuple[str, int], Teller]:
        found = self.findings
        of_piece = self._hidden_of_pieces()
        photos = [seen for seen in found.observations if seen.file.piece in of_piece]
        self._paths = paths = name_photos(photos, of_piece)
        gone = self.numbers - self._there
        return {
            (entry.piece.piece, entry.piece.attempt): Teller(
                entry, self._told[id(entry)], self.hidden[id(entry)], self.audience, paths,
                found.strays, gone,
            )
            for entry in found.library.entries
        }  # fmt: skip

    def _tell_observations(self) -> tuple[Observation, ...]:
        shown = {
            look.observation.file.path
            for strand in self.findings.strands
            for look in strand.looks
            if shows_finish(look, self.findings.strays)
        }
        told = []
        for seen in self.findings.observations:
            teller = self._tellers.get((seen.file.piece, seen.file.attempt))
            teller = teller or self._any_teller(seen)
            if teller is None or teller.hides("photographs"):
                continue
            if teller.hides("photographs at work") and seen.file.path not in shown:
                continue
            told.append(teller.tell_observation(seen))
        return tuple(told)

    def _any_teller(self, seen: Observation) -> Teller | None:
        """That of the last attempt at its piece, for a photograph of one that is not told of or
        not written down; where earlier ones are not shown, none."""
        if not self.audience.sees("earlier attempts"):
            return None
        last = self._last.get(seen.file.piece)
        return None if last is None else self._tellers[seen.file.piece, last]

    def _strand(self, strand: Strand) -> Strand:
        return self._strands[id(strand)]

    def _difference(self, difference: Difference | None, of: Strand) -> Difference | None:
        piece = of.entry.piece
        return self._tellers[piece.piece, piece.attempt].tell_difference(difference)

    def _hidden_factors(self, strand: Strand) -> frozenset[str]:
        return self._factors[id(strand.entry)]

    def _has_photographs(self, strand: Strand) -> bool:
        return "photographs" not in self.hidden[id(strand.entry)]

    def _tells_alike(self, strands: tuple[Strand, ...], *factors: str) -> bool:
        """Whether all of them keep back the same things but for ``factors``: else that they are
        equal in the rest would tell what one of them keeps back."""
        kept = {self._hidden_factors(strand) - set(factors) for strand in strands}
        return len(kept) == 1

    def _unrecorded(self, said: tuple[str, ...], strands: tuple[Strand, ...]) -> tuple[str, ...]:
        """What is not recorded, without what one of them keeps back whether it is or not."""
        kept = _list_kept(frozenset(self._told[id(s.entry)].withheld for s in strands))
        return tuple(one for one in said if not f"{one} ".startswith(kept)) if kept else said

    def _tells_outcome(self, failure: Failure) -> bool:
        return "outcome" not in self.hidden[id(failure.entry)]

    def _tells_both(self, one: Sisters | Pair) -> bool:
        if isinstance(one, Pair):
            return self._tells_alike((one.a, one.b), one.factor)
        alike = self._tells_alike((one.sealed, one.bare), "sealant", *one.also_differs)
        return alike and self._has_photographs(one.sealed) and self._has_photographs(one.bare)

    def _tell_sisters(self, one: Sisters) -> Sisters:
        told = replace(
            one,
            sealed=self._strand(one.sealed),
            bare=self._strand(one.bare),
            seal_cost=self._difference(one.seal_cost, one.sealed),
            sealed_drift=self._difference(one.sealed_drift, one.sealed),
            bare_drift=self._difference(one.bare_drift, one.bare),
            unrecorded=self._unrecorded(one.unrecorded, (one.sealed, one.bare)),
        )
        if self.audience.sees("comparisons"):
            return told
        return replace(told, why="", unrecorded=(), also_differs=())

    def _tell_pair(self, pair: Pair) -> Pair:
        told = replace(
            pair,
            a=self._strand(pair.a),
            b=self._strand(pair.b),
            unrecorded=self._unrecorded(pair.unrecorded, (pair.a, pair.b)),
        )
        secret = self._hidden_factors(pair.a) | self._hidden_factors(pair.b)
        if pair.factor in secret:
            told = replace(told, value_a=KEPT_PRIVATE, value_b=KEPT_PRIVATE)
        return told

    def _tell_series(self, series: Series) -> Series | None:
        """The series without pieces whose place in it would tell more than they do; in the order
        of numbers where a value is kept back, since the order of values would tell it."""
        kept = [self._hidden_factors(strand) - {series.factor} for strand in series.strands]
        most = max(kept, key=lambda one: (kept.count(one), -len(one)))
        values = [
            Value(value.words, strands)
            for value in series.values
            if (
                strands := tuple(
                    strand
                    for strand in value.strands
                    if self._hidden_factors(strand) - {series.factor} == most
                )
            )
        ]
        if len(values) < 2:
            return None
        secret = {
            id(strand) for strand in series.strands if series.factor in self._hidden_factors(strand)
        }
        if not secret:
            told = [Value(v.words, tuple(map(self._strand, v.strands))) for v in values]
        else:
            each = [(value.words, strand) for value in values for strand in value.strands]
            each.sort(key=lambda one: (order_number(one[1].entry.piece.piece), name_strand(one[1])))
            told = [
                Value(KEPT_PRIVATE if id(strand) in secret else words, (self._strand(strand),))
                for words, strand in each
            ]
        silent = self._unrecorded(series.unrecorded, series.strands)
        return replace(series, values=tuple(told), unrecorded=silent)

    def _tell_effects(self) -> tuple[Effect, ...]:
        """Effects with a value that is kept back say no more than that there are some, and not in
        the order of values."""
        public, private = [], []
        for effect in self.findings.effects:
            told = replace(effect, strands=tuple(map(self._strand, effect.strands)))
            if any(effect.factor in self._hidden_factors(strand) for strand in effect.strands):
                private.append(
                    replace(
                        told, first=KEPT_PRIVATE, second=KEPT_PRIVATE, shifts=(),
                        words=KEPT_PRIVATE,
                    )
                )  # fmt: skip
            else:
                public.append(told)
        private.sort(key=lambda effect: (list(FACTORS).index(effect.factor), effect.sets,
                                         effect.pieces))  # fmt: skip
        return (*public, *private)

    def _tells_repeats(self, repeats: Repeats) -> bool:
        return self._tells_alike(repeats.strands)

    def _tell_repeats(self, repeats: Repeats) -> Repeats:
        told = replace(
            repeats,
            strands=tuple(map(self._strand, repeats.strands)),
            unrecorded=self._unrecorded(repeats.unrecorded, repeats.strands),
        )
        if all(map(self._has_photographs, repeats.strands)):
            return told
        return replace(
            told, apart=None, from_mean=None, noise=None, spread=None, farthest=None,
            words=KEPT_PRIVATE,
        )  # fmt: skip

    def _tell_variations(self) -> tuple[Variation, ...]:
        """How far finishes vary, by those repeats alone that keep nothing back by themselves."""
        if self.audience.sees("records") or not self.audience.sees("variation"):
            return ()
        told = [
            repeats
            for repeats in filter(self._tells_repeats, self.findings.repeats)
            if not any("variation" in self.hidden[id(s.entry)] for s in repeats.strands)
            and all(map(self._has_photographs, repeats.strands))
        ]
        shown = [s for s in self.findings.strands if "variation" not in self.hidden[id(s.entry)]]
        return tuple(
            replace(one, strand=self._strand(one.strand)) for one in find_variations(shown, told)
        )

    def _tell_failure(self, failure: Failure) -> Failure:
        entry = self._told[id(failure.entry)]
        mine, other = failure.strand, failure.instead
        alike = mine is not None and other is not None and self._tells_alike(
            (mine, other), *failure.differing
        )  # fmt: skip
        return replace(
            failure,
            entry=entry,
            cause=name_cause(entry),
            words=say_failure(entry),
            cause_words=say_cause(entry),
            strand=self._strand(mine) if mine and alike else None,
            instead=self._strand(other) if other and alike else None,
            differing=failure.differing if alike else (),
        )

    def _tell_settings(self, settings: Settings) -> Settings:
        if self.audience.sees("set-ups"):
            return settings
        return replace(settings, default_setup="", setups=(), problems=())

    def _list_quiet(self) -> dict[str, str]:
        """Folders of the pieces that keep nothing back but what none of them tells, with their
        numbers: what is to be put right there may be quoted."""
        usual = list_by_rule(self.audience)
        entries = self.findings.library.entries
        secretive = {e.piece.piece for e in entries if self.hidden[id(e)] - usual}
        return {
            entry.file.rpartition("/")[0]: entry.piece.piece
            for entry in entries
            if entry.piece.piece not in secretive
        }

    def _tells_problem(self, problem: Problem) -> bool:
        """What is to be put right may quote a sidecar, or name another piece: it is told where
        neither keeps anything back."""
        if not self.audience.sees("problems"):
            return False
        if problem.file.rpartition("/")[0] not in self._quiet:
            return False
        said = f"{problem.found} {problem.expected} {problem.remedy}"
        return not any(number in said for number in self._secretive)


@cache  # a library keeps back few combinations of fields
def _list_kept(withheld: frozenset[frozenset[str]]) -> tuple[str, ...]:
    """How what is said of unrecorded factors begins where one of them is ``withheld``."""
    kept = [
        words
        for factor, words in FACTORS.items()
        if any(hides(factor, fields) for fields in withheld)
    ]
    if FACTORS["recipe"] in kept:
        kept.append("some amounts or strengths")
    return tuple(f"{words} " for words in kept)
