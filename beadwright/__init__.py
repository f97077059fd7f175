"""The process-and-quality engineer's tool for a plant moulding EPS insulated concrete forms.

Lives here: the floors drawn in docs/map.md, from units and errors up to the doors.
Read first: beadwright.plant.release, which answers the main question: which lots may ship, and why.
May import: nothing; the floors are joined in beadwright.site.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
