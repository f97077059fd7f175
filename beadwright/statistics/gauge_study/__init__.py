"""How much of what readings differ by is the measuring itself.

Lives here: the crossed study by analysis of variance and by ranges, the nested study, the study
over weeks.
Read first: beadwright.statistics.gauge_study.crossed.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.gauge_study.by_ranges import RangeStudy, range_study
from beadwright.statistics.gauge_study.components import Component, Row, Term, component
from beadwright.statistics.gauge_study.crossed import CrossedStudy, crossed_study
from beadwright.statistics.gauge_study.nested import NestedStudy, nested_study
from beadwright.statistics.gauge_study.over_time import Level, TimeStudy, study_over_time

__all__ = [
    "Component",
    "CrossedStudy",
    "Level",
    "NestedStudy",
    "RangeStudy",
    "Row",
    "Term",
    "TimeStudy",
    "component",
    "crossed_study",
    "nested_study",
    "range_study",
    "study_over_time",
]
