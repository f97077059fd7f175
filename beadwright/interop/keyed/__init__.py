"""What is keyed on a tablet: a form is one row of a sheet kind, and becomes the same drafts.

Lives here: a form's fields, its reading, its posting, its correction, and its likely next values.
Read first: :func:`read`, then :func:`post`.
May import: the sheets, plant and all below; it posts through plant.door.
"""

from beadwright.interop.keyed.anew import anew, goes_by
from beadwright.interop.keyed.correcting import Again, again, correct
from beadwright.interop.keyed.fitting import Offer, Which
from beadwright.interop.keyed.form import Asked, FormField, Keyed, fields_of
from beadwright.interop.keyed.posting import Done, Nonconforming, Stock, may, post, post_all
from beadwright.interop.keyed.reading import offered, read, used
from beadwright.interop.keyed.run_forms import counting
from beadwright.interop.keyed.scan import Match, scanned
from beadwright.interop.keyed.usual import Likely, usual

__all__ = [
    "Again",
    "Asked",
    "Done",
    "FormField",
    "Keyed",
    "Likely",
    "Match",
    "Nonconforming",
    "Offer",
    "Stock",
    "Which",
    "again",
    "anew",
    "correct",
    "counting",
    "fields_of",
    "goes_by",
    "may",
    "offered",
    "post",
    "post_all",
    "read",
    "scanned",
    "used",
    "usual",
]
