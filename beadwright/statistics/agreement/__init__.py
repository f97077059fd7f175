"""Whether people with a go/no-go gauge judge alike, and rightly.

Lives here: agreement beyond chance, the study against pieces of known truth, where a gauge turns.
Read first: beadwright.statistics.agreement.judged.
May import: errors, numpy, scipy; no Django, no store.
"""

from beadwright.statistics.agreement.jig import Jig, fit_jig
from beadwright.statistics.agreement.judged import AttributeStudy, Judge, Pair, attribute_study
from beadwright.statistics.agreement.kappa import Kappa, cohen_kappa, fleiss_kappa

__all__ = [
    "AttributeStudy",
    "Jig",
    "Judge",
    "Kappa",
    "Pair",
    "attribute_study",
    "cohen_kappa",
    "fit_jig",
    "fleiss_kappa",
]
