"""The invented plant: three weeks of a plant that does not exist, written as files.

Lives here: a seeded generator of the very files that import reads, and of truth.json beside them.
Read first: beadwright.demo.writing, then weeks, which runs the plant, and story, which writes it.
May import: units, errors; nothing that knows a rule.
"""

from beadwright.demo.writing import Summary, write_plant

__all__ = ["Summary", "write_plant"]
