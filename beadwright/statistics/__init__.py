"""What a series of figures says, as pure functions: arrays in, arrays out.

Lives here: sums and scores of a series, which findings are made with; and, imported by their own
names because they load more of scipy: control charts (``charts``), what a number is worth
(``propagation``, ``conformity``, ``tolerance``), one quantity against another (``regression``,
``outliers``), and how good the measuring is (``gauge_study``, ``agreement``, ``interlaboratory``);
how many pieces to look at (``sampling``), how a process sits in its limits (``capability``), when a
change began (``changepoint``), and where defects come from (``defects``).
Read first: beadwright.statistics.charts.chart, or beadwright.statistics.conformity.
May import: units, errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.cusum import Signal, cumulative, first_signal, run_length
from beadwright.statistics.self_starting import scores

__all__ = ["Signal", "cumulative", "first_signal", "run_length", "scores"]
