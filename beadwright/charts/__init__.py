"""Pictures: a frozen spec in, SVG text out, with words that say what the picture says.

Lives here: one module for each kind of picture, what they share (``svg``), and the pictures of the
manual's pages on physics (``physics``).
Read first: beadwright.charts.svg.
May import: units, errors; ``physics`` also science, ``control`` also statistics. Knows no plant, no
page and no database: page, paper and file take the same picture.
"""

__all__: list[str] = []
"""No name is given away here: a picture is imported from its module."""
