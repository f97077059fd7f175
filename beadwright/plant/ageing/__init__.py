"""The silo board's physics: when the beads of every silo are fit to mould, by estimate.

Lives here: what the estimate rests on, line by line (``beads``), its arithmetic (``formulas``),
what a probe and a weighed mesh sample say (``probe``, ``mesh``), every silo beside its signed
hours (``board``), the same in words (``words``) and for a program (``told``).
Read first: :func:`beadwright.plant.ageing.board.ageing_board`. The signed hours decide; the
estimate warns and proposes, and never refuses, holds or releases anything.
"""

from beadwright.plant.ageing.board import (
    AgeingBoard,
    Edge,
    Estimate,
    GradeAgeing,
    SiloAgeing,
    ageing_board,
)
from beadwright.plant.ageing.mesh import Mesh
from beadwright.plant.ageing.words import AGEING_CAUTION, SiloSaid, silo_said

__all__ = [
    "AGEING_CAUTION",
    "AgeingBoard",
    "Edge",
    "Estimate",
    "GradeAgeing",
    "Mesh",
    "SiloAgeing",
    "SiloSaid",
    "ageing_board",
    "silo_said",
]
