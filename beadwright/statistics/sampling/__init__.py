"""How many pieces to look at, which ones, and what a lot that passes may still hold.

Lives here: plans for pass and fail (single and double), plans for measured values, the published
plans by code letter, the rules for changing over between them, the curves by which plans are
compared, and the random draw of the pieces.
Read first: beadwright.statistics.sampling.attributes, then ``curves`` and ``words``.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.sampling.attributes import (
    DoublePlan,
    Model,
    SinglePlan,
    acceptance,
    second_sample,
    zero_failures,
)
from beadwright.statistics.sampling.curves import (
    Averages,
    averages,
    outgoing_limit,
    share_accepted_with,
)
from beadwright.statistics.sampling.design import TwoPoints, design_double, design_single
from beadwright.statistics.sampling.published import (
    Level,
    PublishedPlan,
    Scheme,
    Severity,
    code_letter,
    published_plan,
)
from beadwright.statistics.sampling.selection import Selection, select
from beadwright.statistics.sampling.switching import LotResult, Moved, SwitchingState, after_lot
from beadwright.statistics.sampling.variables import (
    VariablesJudged,
    VariablesPlan,
    accepts,
    design_variables,
    share_beyond,
    variables_acceptance,
)
from beadwright.statistics.sampling.words import plan_words

__all__ = [
    "Averages",
    "DoublePlan",
    "Level",
    "LotResult",
    "Model",
    "Moved",
    "PublishedPlan",
    "Scheme",
    "Selection",
    "Severity",
    "SinglePlan",
    "SwitchingState",
    "TwoPoints",
    "VariablesJudged",
    "VariablesPlan",
    "acceptance",
    "accepts",
    "after_lot",
    "averages",
    "code_letter",
    "design_double",
    "design_single",
    "design_variables",
    "outgoing_limit",
    "plan_words",
    "published_plan",
    "second_sample",
    "select",
    "share_accepted_with",
    "share_beyond",
    "variables_acceptance",
    "zero_failures",
]
