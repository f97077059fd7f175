"""A shell's door: the commands, what they print and how they exit.

Lives here: one small function per verb: parse, call one function of a lower floor, show.
Read first: beadwright.cli.main.
May import: interop, demo, plant and all below; never a table, never the record.
"""

__all__: list[str] = []
