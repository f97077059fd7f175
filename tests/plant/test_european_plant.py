"""A plant in Europe and one in the United States: one lot typed by two hands, judged alike.

The shift of ``tests/interop/two_hands`` is typed in kilograms, millimetres and decimal commas, and
in pounds, inches and points. To it come three blocks a day old and cut specimens. A block of
65.4 L at 23.0 kg/m3, with 1 % of water and six ties of 0.272155 kg, weighs 3.152172 kg.
"""

import json
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.cli.shell import Shell
from tests.interop.plant import PLANT

pytestmark = pytest.mark.django_db

SHEETS = Path(__file__).parents[1] / "interop" / "two_hands"

EUROPE = """
[standard.FB6S]
standard = "EN 13163"
edition = "2012"
type = "EPS 100"
classes = ["DS(70,-)1", "WL(T)5", "TR150"]
characteristics = ["compressive_stress_10", "bending_strength", "tension_across_faces",
  "dimensional_stability_normal", "dimensional_stability_70c", "water_absorption_28d"]

[limit.ROHDICHTE]
product = "FB6S"
characteristic = "density"
bound = "min"
value = "22.0 kg/m3"
statistic = "mean"
specimens = 3
source = "plant"

[limit.LAENGE]
product = "FB6S"
characteristic = "length"
bound = "max"
value = "1221 mm"
statistic = "each"
source = "plant"
"""

GERMAN_RESULTS = """sheet = "results"
encoding = "cp1252"
delimiter = ";"
decimal = ","
thousands = "."
dates = "DD.MM.YYYY hh:mm"
zone = "Europe/Berlin"
row = "Nr."
[columns]
at = "Zeit"
lot = "Los"
specimen = "Probe"
compressive_stress_10 = "Druck"
bending_strength = "Biegung"
tension_across_faces = "Zug"
dimensional_stability_normal = "Maß 23"
dimensional_stability_70c = "Maß 70"
water_absorption_28d = "Wasser"
"""
GERMAN_HEADER = (
    "Nr.;Zeit;Los;Probe;Druck [kPa];Biegung [kPa];Zug [kPa];Maß 23 [%];Maß 70 [%];Wasser [Vol%]"
)
GOOD = "1;05.09.2026 10:00;L-1;P1;104,5;162;171,0;-0,12;-0,85;2,4"

BLOCKS = (
    "2;03.09.2026 17:00;L-1;11;1.500;24h;3,152172;1.220,2;28,575;406,4;;;;;KR",
    "3;03.09.2026 17:01;L-1;12;1.500;24h;3,152172;1.219,8;28,575;406,4;;;;;KR",
    "4;03.09.2026 17:02;L-1;13;1.500;24h;3,152172;1.220,0;28,575;406,4;;;;;KR",
)


def german(folder: Path, *, result: str = GOOD, more: str = "") -> Path:
    """The shift as typed in Europe, with blocks and results of lot L-1."""
    shutil.copytree(SHEETS / "german", folder)
    settings = PLANT.replace("America/Chicago", "Europe/Berlin")
    settings = settings[: settings.index("[limit.FB6S-DENSITY]")]
    (folder / "plant.toml").write_text(settings + (more or EUROPE), "utf-8")
    _append(folder / "inspections.csv", *BLOCKS)
    (folder / "results.layout.toml").write_text(GERMAN_RESULTS, "utf-8")
    header = GERMAN_HEADER.replace("Vol%", "vol%")
    (folder / "results.csv").write_text(f"{header}\n{result}\n", "cp1252")
    return folder


def _append(file: Path, *rows: str) -> None:
    encoding = "utf-8" if file.parent.name.startswith("american") else "cp1252"
    with file.open("a", encoding=encoding, newline="") as sheet:
        sheet.writelines(f"{row}\n" for row in rows)


def assessed(folder: Path) -> Any:
    """What the assessment says of L-1 once the folder is imported."""
    shell = Shell.here()
    told = shell("import", str(folder))
    assert told.status == 0, told.out + told.err
    return json.loads(shell("--plant", "LARKHOLLOW", "assess", "L-1", "--json").out)["lots"][0]


def test_a_european_lot_that_meets_its_classes_may_ship(tmp_path: Path) -> None:
    """Every class is met, in kPa, per cent, kg/m3 and mm as typed with a comma."""
    lot = assessed(german(tmp_path / "german"))

    found = {one["characteristic"]: one for one in lot["limits"]}
    assert lot["answer"] == "may_ship", lot["reasons"]
    assert {one["finding"] for one in lot["limits"]} == {"met"}
    assert found["compressive_stress_10"]["value"] == "104.5 kPa"
    assert found["dimensional_stability_70c"]["value"] == "-0.8 %"
    assert found["density"]["value"] == "23.00 kg/m3"
    assert found["length"]["value"] == "1220.2 mm"
    assert found["tension_across_faces"]["says"].endswith("type TR150")
    assert found["tension_across_faces"]["standard"] == "EN 13163"
    assert any(one["code"] == "unverified_limit" for one in lot["reasons"])


@pytest.mark.parametrize(
    ("good", "bad", "says"),
    [
        ("104,5", "99,9", "compressive stress 10 99.9 kPa"),
        (";162;", ";149,5;", "bending strength 149.5 kPa"),
        ("171,0", "149,0", "tension across faces 149.0 kPa"),
        ("-0,12", "0,21", "dimensional stability normal 0.21 %"),
        ("-0,85", "-1,1", "dimensional stability 70c -1.1 %"),
        ("2,4", "5,2", "water absorption 28d 5.2"),
    ],
)
def test_each_class_that_is_not_met_stops_the_lot(
    tmp_path: Path, good: str, bad: str, says: str
) -> None:
    """EPS 100, DS(N)2, DS(70,-)1, WL(T)5, TR150, each by itself."""
    lot = assessed(german(tmp_path / "german", result=GOOD.replace(good, bad)))

    assert lot["answer"] == "may_not_ship"
    missed = [one["sentence"] for one in lot["reasons"] if one["code"] == "limit_not_met"]
    assert len(missed) == 1
    assert says in missed[0]


def test_a_class_of_boards_is_no_limit_of_a_form_block(tmp_path: Path) -> None:
    """L(2) is a tolerance of boards: it asks, and does not fall away in silence."""
    more = EUROPE.replace('"TR150"]', '"TR150", "L(2)"]').replace(
        '"water_absorption_28d"]', '"water_absorption_28d", "length"]'
    )
    lot = assessed(german(tmp_path / "german", more=more))

    (reason,) = (one for one in lot["reasons"] if one["code"] == "limit_unusable")
    assert lot["answer"] == "not_enough_evidence"
    assert "asks nothing of length that we carry" in reason["sentence"]


@dataclass(frozen=True)
class Hand:
    """How one hand types the same limits and the same results."""

    name: str
    limits: tuple[tuple[str, str, str], ...]
    """Characteristic, bound, value."""
    header: str
    row: str
    blocks: tuple[str, ...]

    @property
    def settings(self) -> str:
        """The limits as settings of the plant."""
        return "\n".join(
            f'[limit.L{number}]\nproduct = "FB6S"\ncharacteristic = "{name}"\nbound = "{bound}"\n'
            f'value = "{value}"\nstatistic = "each"\nsource = "plant"\n'
            for number, (name, bound, value) in enumerate(self.limits)
        )


# 15 lbf/in2 is 103.421 kPa (1 lbf = 4.4482216152605 N, 1 in = 25.4 mm), 1.35 lb/ft3 is
# 21.6249 kg/m3 (1 lb = 0.45359237 kg, 1 ft = 304.8 mm): one figure each, in two units.
HANDS = (
    Hand(
        "german",
        (("density", "min", "21.6249 kg/m3"), ("length", "max", "1220.216 mm"),
         ("compressive_stress_10", "min", "103.421 kPa")),
        "Nr.;Zeit;Los;Probe;Druck [kPa]",
        "1;05.09.2026 10:00;L-1;P1;{kpa}",
        BLOCKS,
    ),
    Hand(
        "american",
        (("density", "min", "1.35 lb/ft3"), ("length", "max", "48.04 in"),
         ("compressive_stress_10", "min", "15 psi")),
        "no,At,Lot,Piece,Strength [psi]",
        "1,09/05/2026 03:00,L-1,P1,{psi}",
        tuple(
            f"{n},09/03/2026 10:0{n - 2},L-1,{n + 9},25,24h,6.949350,{length},11.25,16,,,,,KR"
            for n, length in ((2, "48.03937"), (3, "48.02362"), (4, "48.03150"))
        ),
    ),
)  # fmt: skip


def typed(folder: Path, hand: Hand, kpa: str, psi: str) -> Path:
    """The shift as one hand typed it, with the same limits in its own units."""
    if hand.name == "german":
        row = hand.row.format(kpa=kpa, psi=psi) + ";;;;;"
        german(folder, result=row, more=hand.settings)
        return folder
    shutil.copytree(SHEETS / "american", folder)
    settings = PLANT[: PLANT.index("[limit.FB6S-DENSITY]")] + hand.settings
    (folder / "plant.toml").write_text(settings, "utf-8")
    _append(folder / "inspections.csv", *hand.blocks)
    (folder / "results.layout.toml").write_text(
        'sheet = "results"\nencoding = "utf-8"\ndelimiter = ","\ndecimal = "."\nthousands = ""\n'
        'dates = "MM/DD/YYYY hh:mm"\nzone = "America/Chicago"\nrow = "no"\n[columns]\nat = "At"\n'
        'lot = "Lot"\nspecimen = "Piece"\ncompressive_stress_10 = "Strength"\n',
        "utf-8",
    )
    text = f"{hand.header}\n{hand.row.format(kpa=kpa, psi=psi)}\n"
    (folder / "results.csv").write_text(text, "utf-8")
    return folder


@pytest.mark.parametrize(
    ("kpa", "psi", "answer"),
    [("104,11", "15.10", "may_ship"), ("102,73", "14.90", "may_not_ship")],
)
@pytest.mark.parametrize("hand", HANDS, ids=lambda hand: hand.name)
def test_two_hands_are_judged_alike(
    tmp_path: Path, hand: Hand, kpa: str, psi: str, answer: str
) -> None:
    """The same blocks and specimens under the same limits: the same answer and figures in SI."""
    lot = assessed(typed(tmp_path / hand.name, hand, kpa, psi))

    assert lot["answer"] == answer
    si = {one["characteristic"]: one["value_si"] for one in lot["limits"]}
    assert si["density"] == pytest.approx(23.0, rel=1e-5)
    assert si["length"] == pytest.approx(1.2202, rel=1e-6)
    assert si["compressive_stress_10"] == pytest.approx(
        float(kpa.replace(",", ".")) * 1000, rel=1e-4
    )
    margins = [one["margin_si"] >= 0 for one in lot["limits"]]
    assert margins.count(False) == (answer == "may_not_ship")
