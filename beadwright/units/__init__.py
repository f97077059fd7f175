"""The one place where a unit is parsed, converted and shown.

No bare number crosses an edge: a text becomes a number by :func:`parse_number`, a number
becomes SI by :func:`to_si`, :func:`to_mg` or, for a whole column, by one :func:`converter`,
and comes back to a person by :func:`show`.

Lives here: the units a person may write (``written``), conversion (``conversion``), the reading
of numbers and headers (``reading``), and showing (``showing``).
Read first: :func:`beadwright.units.conversion.factor`.
May import: errors.
"""

from beadwright.units.conversion import converter, factor, from_mg, from_si, to_mg, to_si
from beadwright.units.reading import parse_number, split_header
from beadwright.units.showing import System, show, shown_unit
from beadwright.units.written import Kind, accepted

__all__ = [
    "Kind",
    "System",
    "accepted",
    "converter",
    "factor",
    "from_mg",
    "from_si",
    "parse_number",
    "show",
    "shown_unit",
    "split_header",
    "to_mg",
    "to_si",
]
