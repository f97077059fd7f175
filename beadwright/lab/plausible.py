"""Weighed and measured specimens that cannot be: asked about at the door, never changed.

Read first: :func:`doubts`. The density is the judge: a mass and dimensions that give an ordinary
density are not asked about, however they differ from their siblings. What is asked says the
value, why it is doubted, and what one slip of the hand would make of it.
"""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.lab.ordinary import Ordinary, Siblings, shown_density
from beadwright.lab.slips import undone
from beadwright.lab.specimen import Keyed, Specimen, kind_of

__all__ = ["Doubt", "Keyed", "Specimen", "doubts"]

_MOST_ASKED = 2  # more fields out of line than this: another size, so ask about the whole
_TOLD_APART = 0.03  # guesses nearer than this to what is usual are equally good
_AS_LIKELY = 0.015  # two slips whose scores are this close are both named
_ANOTHER_SIZE = 0.10  # of the volume
_OTHER_UNIT = 0.01  # the handicap of a wrong unit, as in slips
_US = {"mass": ("lb", "oz"), "length": ("in", "ft")}
_SI = {"mass": ("kg", "g"), "length": ("mm", "cm")}  # within SI a wrong unit is a power of ten


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question to whoever keyed it: whose, which field and value, why, and what it may be."""

    specimen: str
    field: str
    value: str
    why: str
    perhaps: str = ""


def doubts(
    specimens: Sequence[Specimen],
    nominal: Mapping[str, float] | None = None,
    density_range: tuple[float, float] | None = None,
) -> tuple[Doubt, ...]:
    """Questions about specimens whose mass and dimensions cannot all be right.

    A specimen is compared with its siblings (those with the same dimensions' names) by robust
    medians, with the nominal sizes and with the density range, as far as each is known. It is
    doubted if a number is not above zero; if its density lies more than six robust standard
    deviations (at least 10 %, at most some 40 %) from its siblings' median or outside the range;
    if a size lies more than 10 % from a nominal that was stated; or if exchanging its dimensions,
    and not leaving them, fits the nominal or its siblings.

    Parameters
    ----------
    specimens : sequence of Specimen
        The rows of one product or lot.
    nominal : mapping of str to float, optional
        Expected value by field, in SI; for ``mass`` in kg, for a dimension in m. [m]
    density_range : tuple of two float, optional
        Densities that can be, lowest and highest; decides alone where a specimen has no sibling.
        [kg/m^3]

    Returns
    -------
    doubts : tuple of Doubt
        In the order of the specimens; empty where all is ordinary. The values are texts, in the
        unit in which they were keyed.

    Notes
    -----
    It asks; it neither refuses nor corrects. A wrong value that gives an ordinary density is not
    seen. Two siblings that disagree are both asked about; one without sibling, nominal and range
    is not.

    References
    ----------
    .. [1] Median absolute deviation times 1.4826 as a robust standard deviation: F. R. Hampel,
       "The influence curve and its role in robust estimation", J. Amer. Statist. Assoc. 69
       (1974) 383. [from memory] The widths: [common practice, no source].

    Examples
    --------
    >>> rows = [Specimen(str(i), 7.9, {"a": 0.15, "b": 0.15, "c": 0.149}) for i in range(3)]
    >>> slip = Specimen("4", 8.025, {"a": 0.15, "b": 0.15, "c": 1.148})
    >>> [(each.value, each.perhaps) for each in doubts([*rows, slip])]
    [('1148 mm', '148 mm (one digit too many)')]
    """
    shapes: dict[frozenset[str], list[Specimen]] = defaultdict(list)
    for each in specimens:
        shapes[frozenset(each.dims)].append(each)
    siblings = {shape: Siblings.of(members) for shape, members in shapes.items()}
    found: list[Doubt] = []
    for each in specimens:
        ordinary = siblings[frozenset(each.dims)].ordinary_for(each, nominal or {}, density_range)
        found += _questions(each, ordinary, specimens)
    return tuple(found)


def _questions(
    specimen: Specimen, ordinary: Ordinary, everyone: Sequence[Specimen]
) -> Iterator[Doubt]:
    for name in specimen.impossible:
        shown = str(specimen.as_keyed(name))
        yield Doubt(specimen.name, name, shown, f"{name} {shown} is not above zero.")
    if specimen.impossible:
        return
    exchanged = _exchanged(specimen, ordinary)
    if exchanged:
        yield exchanged
        return
    out = [name for name, value in specimen.values.items() if not ordinary.is_near(name, value)]
    density = specimen.density_kg_m3
    if density is None:
        asked = out
    elif ordinary.is_ordinary(density):
        asked = [name for name in out if name in ordinary.stated]
    elif 0 < len(out) <= _MOST_ASKED:
        asked = out
    else:
        yield _about_the_whole(specimen, ordinary)
        return
    for name in asked:
        yield _about_one(specimen, name, ordinary, everyone, alone=len(asked) == 1)


def _exchanged(specimen: Specimen, ordinary: Ordinary) -> Doubt | None:
    fits = ordinary.is_ordinary(specimen.density_kg_m3)
    for one, other in itertools.combinations(specimen.dims, 2):
        sizes = {one: specimen.dims[other], other: specimen.dims[one]}
        known = ordinary.sizes.keys() >= sizes.keys()
        apart = known and not any(ordinary.is_near(name, specimen.dims[name]) for name in sizes)
        if fits and not apart:
            continue
        after = replace(specimen, dims={**specimen.dims, **sizes})
        home = all(ordinary.is_near(name, value) for name, value in sizes.items())
        if home and ordinary.is_ordinary(after.density_kg_m3):
            shown = {name: str(specimen.as_keyed(name)) for name in sizes}
            why = f"{one} {shown[one]} and {other} {shown[other]} do not fit; exchanged, they do."
            perhaps = f"{one} {shown[other]} and {other} {shown[one]} (exchanged)"
            return Doubt(specimen.name, one, shown[one], why, perhaps)
    return None


def _about_one(
    specimen: Specimen,
    name: str,
    ordinary: Ordinary,
    everyone: Sequence[Specimen],
    *,
    alone: bool,
) -> Doubt:
    shown = str(specimen.as_keyed(name))
    odd = not ordinary.is_ordinary(specimen.density_kg_m3)
    usual = specimen.in_unit(name, ordinary.sizes[name])
    whose = "nominally" if name in ordinary.stated else "for its siblings"
    reasons = [f"{name} {shown}, where {usual} is usual {whose}"]
    if odd:
        reasons.append(ordinary.complaint(specimen.density_kg_m3))
    perhaps = _meant(specimen, name, ordinary, by_density=alone and odd)
    if name == "mass":
        perhaps = "; or ".join(filter(None, (_twin(specimen, everyone), perhaps)))
    return Doubt(specimen.name, name, shown, f"{'; '.join(reasons)}.", perhaps)


def _about_the_whole(specimen: Specimen, ordinary: Ordinary) -> Doubt:
    free = replace(ordinary, sizes={})  # of another size than its siblings, so density decides
    meant = {name: _meant(specimen, name, free, by_density=True) for name in specimen.values}
    likely = [f"{name} {text}" for name, text in meant.items() if text]
    named = [name for name, text in meant.items() if text]
    why = f"{ordinary.complaint(specimen.density_kg_m3)}."
    if len(named) == 1:
        name = named[0]
        return Doubt(specimen.name, name, str(specimen.as_keyed(name)), why, meant[name])
    shown = shown_density(specimen.density_kg_m3 or 0.0)
    return Doubt(specimen.name, "density", shown, why, ", or ".join(likely))


def _meant(specimen: Specimen, name: str, ordinary: Ordinary, *, by_density: bool) -> str:
    """Return the number that the likeliest slip hides, two if they are as likely, or nothing."""
    keyed = specimen.as_keyed(name)
    homes = []
    for guess, slip, handicap in _guesses(keyed, name):
        after = specimen.meaning(name, guess)
        if by_density and not ordinary.is_ordinary(after.density_kg_m3):
            continue
        if ordinary.is_near(name, after.values[name]):
            distance = ordinary.distance(name, after, by_density=by_density)
            score = max(distance - _TOLD_APART, 0.0) + handicap
            homes.append((score, distance, f"{guess} ({slip})", slip))
    best: dict[str, str] = {}
    for score, _, text, slip in sorted(homes):
        if score < min(homes)[0] + _AS_LIKELY:
            best.setdefault(slip, text)
    return " or ".join(list(best.values())[:2])


def _guesses(keyed: Keyed, name: str) -> Iterator[tuple[Keyed, str, float]]:
    for meant in undone(keyed.number):
        yield Keyed(meant.number, keyed.unit), meant.slip, meant.handicap
    kind = kind_of(name)
    for unit in _SI[kind] if keyed.unit in _US[kind] else _US[kind]:
        yield Keyed(keyed.number, unit), f"in {unit}, not {keyed.unit}", _OTHER_UNIT


def _twin(specimen: Specimen, everyone: Sequence[Specimen]) -> str:
    """Return what speaks for a mass carried over from a specimen of another size, if anything."""
    for other in everyone:
        if other.mass_kg != specimen.mass_kg or not _differ(specimen, other):
            continue
        sizes = ", ".join(f"{name} {other.as_keyed(name)}" for name in other.dims)
        moved = [
            f"{specimen.as_keyed(here)}, here the {here}, is the {there} there"
            for here, value in specimen.dims.items()
            for there, its in other.dims.items()
            if value == its and here != there
        ]
        text = f"carried over from {other.name} ({sizes}), which has the same mass"
        return "; ".join([text, *moved])
    return ""


def _differ(one: Specimen, other: Specimen) -> bool:
    """Return whether two specimens of one mass are of another size: their densities differ."""
    densities = one.density_kg_m3, other.density_kg_m3
    if densities[0] is None or densities[1] is None:
        return False
    return not 1 - _ANOTHER_SIZE < densities[0] / densities[1] < 1 / (1 - _ANOTHER_SIZE)
