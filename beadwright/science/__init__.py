"""The physics of the plant as pure functions: SI arrays in, SI arrays out, no state.

Lives here: beads, their expansion and ageing, moulding, steam, pentane, foam, fresh concrete, the
finished wall; how far each answer may be trusted (``trust``), and what they share (``constants``).
Read first: beadwright.science.trust, then beadwright.science.beads.
May import: errors, numpy, scipy, CoolProp (inside functions: its import takes seconds); no
Django, no store.
"""

__all__: list[str] = []
