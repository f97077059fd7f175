"""Inspection plans of products: what is set, where inspection stands, and what a lot asks.

Lives here: the setting (``setting``), the lots of a product in order with what each came to
(``folded``), where inspection stands (``standing``), what it says of a lot that is assessed
(``bearing``), and its words (``told``).
Read first: beadwright.plant.inspection_plans.standing.
May import: what ``plant`` may.
"""

__all__: list[str] = []
"""No name is given away here: rules of settings import ``setting`` alone."""
