"""Control charts that know the process: which chart, which limits, which rules, and their price.

Lives here: the chart and its parts (``chart``), factors (``constants``), single values
(``variables``), subgroups (``subgroups``), counts (``attributes``), weighted averages and sums
(``ewma``, ``cusum``), series whose values hang together (``wandering``), small steps that last
(``lasting``), several characteristics at once (``several``), short runs and many streams
(``short_runs``), runs rules (``rules``), run lengths (``run_length``, ``rule_chain``), what few
points cost (``estimated``), which chart to take (``choose``), and thousands at once (``many``).
Read first: beadwright.statistics.charts.chart.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.charts.attributes import (
    counts,
    counts_run_length,
    defectives,
    proportions,
    rates,
)
from beadwright.statistics.charts.autocorrelation import (
    Autocorrelation,
    autocorrelation,
    wandering_run_length,
)
from beadwright.statistics.charts.chart import Baseline, Chart, Kind, LeftOut, Process
from beadwright.statistics.charts.choose import (
    EXPLAINS,
    Choice,
    Design,
    Other,
    Series,
    Stepped,
    chart_of,
    choose,
)
from beadwright.statistics.charts.constants import Factors, factors
from beadwright.statistics.charts.cusum import Cusum, cusum, cusum_for, cusum_run_length
from beadwright.statistics.charts.ewma import (
    Ewma,
    ewma,
    ewma_against,
    ewma_for,
    ewma_run_length,
)
from beadwright.statistics.charts.lasting import BETWEEN, LASTING, LastingStep, lasting_step
from beadwright.statistics.charts.many import ManyCharts, many_individuals
from beadwright.statistics.charts.rule_chain import rule_run_length, rules_for
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
from beadwright.statistics.charts.run_length import RunLength
from beadwright.statistics.charts.series_model import SeriesModel, fitted
from beadwright.statistics.charts.several import Together, t_squared, t_squared_parts, together
from beadwright.statistics.charts.short_runs import Grouped, grouped, self_starting, standardised
from beadwright.statistics.charts.subgroups import means, subgrouped
from beadwright.statistics.charts.variables import individuals
from beadwright.statistics.charts.wandering import wandering

__all__ = [
    "BETWEEN",
    "EXPLAINS",
    "ISO_7870_2",
    "LASTING",
    "LIMITS",
    "NELSON",
    "RULE_SETS",
    "WESTERN_ELECTRIC",
    "Autocorrelation",
    "Baseline",
    "Chart",
    "Choice",
    "Cusum",
    "Design",
    "Ewma",
    "Factors",
    "Grouped",
    "Kind",
    "LastingStep",
    "LeftOut",
    "ManyCharts",
    "Other",
    "Process",
    "Rule",
    "RuleSet",
    "RunLength",
    "Series",
    "SeriesModel",
    "Signal",
    "Stepped",
    "Together",
    "autocorrelation",
    "chart_of",
    "choose",
    "counts",
    "counts_run_length",
    "cusum",
    "cusum_for",
    "cusum_run_length",
    "defectives",
    "ewma",
    "ewma_against",
    "ewma_for",
    "ewma_run_length",
    "factors",
    "fitted",
    "grouped",
    "individuals",
    "lasting_step",
    "many_individuals",
    "means",
    "proportions",
    "rates",
    "rule_run_length",
    "rules_for",
    "self_starting",
    "standardised",
    "subgrouped",
    "t_squared",
    "t_squared_parts",
    "together",
    "wandering",
    "wandering_run_length",
]
