"""One photograph, from file to readings: the only place where ``look`` and ``measure`` meet.

An original is opened once; its digest, web sizes, the codes in it, the sheet and what lies on it,
the view of the piece and every reading come from that opening.
"""

from builder.observing.glimpsing import Glimpse, glimpse
from builder.observing.seeing import SEEING, see
from builder.observing.task import Task

__all__ = ["SEEING", "Glimpse", "Task", "glimpse", "see"]
