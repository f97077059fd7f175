"""What a series of figures says, as pure functions: arrays in, arrays out.

Lives here: control charts, and where a series changed.
Read first: beadwright.statistics.cusum.
May import: units, errors, numpy; no Django, no store.
"""

from beadwright.statistics.change import Change, change
from beadwright.statistics.cusum import Signal, cumulative, first_signal, run_length
from beadwright.statistics.self_starting import scores

__all__ = ["Change", "Signal", "change", "cumulative", "first_signal", "run_length", "scores"]
