"""colour-science, imported in quiet: it warns of the plotting library it can do without."""

from __future__ import annotations

import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour


def full_precision(name: str) -> colour.RGB_Colourspace:
    """An RGB space with the matrix its primaries give, in place of the standard's rounded one."""
    space = colour.RGB_COLOURSPACES[name].copy()
    space.use_derived_transformation_matrices(True)
    return space


__all__ = ["colour", "full_precision"]
