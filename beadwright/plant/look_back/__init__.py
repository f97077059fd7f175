"""An instrument found wrong today: what it read since it was last good, and what rests on that.

Lives here: the time looked at (``span``), lots judged as read and without the error (``rejudged``),
the answer (``answer``, ``looked``). Read :func:`look_back` first.
"""

from beadwright.plant.look_back.answer import Change, LookBack, LotBack, Standing
from beadwright.plant.look_back.looked import look_back
from beadwright.plant.look_back.span import Span, found_wrong

__all__ = ["Change", "LookBack", "LotBack", "Span", "Standing", "found_wrong", "look_back"]
