"""Wrong codes make one wait: ten in ten minutes for one name, counted in this process."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable

__all__ = ["Slow", "slow"]

_MOST = 10
_WINDOW_S = 600.0
_NAMES = 1000


class Slow:
    """Counts wrong codes by name; forgets the oldest names where there are very many."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        """Count nothing yet."""
        self._clock = clock
        self._wrong: dict[str, deque[float]] = {}

    def wait(self, named: str) -> int:
        """Seconds until a name may be tried again; 0 where it may now."""
        times = self._wrong.get(named.strip().casefold(), deque())
        now = self._clock()
        while times and now - times[0] > _WINDOW_S:
            times.popleft()
        return 0 if len(times) < _MOST else int(_WINDOW_S - (now - times[0])) + 1

    def wrong(self, named: str) -> None:
        """Count a wrong code."""
        self._wrong.setdefault(named.strip().casefold(), deque(maxlen=_MOST)).append(self._clock())
        while len(self._wrong) > _NAMES:
            del self._wrong[next(iter(self._wrong))]

    def right(self, named: str) -> None:
        """Forget what was wrong before the right one."""
        self._wrong.pop(named.strip().casefold(), None)


slow = Slow()
