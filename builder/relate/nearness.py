"""Which of two sisters is nearer the look that was chosen."""

from __future__ import annotations

from builder.relate.findings import Difference, Nearer


def call_nearer(to_sealed: float, to_bare: float, u: float) -> Nearer:
    """Which is nearer the chosen look, ΔE00 each; called only where they differ by more than u."""
    if abs(to_sealed - to_bare) <= u:
        return Nearer.TOO_CLOSE
    return Nearer.SEALED if to_sealed < to_bare else Nearer.BARE


def say_nearer(
    nearer: Nearer | None,
    to_sealed: Difference | None,
    to_bare: Difference | None,
) -> str:
    """The call in one sentence, with its two numbers."""
    if nearer is None or to_sealed is None or to_bare is None:
        return "Cannot tell yet: the chosen look, or a check at the same age, was not photographed."
    numbers = f"ΔE00 {to_sealed.de00:.1f} sealed, {to_bare.de00:.1f} bare"
    if nearer is Nearer.TOO_CLOSE:
        return f"Too close to call which is nearer the chosen look ({numbers})."
    which = "sealed" if nearer is Nearer.SEALED else "bare"
    return f"The {which} piece is nearer the chosen look ({numbers})."
