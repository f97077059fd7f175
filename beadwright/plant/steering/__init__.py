"""When to change a pre-expander, by how much, and when to leave it alone, by its own cups.

Lives here: what its cups and adjustments were, the advice with its price, its words.
Read first: beadwright.plant.steering.answer.
May import: what ``plant`` may, and statistics.steer.
"""

from beadwright.plant.steering.answer import Steering, steering, steering_of
from beadwright.plant.steering.told import STEERING_CAUTION, Said, said, set_as, steering_json

__all__ = [
    "STEERING_CAUTION",
    "Said",
    "Steering",
    "said",
    "set_as",
    "steering",
    "steering_json",
    "steering_of",
]
