"""A small plant whose people type sheets: the files that the tests of this folder read."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from beadwright.interop.sheets import EmptyRecord, Intake, Known, read

__all__ = ["HEADERS", "PLANT", "Plant", "codes"]

PLANT = """
[plant]
code = "LARKHOLLOW"
name = "Larkhollow Form Works (invented)"
zone = "America/Chicago"
since = 2026-09-01

[people]
KR = { id = "P-01", name = "Kesta Rumlow", role = "operator" }
DS = { id = "P-02", name = "Dorrin Selwick", role = "operator" }
EI = { id = "P-13", name = "Edda Ivesworth", role = "engineer" }

[product.FB6S]
family = "form"
title = "Straight block, 6 in cavity"
cavity = "6 in"
panel = "2.625 in"
shape = "straight"
ties = 6
foam_volume = "65.4 L"
foam_mass = "1.5 kg"
bundle = 20
moisture = { press = "0.04", 24h = "0.01", dry = "0" }

[product.PKC]
family = "packaging"
foam_mass = "0.31 kg"

[grade.F1]
of = "bead"
flame_retardant = "yes"

[grade.PK1]
of = "bead"
flame_retardant = "no"

[grade.T6]
of = "tie"

[approved.FB6S]
revision = "R2"
grades = ["F1", "T6"]

[place.S1]
kind = "silo"
content = true
accepts = ["F1"]
feeds = ["H1"]

[place.S2]
kind = "silo"
content = true

[place.H1]
kind = "hopper"
content = true
feeds = ["FP1"]

[place.FP1]
kind = "press"

[ageing.F1]
min_h = "8"
max_h = "96"

[tolerance.mould]
remainder = "0.03"
remainder_floor = "2 kg"

[limit.FB6S-DENSITY]
product = "FB6S"
characteristic = "density"
bound = "min"
value = "21.6 kg/m3"
statistic = "each"
source = "plant"
evidence = "lot_test"
"""

HEADERS = {
    "bead_receipts": "received,bag,supplier_lot,supplier,grade,mass [lb],by",
    "tie_receipts": "received,carton,supplier_lot,supplier,grade,pieces,unit_mass [lb],by",
    "expansion_runs": "run,started,ended,bag,mass [kg],batches,charge [kg],silo,"
    "prefoam_mass [kg],loss [kg],by",
    "cups": "taken,run,silo,where,mass [g],volume [L],instrument,by",
    "silo_moves": "at,what,from,to,mass [kg],inspected_by,bin,by",
    "mould_runs": "run,started,ended,press,mould,product,from,ties,lot,shots,good,scrap,"
    "foam_per_block [kg],ties_used,scrap_bin,cause,by",
    "inspections": "at,lot,specimen,age,state,mass [kg],length [mm],width [mm],height [mm],"
    "checked,bad_ties,bad_fusion,bad_dimension,bad_surface,rejected,scrap_bin,instrument,by",
    "bundles": "at,bundle,lot,pieces,by",
    "shipments": "at,shipment,receiver,what,pieces,by",
    "reclaim": "at,what,from,to,mass [kg],ties_mass [kg],by",
    "specimens": "at,lot,specimen,length [mm],width [mm],height [mm],diameter [mm],mass [g],by",
    "corrections": "at,sheet,row,field,value,reason,by",
}
"""Headers as this plant writes them, without the column of row ids."""

# What every other sheet builds on: a bag, two cartons, a run into S1, a hopper filled from it.
_GROUND = {
    "bead_receipts": ["1,2026-09-01 08:00,B-1,88-A,Pellmere Resins,F1,882.5,KR"],
    "tie_receipts": ["1,2026-09-01 09:00,C-1,T-7,,T6,1200,0.6,KR"],
    "expansion_runs": ["1,E-1,2026-09-01 10:00,2026-09-01 11:30,B-1,380,32,12,S1,,5.5,DS"],
    "silo_moves": ["1,2026-09-02 06:00,transfer,S1,H1,180,,,DS"],
}


@dataclass
class Plant:
    """Its folder, and the sheets written into it."""

    folder: Path
    settings: str = PLANT
    sheets: dict[str, list[str]] = field(default_factory=dict)
    headers: dict[str, str] = field(default_factory=lambda: dict(HEADERS))
    layouts: dict[str, str] = field(default_factory=dict)

    def ground(self) -> "Plant":
        """Add the sheets that others build on."""
        for kind, rows in _GROUND.items():
            self.add(kind, *rows)
        return self

    def add(self, kind: str, *rows: str) -> "Plant":
        """Add rows, each beginning with its row id."""
        self.sheets.setdefault(kind, []).extend(rows)
        return self

    def write(self) -> Path:
        """Write every file anew."""
        (self.folder / "plant.toml").write_text(self.settings, "utf-8")
        for kind, rows in self.sheets.items():
            text = "\n".join([f"id,{self.headers[kind]}", *rows, ""])
            (self.folder / f"{kind}.csv").write_text(text, "utf-8")
            layout = self.layouts.get(kind) or self.layout(kind)
            (self.folder / f"{kind}.layout.toml").write_text(layout, "utf-8")
        return self.folder

    def layout(self, kind: str) -> str:
        """Layout of a sheet as this plant writes it."""
        columns = [header.partition(" [")[0] for header in self.headers[kind].split(",")]
        named = "\n".join(f'{name} = "{name}"' for name in columns)
        return (
            f'sheet = "{kind}"\nencoding = "utf-8"\ndelimiter = ","\ndecimal = "."\n'
            'dates = "YYYY-MM-DD hh:mm"\nzone = "America/Chicago"\nrow = "id"\n'
            f"[columns]\n{named}\n"
        )

    def read(
        self,
        known: Known | None = None,
        keep: frozenset[str] = frozenset(),
        *,
        only: Sequence[str] = (),
    ) -> Intake:
        """Write and read the folder, or only these kinds of sheets of it."""
        folder = self.write()
        paths = [folder / f"{kind}.csv" for kind in only] if only else [folder]
        return read(paths, EmptyRecord() if known is None else known, keep)


def codes(intake: Intake) -> list[str]:
    """Codes of an intake's faults, in order."""
    return [fault.code for fault in intake.faults]
