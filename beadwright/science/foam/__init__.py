"""What a foam of a density is worth: strength and conductivity, from literature and own tests.

An estimate may say which lot to test first; it never stands for a test.
Read first: beadwright.science.foam.relation.
"""

from beadwright.science.foam.board import REFERENCE_BOARD, reference_board_conductivity
from beadwright.science.foam.conductivity import (
    AnnexLine,
    annex_conductivity,
    conductivity_relation,
)
from beadwright.science.foam.relation import (
    Bead,
    Fitted,
    FoamTests,
    Relation,
    chance_below,
    expected,
    fit_relation,
)
from beadwright.science.foam.strength import (
    COMPRESSIVE,
    FLEXURAL,
    annex_compressive,
    safe_modulus,
)

__all__ = [
    "COMPRESSIVE",
    "FLEXURAL",
    "REFERENCE_BOARD",
    "AnnexLine",
    "Bead",
    "Fitted",
    "FoamTests",
    "Relation",
    "annex_compressive",
    "annex_conductivity",
    "chance_below",
    "conductivity_relation",
    "expected",
    "fit_relation",
    "reference_board_conductivity",
    "safe_modulus",
]
