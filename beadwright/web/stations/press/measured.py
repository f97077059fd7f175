"""What was weighed, gauged and broken at a press, in words: estimates, each with what it rests on.

Read :func:`measured`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from beadwright.plant.bounds import LimitInForce
from beadwright.plant.press_figures import Cavity, Figures, Gauged
from beadwright.plant.pressing import Pressing
from beadwright.plant.words import number
from beadwright.units import System, show

__all__ = ["Density", "Measured", "measured"]

_SHOWN = 6
_Says = Callable[[int | None], str]


@dataclass(frozen=True, slots=True)
class Density:
    """Dry net foam density of a cavity, or of the block weighed last."""

    label: str
    value: str
    """With its band."""
    unit: str
    why: str
    light: str = ""
    """What it surely lies below, where it does: a dry block of it would be too light."""

    @property
    def warns(self) -> str:
        """Say so of it, and what to do."""
        return f"{self.label}: {self.light}. Weigh another; what is made is judged dry."


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured of the blocks of a run."""

    last: Density | None
    cavities: tuple[Density, ...]
    assumed: str
    """What the density rests on that nobody measured."""
    ties: tuple[str, ...]
    """Asked before a block is called light."""
    cannot: str
    """Why no density is given."""
    weighed: tuple[tuple[str, ...], ...]
    gauged: tuple[tuple[str, ...], ...]
    judged: str
    """When sizes are judged."""
    broken: tuple[tuple[str, ...], ...]
    weighed_columns: tuple[str, ...] = ("when", "block", "cavity", "wet", "dry foam", "asked")
    gauged_columns: tuple[str, ...] = ("when", "size", "cavity", "hot", "after 24 h", "limit then")
    broken_columns: tuple[str, ...] = ("when", "block", "torn through", "limit")

    @property
    def any(self) -> bool:
        """Whether anything was measured."""
        return bool(self.weighed or self.gauged or self.broken or self.ties)


def measured(press: Pressing, system: System, clock: _Says) -> Measured:
    """Give what was measured at a press."""
    found = press.figures
    many = press.mould.cavities > 1
    last = found.weighed[0] if found.weighed else None
    newest = None
    if last is not None:
        where = f", cavity {last.cavity}" if many else ""
        newest = _density(
            f"{last.piece or 'Last block'}{where}, {clock(last.at_ms)}", last.density, last.off,
            (press, system),
        )  # fmt: skip
    return Measured(
        last=newest,
        # Of one block there is no mean to show beside it.
        cavities=tuple(
            _cavity(one, press, system) for one in found.cavities if many or one.count > 1
        ),
        assumed=_assumed(found) if found.weighed else "",
        ties=tuple(_ties(press, system)),
        cannot=found.uncomputable,
        weighed=tuple(_weighed(found, system, clock)),
        gauged=tuple(_sized(one, system, clock) for one in found.gauged[:_SHOWN]),
        judged=_judged(press) if found.gauged else "",
        broken=tuple(_broken(found, clock)),
    )


def _density(label: str, value: float, off: float, told: tuple[Pressing, System]) -> Density:
    press, system = told
    digits = 1 if system == "si" else 2
    text, unit = show(value, "density", system=system, digits=digits).split(" ", 1)
    band = show(off, "density", system=system, digits=digits).split(" ", 1)[0]
    target = press.figures.target
    if target is not None:
        wanted = show(target, "density", system=system, digits=digits).split(" ", 1)[0]
        unit = f"{unit}, target {wanted}"
    light = _light(press.figures, value + off, system)
    return Density(label, f"{text} ± {band}", unit, _why(press, system), light)


def _light(found: Figures, most: float, system: System) -> str:
    """Say that even the upper end of a band lies below what every dry block must have."""
    must = [float(one.value_si) for one in found.least if one.statistic == "each"]
    if not must or most >= max(must):
        return ""
    least = show(max(must), "density", system=system, digits=1 if system == "si" else 3)
    return f"lighter than a dry block may be: at least {least}"


def _cavity(one: Cavity, press: Pressing, system: System) -> Density:
    name = f"Cavity {one.number}" if press.mould.cavities > 1 else "Of this lot"
    label = f"{name}, mean of {one.count}" if one.count > 1 else f"{name}, one block"
    return _density(label, one.mean, one.off, (press, system))


def _why(press: Pressing, system: System) -> str:
    found, product = press.figures, press.product
    parts = ["Wet block, less its ties and its water, over the foam volume that is set."]
    if product is not None and found.ties is not None:
        each = show(found.ties.unit_kg, "mass", system=system, digits=3)
        cartons = ", ".join(code for code, _, _ in found.ties.cartons)
        parts.append(f"{number(product.ties, 'tie')} of {each} (carton {cartons}).")
    least = [f"{one.value} {one.unit}" for one in found.least]
    if least:
        parts.append(f"Limit on dry foam: at least {' and '.join(least)}; dry blocks are judged.")
    parts.append("The band is twice the standard uncertainty; one water share is assumed for all.")
    return " ".join(parts)


def _assumed(found: Figures) -> str:
    if found.water is None:
        return ""
    share = 100 * found.water
    return (
        f"Assumed, not measured: water of {share:g} % of the dry foam at the press"
        f" ({share / 2:g} to {share * 1.5:g} %: common practice, no source)."
        " An estimate that screens; it releases nothing."
    )


def _ties(press: Pressing, system: System) -> Iterator[str]:
    for one in press.figures.questions:
        short = show(one.shortfall_kg, "mass", system=system, digits=2)
        whose = ", ".join(one.pieces) if one.pieces else "Every block"
        verb = "are" if len(one.pieces) > 1 else "is"
        fits = number(one.short, "tie")
        yield (
            f"Tie missing? {whose} {verb} {short} short: that fits {fits}. Count the ties before"
            " the foam is called light."
        )


def _weighed(found: Figures, system: System, clock: _Says) -> Iterator[tuple[str, ...]]:
    digits = 1 if system == "si" else 2
    for one in found.weighed[:_SHOWN]:
        density = show(one.density, "density", system=system, digits=digits)
        asked = "count its ties" if one.ties_asked else ""
        yield (clock(one.at_ms), one.piece, str(one.cavity), one.wet, density, asked)


def _sized(one: Gauged, system: System, clock: _Says) -> tuple[str, ...]:
    digits = 1 if system == "si" else 3
    hot = show(one.hot_m, "length", system=system, digits=digits)
    after = "no offset is set"
    if one.estimate_m is not None:
        after = f"about {show(one.estimate_m, 'length', system=system, digits=digits)}"
        after = f"{after}, outside" if one.outside else after
    limits = ", ".join(map(_bound, one.limits)) or "none set"
    return clock(one.at_ms), one.dimension, str(one.cavity), hot, after, limits


def _bound(limit: LimitInForce) -> str:
    word = {"min": "at least", "max": "at most"}.get(limit.bound, "within")
    return f"{word} {limit.value} {limit.unit}"


def _judged(press: Pressing) -> str:
    later = press.figures.day_old
    so_far = f" {number(later, 'size')} of this lot gauged so until now." if later else ""
    return (
        "Hot size less the mould's offset: an estimate, and no verdict. A block is judged by what"
        f" it measures after 24 h.{so_far}"
    )


def _broken(found: Figures, clock: _Says) -> Iterator[tuple[str, ...]]:
    for one in found.broken[:_SHOWN]:
        limits = ", ".join(map(_bound, one.limits)) or "none set"
        state = f"{100 * one.share:.0f} %{', outside' if one.outside else ''}"
        yield clock(one.at_ms), one.piece, state, limits
