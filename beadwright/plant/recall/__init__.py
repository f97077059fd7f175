"""A recall: every lot that may hold what is wrong, where it is now, and whom to tell.

Lives here: what one starts from (``starts``), the scope (``scope``), the stages (``stages``), the
recall as it is carried out and timed (``acts``) and as the record has it (``on_record``), whether
its stock is on hold (``held``), and its words (``told``).
Read first: beadwright.plant.recall.scope.
May import: what ``plant`` may.
"""

__all__: list[str] = []
"""No name is given away here: the door's rules import ``stages``, ``held`` and ``on_record``."""
