"""The invented plant: three weeks of a plant that does not exist, written as files.

Lives here: a seeded generator of the very files that import reads, and of truth.json beside them.
Read first: beadwright.demo, the generator's one public function.
May import: units, errors, numpy; nothing that knows a rule.
"""

__all__: list[str] = []
