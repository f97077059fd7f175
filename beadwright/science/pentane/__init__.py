"""Pentane through the plant: bases, losses, what beads give off, and the air that dilutes it.

Lives here: ``basis`` (two bases as types), ``losses`` (stages, control, a rule's figure),
``emission`` (beads over time), ``vapour`` (limits, dilution, concentrations), ``room`` (the air
of a room over time, and the screen).
Read first: :func:`per_dry_polymer`, then :func:`screen_room` with :data:`CAUTION`.
May import: errors, numpy, science.constants, science.trust, science.ageing.sphere.
"""

from beadwright.science.pentane.basis import (
    PerDryPolymer,
    PerWetBead,
    per_dry_polymer,
    per_wet_bead,
    wet_basis_shortfall,
)
from beadwright.science.pentane.emission import (
    BLOCK_BEAD_RADIUS,
    Beads,
    board_lag,
    content_left,
    emission,
    emission_rate,
)
from beadwright.science.pentane.losses import (
    RULE_CAPTURED,
    RULE_DESTROYED,
    RULE_PER_HUNDRED,
    RULE_SOURCE,
    StageLosses,
    emitted_share,
    per_hundred_raw,
    stage_losses,
)
from beadwright.science.pentane.room import (
    Air,
    Room,
    RoomAir,
    RoomScreen,
    room_air,
    screen_room,
)
from beadwright.science.pentane.vapour import (
    CAUTION,
    STRICTER_LIMIT,
    WIDER_LIMIT,
    DilutionTask,
    LowerLimit,
    dilution_air,
    mg_m3_of,
    ppm_of,
    rounded_up,
    vapour_density,
)

__all__ = [
    "BLOCK_BEAD_RADIUS",
    "CAUTION",
    "RULE_CAPTURED",
    "RULE_DESTROYED",
    "RULE_PER_HUNDRED",
    "RULE_SOURCE",
    "STRICTER_LIMIT",
    "WIDER_LIMIT",
    "Air",
    "Beads",
    "DilutionTask",
    "LowerLimit",
    "PerDryPolymer",
    "PerWetBead",
    "Room",
    "RoomAir",
    "RoomScreen",
    "StageLosses",
    "board_lag",
    "content_left",
    "dilution_air",
    "emission",
    "emission_rate",
    "emitted_share",
    "mg_m3_of",
    "per_dry_polymer",
    "per_hundred_raw",
    "per_wet_bead",
    "ppm_of",
    "room_air",
    "rounded_up",
    "screen_room",
    "stage_losses",
    "vapour_density",
    "wet_basis_shortfall",
]
