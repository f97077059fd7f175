"""What a reading with its uncertainty says about a limit, what to decide by it, and at what risk.

Lives here: the chance that what was measured conforms, decision rules with and without a guard
band, and the risks that a rule puts on buyer and maker.
Read first: beadwright.statistics.conformity.probability.
May import: errors, numpy, scipy; no Django, no store.

A probability of conformity guides the people of the plant. It goes on no paper that leaves it.
"""

from beadwright.statistics.conformity.decision import (
    Acceptance,
    Decision,
    acceptance_limits,
    guard_band,
    guarded_acceptance,
    simple_acceptance,
)
from beadwright.statistics.conformity.probability import (
    Knowledge,
    Limits,
    conformity_probability,
    lot_mean,
    posterior,
)
from beadwright.statistics.conformity.risk import (
    GammaProcess,
    GlobalRisks,
    NormalProcess,
    Process,
    global_risks,
    guard_for_consumer_risk,
)

__all__ = [
    "Acceptance",
    "Decision",
    "GammaProcess",
    "GlobalRisks",
    "Knowledge",
    "Limits",
    "NormalProcess",
    "Process",
    "acceptance_limits",
    "conformity_probability",
    "global_risks",
    "guard_band",
    "guard_for_consumer_risk",
    "guarded_acceptance",
    "lot_mean",
    "posterior",
    "simple_acceptance",
]
