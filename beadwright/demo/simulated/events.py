"""Events in order of time, whatever they are.

Read :class:`Agenda` first.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

__all__ = ["Agenda"]

_Deed = Callable[[int], None]


@dataclass
class Agenda:
    """What is still to happen; of one minute, what was put down first happens first."""

    now: int = 0
    _heap: list[tuple[int, int, _Deed]] = field(default_factory=list)
    _count: itertools.count[int] = field(default_factory=itertools.count)

    def at(self, minute: int, deed: _Deed) -> None:
        """Put something down for a minute that is not past."""
        heapq.heappush(self._heap, (max(minute, self.now), next(self._count), deed))

    def run(self, until: int) -> None:
        """Let everything before a minute happen."""
        while self._heap and self._heap[0][0] < until:
            self.now, _, deed = heapq.heappop(self._heap)
            deed(self.now)
        self.now = until
