"""Control charts that know the process: which chart, which limits, which rules, and their price.

Lives here: the chart and its parts (``chart``), factors (``constants``), measured values
(``variables``), counts (``attributes``), runs rules (``rules``).
Read first: beadwright.statistics.charts.chart.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.charts.attributes import counts, defectives, proportions, rates
from beadwright.statistics.charts.chart import Baseline, Chart, Kind, LeftOut, Process
from beadwright.statistics.charts.constants import Factors, factors
from beadwright.statistics.charts.rules import (
    ISO_7870_2,
    LIMITS,
    NELSON,
    RULE_SETS,
    WESTERN_ELECTRIC,
    Rule,
    RuleSet,
    Signal,
)
from beadwright.statistics.charts.variables import individuals, means, subgrouped

__all__ = [
    "ISO_7870_2",
    "LIMITS",
    "NELSON",
    "RULE_SETS",
    "WESTERN_ELECTRIC",
    "Baseline",
    "Chart",
    "Factors",
    "Kind",
    "LeftOut",
    "Process",
    "Rule",
    "RuleSet",
    "Signal",
    "counts",
    "defectives",
    "factors",
    "individuals",
    "means",
    "proportions",
    "rates",
    "subgrouped",
]
