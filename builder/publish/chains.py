"""What the ledger says of a file, in words: when it came, as what, and whether it is as it was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from builder.publish.words import say_day
from builder.records.ledger import Deed, LedgerEntry
from builder.relate.findings import Look

Chains = Mapping[str, Sequence[LedgerEntry]]

_SAID = {
    Deed.FILED: "filed",
    Deed.NOTED: "noted",
    Deed.MOVED: "moved here",
    Deed.CORRECTED: "put right",
    Deed.REPLACED: "replaced, and why was said,",
}


def tell_chain(chain: Sequence[LedgerEntry]) -> tuple[str, ...]:
    """A line an entry, first to last; nothing where the ledger does not know the file."""
    return tuple(
        f"{_SAID.get(entry.what, entry.what)} {say_day(entry.at.date())}, entry {entry.number}"
        for entry in chain
    )


def tell_photo(look: Look, chains: Chains) -> tuple[str, ...]:
    """The chain of a photograph, and whether its bytes are those that were filed."""
    seen = look.observation
    chain = chains.get(seen.file.path, ())
    if not chain:
        return ("not in the ledger yet",)
    digest = next((e.sha256 for e in reversed(chain) if e.what is not Deed.CORRECTED), "")
    as_it_was = digest == seen.picture.sha256
    return (*tell_chain(chain), "unchanged since" if as_it_was else "changed since it was filed")
