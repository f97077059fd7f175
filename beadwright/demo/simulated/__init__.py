"""The simulated plant: a seeded plant of any length that knows what truly happened.

Lives here: events on a clock, what is truly in each place, and what the people write of it.
Read first: beadwright.demo.simulated.plant, then contents; every figure is in parameters.toml.
May import: science, units, errors, and the writers of the demonstration; nothing that knows a rule.
"""

from beadwright.demo.simulated.parameters import Parameters, load
from beadwright.demo.simulated.plant import Plant, simulate
from beadwright.demo.simulated.writing import Written, write_simulated

__all__ = ["Parameters", "Plant", "Written", "load", "simulate", "write_simulated"]
