"""The console script: hands the command line what opens the store."""

from __future__ import annotations

import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives its exit status."""
    from beadwright.cli.called import typed
    from beadwright.cli.main import run
    from beadwright.site.opening import SiteStores

    words = sys.argv[1:] if arguments is None else arguments
    return run(SiteStores(), words, typed(sys.argv[0]))
