"""The kinds of sheets a plant keeps, and what a row of each means.

Lives here: fields, meaning and plausibility of each kind, grouped along the plant.
Read first: :class:`beadwright.interop.sheets.kinds.kind.SheetKind`.
May import: the rest of ``sheets`` below ``intake``.
"""

from collections.abc import Mapping

from beadwright.interop.sheets.cells import Field, Sort
from beadwright.interop.sheets.kinds.adjusting import ADJUSTING
from beadwright.interop.sheets.kinds.ageing import AGEING
from beadwright.interop.sheets.kinds.counting import COUNTING
from beadwright.interop.sheets.kinds.evidence import EVIDENCE
from beadwright.interop.sheets.kinds.expansion import EXPANSION
from beadwright.interop.sheets.kinds.first_pieces import FIRST_PIECES
from beadwright.interop.sheets.kinds.inspection import INSPECTION
from beadwright.interop.sheets.kinds.kind import BY, SheetKind, by_name
from beadwright.interop.sheets.kinds.moulding import MOULDING
from beadwright.interop.sheets.kinds.receipts import RECEIPTS
from beadwright.interop.sheets.kinds.reclaim import RECLAIM
from beadwright.interop.sheets.kinds.results import RESULTS
from beadwright.interop.sheets.kinds.samples import SAMPLES
from beadwright.interop.sheets.kinds.shipping import SHIPPING

__all__ = ["CORRECTIONS", "FIELDS", "KINDS"]

KINDS: Mapping[str, SheetKind] = {
    kind.name: kind
    for group in (
        RECEIPTS,
        EXPANSION,
        ADJUSTING,
        AGEING,
        MOULDING,
        FIRST_PIECES,
        RECLAIM,
        INSPECTION,
        SAMPLES,
        RESULTS,
        SHIPPING,
        COUNTING,
        EVIDENCE,
    )
    for kind in group
}
"""Sheet kinds in the order in which their lots build on each other."""

CORRECTIONS: Mapping[str, Field] = by_name(
    Field("at", Sort.TIME),
    Field("sheet"),
    Field("row"),
    Field("field"),
    Field("value", required=False),
    Field("reason"),
    BY,
)

FIELDS: Mapping[str, Mapping[str, Field]] = {
    **{name: kind.fields for name, kind in KINDS.items()},
    "corrections": CORRECTIONS,
}
"""Fields of every sheet kind, as layouts may name them."""
