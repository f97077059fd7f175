"""Which invented plants the tests of this folder go through.

`./check` takes a few, `./check --long` more. `BEADWRIGHT_SEEDS=FIRST-LAST` takes others instead,
such as seeds that nobody has looked at yet.
"""

from __future__ import annotations

import os
import re
from collections.abc import Sequence

import pytest

__all__ = ["is_long", "seeds"]

_NAME = "BEADWRIGHT_SEEDS"


def is_long(config: pytest.Config) -> bool:
    """Whether there is time: on `--long`, and where seeds were asked for by name."""
    return bool(os.environ.get(_NAME)) or config.getoption("--hypothesis-profile") == "long"


def seeds(config: pytest.Config, few: Sequence[int], many: Sequence[int]) -> Sequence[int]:
    """Give the seeds to test: those asked for, else `few`, and `many` where there is time."""
    asked = os.environ.get(_NAME, "")
    if not asked:
        return many if is_long(config) else few
    match = re.fullmatch(r"([0-9]+)(?:-([0-9]+))?", asked)
    first, last = (int(match[1]), int(match[2] or match[1])) if match else (1, 0)
    if first > last:
        message = f"{_NAME}={asked} is no seed and no span of seeds; write it as 401 or 401-420"
        raise pytest.UsageError(message)
    return range(first, last + 1)
