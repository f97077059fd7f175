"""What a good block costs: resin, what is overweight, ties, scrap by cause, the press.

Lives here: the moulding steps of a span in parts, their prices, their words.
Read first: beadwright.plant.costs.answer.
May import: what ``plant`` may.
"""

from beadwright.plant.costs.answer import BY, Costs, costs, costs_asked
from beadwright.plant.costs.told import (
    costs_json,
    mix_told,
    money_of,
    prices_told,
    says,
    total_of,
)

__all__ = [
    "BY",
    "Costs",
    "costs",
    "costs_asked",
    "costs_json",
    "mix_told",
    "money_of",
    "prices_told",
    "says",
    "total_of",
]
