"""A recall: every lot that may hold what is wrong, where it is now, and whom to tell.

Lives here: what one starts from (``starts``), the scope (``scope``), the recall as it is carried
out and timed (``acts``), and its words (``told``).
Read first: beadwright.plant.recall.scope.
May import: what ``plant`` may.
"""

from beadwright.plant.recall.acts import STAGES, Recall, recall, recalls, record_stage
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.starts import Begin, starts
from beadwright.plant.recall.told import RECALL_SAYS, scope_json

__all__ = [
    "RECALL_SAYS",
    "STAGES",
    "Begin",
    "Recall",
    "Scope",
    "recall",
    "recalls",
    "record_stage",
    "scope",
    "scope_json",
    "starts",
]
