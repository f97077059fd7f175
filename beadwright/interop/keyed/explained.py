"""What a field of a form asks for, in one sentence beside it.

Read :func:`explained`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.plant.words import capital
from beadwright.quality.characteristics import CHARACTERISTICS

__all__ = ["explained"]

_ALL: Mapping[str, str] = {
    "received": "When it came.",
    "bag": "The bag, by our code or the supplier's label.",
    "supplier_lot": "The supplier's own lot, as its label says.",
    "supplier": "Who supplied it, as on the papers.",
    "grade": "The grade, as it is set up for this plant.",
    "mass": "The mass, as the scale shows it.",
    "by": "Who did it, by initials.",
    "carton": "A code of our own for the carton.",
    "pieces": "How many pieces, counted.",
    "unit_mass": "What one piece weighs.",
    "run": "The run's code.",
    "started": "When it began.",
    "ended": "When it ended.",
    "batches": "How many batches were expanded.",
    "charge": "The mass of one batch, as set at the machine.",
    "silo": "The silo that is filled.",
    "prefoam_mass": "What came into the silo, where it was weighed.",
    "found_mass": "What is there, weighed; 0 where nothing was found.",
    "found_pieces": "How many are there, counted; 0 where nothing was found.",
    "scale": "The scale it was weighed on.",
    "loss": "Pentane and moisture lost, where it is known.",
    "taken": "When the cup was taken.",
    "where": "Hot at the machine, dried, or at the hopper: three different weights.",
    "volume": "What the cup holds.",
    "instrument": "The instrument it was measured with.",
    "at": "When it happened.",
    "what": "What is done.",
    "from": "The lot or place it comes out of.",
    "to": "The lot or place it goes into.",
    "inspected_by": "Who saw that nothing was left, besides who swept.",
    "bin": "The scrap bin it goes into.",
    "press": "The press.",
    "mould": "The mould in the press.",
    "product": "The product that is moulded.",
    "ties": "The carton that the ties come from.",
    "lot": "The lot, by our code or a label.",
    "shots": "How many times the mould was closed, filled and opened.",
    "good": "Blocks kept.",
    "scrap": "Blocks scrapped.",
    "foam_per_block": "Foam of one block: dry, net of ties.",
    "ties_used": "Ties used, where they were counted.",
    "scrap_bin": "The bin that scrapped blocks go into.",
    "cause": "Why, in your own words.",
    "fusion": "How well the beads fused, at the break.",
    "dimensions": "Whether the piece measures what the drawing says.",
    "code": "Whether the code on the piece is right.",
    "ties_mass": "The mass of the ties that were stripped.",
    "cut": "How it was cut, where it was.",
    "specimen": "The piece's own number.",
    "age": "Time since the piece was moulded.",
    "state": "At the press wet, a day old, or dried: three different weights.",
    "cavity": "The mould's cavity that it comes out of, where it has several.",
    "length": "Length, as measured.",
    "width": "Width, as measured.",
    "height": "Height, as measured.",
    "diameter": "Diameter of a round specimen.",
    "thickness": "Thickness, as measured.",
    "checked": "How many pieces were looked at.",
    "bad_ties": "Of those looked at, pieces with a bad or missing tie.",
    "bad_fusion": "Of those looked at, pieces that fused badly.",
    "bad_dimension": "Of those looked at, pieces out of size.",
    "bad_surface": "Of those looked at, pieces with a bad surface.",
    "rejected": "Pieces put into the scrap bin.",
    "conditioned": "Hours the specimens were conditioned before the test.",
    "method": "The method it was tested by.",
    "mean_temperature": "Mean of the temperatures of the two faces.",
    "temperature_difference": "Between the two faces.",
    "temperature": "Temperature of the room it was conditioned in.",
    "humidity": "Relative humidity of the room it was conditioned in.",
    "exposed": "Time under water, or in the oven or the cold.",
    "exposed_at": "Temperature of that water or oven.",
    "exposed_humidity": "Relative humidity of that oven or room.",
    "cut_at": "Where in the block it lay: panel, how far along and up, core or skin.",
    "sample": "The sample that it was cut from, if one was put by.",
    "fate": "To be cut up for tests, or retained.",
    "conditioning_from": "When it was put into the conditioning room; empty: it was not.",
    "kept_at": "Where it is kept.",
    "bundle": "A code of our own for the bundle.",
    "shipment": "The shipment's number.",
    "receiver": "Who receives it.",
    "trailer": "The trailer: open or closed.",
    "entered": "When it was entered.",
    "number": "The report's own number.",
    "laboratory": "The laboratory that tested it.",
    "products": "The products it is about; * is every one.",
    "characteristic": "What was tested.",
    "specimens": "How many specimens.",
    "result": "The result, with its unit where it has one.",
    "sampled": "The day of sampling.",
    "tested": "The day of the test.",
    "issued": "The day of the report.",
    "expires": "The day it ends, where it says one.",
    "done": "The day of the calibration.",
    "certificate": "The certificate's number.",
    "due": "The day it is due again.",
    "as_found": 'Its error before it was adjusted, with sign and unit: "+2 g".',
    "as_left": 'Its error once it was adjusted, likewise: "+0.1 g".',
    "expander": "The machine that expands.",
    "place": "The machine that stood.",
}

_OF: Mapping[tuple[str, str], str] = {
    ("bead_receipts", "bag"): "A code of our own for the bag.",
    ("expansion_runs", "mass"): "The beads taken out of the bag.",
    ("bag_opened", "mass"): "Where it was weighed; empty: all that the books say it holds.",
    ("bag_off", "mass"): "What is left in the bag, weighed.",
    (
        "silo_filled",
        "mass",
    ): "Beads that went in; empty: batches times charge, else all of the run.",
    ("silo_filled", "started"): "When the filling began; empty: with the run.",
    ("cups", "mass"): "Net mass of the beads in the cup.",
    ("adjustments", "expander"): "The machine that was set anew.",
    ("adjustments", "charge"): "Mass of one batch, as it is set now.",
    ("adjustments", "steaming"): "Steaming of one batch, as it is set now.",
    ("adjustments", "steam"): "Steam pressure above the air, as it is set now.",
    ("adjustments", "why"): "Why it was changed, in your own words.",
    ("silo_temperatures", "taken"): "When it was read.",
    ("silo_temperatures", "silo"): "The silo whose middle it was read in.",
    ("silo_temperatures", "temperature"): "Of the beads in the middle of the silo.",
    ("mesh_samples", "taken"): "When it was weighed.",
    ("mesh_samples", "sample"): "What the bag of mesh is called.",
    ("mesh_samples", "silo"): "Where it hangs.",
    ("mesh_samples", "grade"): "What beads are in it.",
    ("mesh_samples", "age"): "Since its beads left the pre-expander.",
    ("mesh_samples", "mass"): "Its beads, without the mesh, surface dry.",
    ("mesh_samples", "temperature"): "Where it hung; empty: by the silo's probe.",
    ("samples", "sample"): "A code of our own for the sample.",
    ("samples", "lot"): "The lot that it is taken from.",
    ("first_pieces", "mass"): "Whether the piece weighs what it should.",
    ("first_pieces", "ties"): "Whether every tie is there and sits right.",
    ("first_pieces", "fusion"): "Whether the piece fused well.",
    ("inspections", "mass"): "The whole piece, ties and water included.",
    ("mould_runs", "lot"): "The lot that the run's blocks go into.",
    (
        "expansion_open",
        "product",
    ): "The product that the beads are for: it says what a cup should be.",
    ("mould_open", "lot"): "The lot that the run's blocks will go into.",
    ("mould_sources", "from"): "The silo that the run goes on with.",
    ("mould_sources", "ties"): "The carton that the run goes on with.",
    ("mould_sources", "scrap_bin"): "The bin that the run goes on with.",
    ("shipments", "what"): "The bundle or the lot that leaves.",
    ("downtime", "run"): "The run that waited for it.",
    ("calibrations", "result"): "Pass or fail, as the certificate says.",
}


def explained(kind: str, field: str, *, is_time: bool = False) -> str:
    """Say what a field of a kind of form asks for; empty where nobody has said.

    Of the field that says when the entry happened, also what it is where it is left empty.
    """
    found = _OF.get((kind, field)) or _ALL.get(field, "")
    if found and is_time:
        return f"{found.removesuffix('.')}; empty: now."
    if not found and field in CHARACTERISTICS:
        return f"{capital(field.replace('_', ' '))}, as tested."
    return found
