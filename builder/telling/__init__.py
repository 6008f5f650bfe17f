"""What is found, told to an audience: what they are not shown is not in what is published.

Everything that is published goes through here, so that no page, table, picture or index can hold
what was kept back: it never had it.
"""

from builder.telling.choosing import choose_audience
from builder.telling.doors import count_lettering, list_doors
from builder.telling.factors import RECIPE_FACTORS, hides
from builder.telling.findings import tell
from builder.telling.hidden import list_hidden
from builder.telling.said import list_shown, say_left_out

__all__ = [
    "RECIPE_FACTORS",
    "choose_audience",
    "count_lettering",
    "hides",
    "list_doors",
    "list_hidden",
    "list_shown",
    "say_left_out",
    "tell",
]
