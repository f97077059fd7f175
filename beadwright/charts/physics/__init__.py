"""The pictures of the manual's pages on physics: what each model of `science` says, drawn.

Lives here: one module for each model, with its worked example's figures; ``picture()`` gives the
spec, which :func:`beadwright.charts.curves.draw` draws.
Read first: beadwright.charts.curves.
May import: charts, lab, science, units, errors.
"""

__all__: list[str] = []
"""No name is given away here: a picture is imported from its module."""
