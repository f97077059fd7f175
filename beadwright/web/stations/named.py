"""Which stations there are, and what is keyed at each."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["STATIONS", "Kind", "Station"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One form of a station."""

    name: str
    """Of the kind of form."""
    title: str
    given: tuple[tuple[str, str], ...] = ()
    """Fields that are known at the station."""
    units: tuple[tuple[str, str], ...] = ()
    """Units that its scale shows, whatever a person reads by."""
    of: str = ""
    """Field that the others' proposals go by: it is chosen by a tap before anything is keyed."""


@dataclass(frozen=True, slots=True)
class Station:
    """One station: what is done there, what may hurt there, who may key there."""

    name: str
    title: str
    what: str
    kinds: tuple[Kind, ...]
    """None of a station that has a page of its own."""
    posts: tuple[str, ...]
    """Kinds of step: whoever may post one of them is served the station."""
    caution: str = ""
    machine: str = ""
    """Kind of place of which each has a station of its own, and the field that names it."""


STATIONS = (
    Station(
        "pre-expander",
        "Pre-expander",
        "Cups, bags opened and taken off, silos filled, trouble.",
        (),
        ("expand",),
        machine="expander",
    ),
    Station(
        "press",
        "Press",
        "First pieces, counts, scrap, downtime.",
        (
            Kind("mould_runs", "A count"),
            Kind("mould_open", "A run opened"),
            Kind("first_pieces", "First pieces"),
            Kind("downtime", "Downtime"),
            Kind("mould_close", "A run closed"),
        ),
        ("mould",),
        "Moulding: Foam under pressure can burst; mould and condensate scald. The machine's own"
        " interlocks decide.",
        machine="press",
    ),
    Station(
        "receiving",
        "Receiving",
        "Bulk bags of beads and cartons of ties, as they come.",
        (
            Kind("bead_receipts", "A bulk bag", of="grade"),
            Kind("tie_receipts", "A tie carton", of="grade"),
        ),
        ("receipt",),
    ),
    Station(
        "silos",
        "Silos",
        "Beads moved, silos run or swept empty, weighed; their temperature.",
        (
            Kind("silo_moves", "A silo"),
            Kind("silo_temperatures", "A temperature"),
        ),
        ("move", "ran_empty", "swept_empty"),
        "Silo: Never enter without a confined-space permit.",
    ),
    Station(
        "inspection",
        "Inspection",
        "Blocks weighed, measured and looked at.",
        (Kind("inspections", "An inspection", of="state"),),
        ("inspect",),
        "Fresh blocks give off pentane for days. Do not wrap, load closed or cut with hot wire"
        " before the plant's minimum age.",
    ),
    Station(
        "bench",
        "Laboratory bench",
        "Samples put by, specimens cut, results of tests, mesh samples weighed.",
        (
            Kind("specimens", "A specimen"),
            Kind("results", "A result"),
            Kind("mesh_samples", "A mesh sample", units=(("mass", "g"),)),
            Kind("samples", "A sample put by"),
        ),
        ("sample",),
    ),
    Station(
        "bundling",
        "Bundling",
        "Blocks of a lot put into a bundle.",
        (Kind("bundles", "A bundle"),),
        ("bundle",),
        "Fresh blocks give off pentane for days. Do not wrap, load closed or cut with hot wire"
        " before the plant's minimum age.",
    ),
    Station(
        "dispatch",
        "Dispatch",
        "Bundles that leave the plant.",
        (Kind("shipments", "A shipment"),),
        ("ship",),
        "Fresh blocks give off pentane for days. Do not load closed before the plant's minimum"
        " age.",
    ),
    Station(
        "reclaim",
        "Reclaim",
        "Scrap stripped of its ties, ground, and densified.",
        (Kind("reclaim", "A step of reclaim"),),
        ("strip", "grind", "densify"),
    ),
    Station(
        "stocktake",
        "Stocktake",
        "What is there, held against the books: bags, silos, cartons, blocks, bundles, bins.",
        (Kind("stocktakes", "What was found"),),
        ("stocktake",),
    ),
)
