"""An instrument found wrong today: what it read since it was last good, and what rests on that.

Lives here: the time looked at (``span``), lots judged as read and without the error (``rejudged``),
the answer (``answer``, ``looked``), each reading (``taken``). Read :func:`look_back` first.
"""

from beadwright.plant.look_back.answer import Change, LookBack, LotBack, Standing
from beadwright.plant.look_back.looked import look_back
from beadwright.plant.look_back.span import Span, found_wrong
from beadwright.plant.look_back.taken import PART, Mark, Taken, taken

__all__ = [
    "PART",
    "Change",
    "LookBack",
    "LotBack",
    "Mark",
    "Span",
    "Standing",
    "Taken",
    "found_wrong",
    "look_back",
    "taken",
]
