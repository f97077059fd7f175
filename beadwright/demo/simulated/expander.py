"""The pre-expander: runs of beads into silos, which are topped up and seldom empty.

Read :meth:`Expander.look` first.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.sheets import Cup, Expansion
from beadwright.demo.simulated.goods import Bag, Store
from beadwright.demo.simulated.weighing import Scales, down
from beadwright.demo.simulated.works import DAY, Fault, Works
from beadwright.science.expansion import level_stop_density

__all__ = ["Expander"]

_EVERY = 20
_OPENS, _CLOSES = 5 * 60, 22 * 60
_LEAST_KG = 15.0
_CUP_L = 10.0


@dataclass
class Expander:
    """One pre-expander, with the bag that hangs over it for each kind of bead."""

    works: Works
    store: Store
    scales: Scales
    density: dict[str, float] = field(default_factory=dict)
    """By silo, of what came in last, in kg/m³."""
    filled: dict[str, int] = field(default_factory=dict)
    """By silo, when its last bead came in."""
    uncaught: float = 0.0
    """Kilograms of pentane that went into the air while its capture was down."""
    _open: dict[str, Bag] = field(default_factory=dict)
    _runs: int = 0
    _mistaken: str = ""
    """A bag of the wrong grade that was taken once."""
    _free: int = 0

    def __post_init__(self) -> None:
        """Take its own chance, and begin."""
        self._chance = self.works.chance("expander")
        self.works.agenda.at(_OPENS, self.look)

    def look(self, now: int) -> None:
        """See which silo wants beads, and fill it; then look again."""
        if _OPENS <= now % DAY < _CLOSES - 60 and not self._before_sweep(now) and now >= self._free:
            for kind in ("form", "packaging"):
                self._look(kind, now)
        self.works.agenda.at(now + _EVERY, self.look)

    def _before_sweep(self, now: int) -> bool:
        """Silos run down on the day on which they are swept."""
        return self.works.sweeps(now)

    def _look(self, kind: str, now: int) -> None:
        of = self.works.parameters
        level = {name: self.works.place(name).kg for name in of.names("silos", kind)}
        name = min(level, key=lambda one: (level[one], one))
        if level[name] > of.number("silos", "top_up_below") or now < self._free:
            return
        wish = float(
            self._chance.normal(
                of.number("expansion", "run_kg"), of.number("expansion", "run_spread")
            )
        )
        kg = min(wish, of.number("silos", "capacity") - level[name])
        took = max(20, round(kg / of.number("expansion", "kg_an_hour") * 60))
        self._free = now + took
        self._runs += 1
        self._fill(kind, name, kg, (now, now + took))

    def _bag(self, kind: str, now: int, silo: str) -> Bag:
        wrong = self.works.wrong("wrong_grade", now, silo)
        if wrong is not None and not self._mistaken:
            other = self.store.bag(self.works.parameters.text("bags", "packaging"), now)
            self._mistaken = other.code
            what = f"{other.code} of {other.grade} was expanded into {silo}"
            self.works.happened("wrong_grade", now, silo, what)
            return other
        bag = self._open.get(kind)
        if bag is None or bag.kg < _LEAST_KG:
            of = self.works.parameters
            form, packaging = of.names("bags", "two_grades"), of.text("bags", "packaging")
            grade = str(self._chance.choice(form)) if kind == "form" else packaging
            bag = self._open[kind] = self.store.bag(grade, now)
        return bag

    def _fill(self, kind: str, silo: str, kg: float, hours: tuple[int, int]) -> None:
        """One row for each bag; each ends, in truth as in the sheet, when its row ends."""
        begun, end = hours
        left, at = kg, begun
        while left > _LEAST_KG:
            bag = self._bag(kind, begun, silo)
            mass = down(min(left, bag.kg), 1)
            until = min(end, at + max(4, round((end - begun) * mass / kg)))
            self._row(bag, silo, mass, (at, until))
            left, at = left - mass, until

    def _row(self, bag: Bag, silo: str, mass: float, hours: tuple[int, int]) -> None:
        of, works = self.works.parameters, self.works
        share = self._given_off(bag, hours[0])
        loss = round(mass * bag.pentane / (1 + bag.pentane) * max(0.02, share) + 0.003 * mass, 1)
        bag.kg -= mass
        gained = round(mass - loss, 1)
        charge = self._charge()
        density = float(
            level_stop_density(charge, of.number("expansion", "vessel_m3"), loss / mass)
        )
        steamed = works.wrong("over_steaming", hours[0], "E1")
        if steamed is not None:
            density *= 1 + steamed.size  # beads that shrank lie closer
            what = f"beads were steamed too long: {100 * steamed.size:g} % denser"
            works.happened("over_steaming", hours[0], "E1", what)
        self._give_off(bag, mass, share, hours[1])
        row = Expansion(
            at=hours[0],
            by="KR" if hours[1] % DAY < 14 * 60 else "DS",
            run=f"X-{self._runs:05d}",
            ended=hours[1],
            expander="E1",
            bag=bag.code,
            mass=self.scales.shown("SC-BAG", mass),
            batches=max(1, round(mass / charge)),
            charge=round(charge, 1),
            silo=self._label(silo, hours[1]),
            prefoam_mass=self.scales.shown("SC-E1", gained),
            scale="SC-E1",
            loss=loss,
        )

        def lands(now: int) -> None:
            works.place(silo).put({bag.code: gained})
            self.density[silo], self.filled[silo] = density, now

        works.agenda.at(hours[1], lands)
        self._enter(row)
        self._cup(row, density)

    def _charge(self) -> float:
        """Kilograms of one batch, as the machine weighs it."""
        of = self.works.parameters.number
        charge = of("expansion", "charge_kg")
        charge *= 1 + of("expansion", "charge_drift") * (self._runs % 30)
        return charge * (1 + float(self._chance.normal(0, of("expansion", "batch_spread"))))

    def _given_off(self, bag: Bag, now: int) -> float:
        """The share of its pentane that a bag loses in expansion."""
        of = self.works.parameters.number
        share = of("bags", "lost_in_expansion")
        share += float(self._chance.normal(0, of("bags", "lost_spread")))
        share *= of("bags", "bead_mm") / bag.bead_mm  # small beads give off more
        steamed = self.works.wrong("over_steaming", now, "E1")
        return share * (1.0 if steamed is None else 1.5)  # common practice, no source

    def _enter(self, row: Expansion) -> None:
        """Write the row, unless somebody forgets."""
        of = self.works.parameters
        if float(self._chance.random()) < of.number("people", "forget"):
            what = f"run {row.run} out of {row.bag} was never entered"
            self.works.faults.append(Fault("forgotten_entry", row.ended, row.silo, what))
            return
        self.works.write("expansion_runs", row)
        if float(self._chance.random()) < of.number("people", "late"):
            self.works.entered[row] = row.ended + round(60 * of.number("people", "late_h"))
            what = f"run {row.run} out of {row.bag} was entered late"
            self.works.happened("late_entry", row.ended, row.silo, what)

    def _label(self, silo: str, at: int) -> str:
        """The silo that people write: of two whose labels were swapped, the other."""
        names = self.works.parameters.names("silos", "form")
        for one, other in zip(names, (*names[1:], names[0]), strict=True):
            if silo in (one, other) and self.works.wrong("mixed_labels", at, one) is not None:
                what = f"the labels of {one} and {other} were swapped"
                self.works.happened("mixed_labels", at, one, what)
                return other if silo == one else one
        return silo

    def _give_off(self, bag: Bag, mass: float, share: float, at: int) -> None:
        """What goes into the air where it is not captured."""
        down_ = self.works.wrong("pentane_capture_down", at, "E1")
        if down_ is not None:
            self.uncaught += down_.size * share * mass * bag.pentane / (1 + bag.pentane)
            what = "pentane of the pre-expander was not captured"
            self.works.happened("pentane_capture_down", at, "E1", what)

    def _cup(self, row: Expansion, density: float) -> None:
        spread = self.works.parameters.number("expansion", "cup_spread")
        water = 1.058 + float(self._chance.normal(0, 0.006))
        grams = density * _CUP_L * water * (1 + float(self._chance.normal(0, spread)))
        self.works.write(
            "cups",
            Cup(
                at=row.at + 2,
                by=row.by,
                run=row.run,
                silo=row.silo,
                where="hot",
                mass=round(grams, 1),
                volume=_CUP_L,
                instrument="BAL-1",
            ),
        )
