"""The settings file of the simulated plant: products, grades, places, signed hours, tolerances.

Read :func:`settings_text` first.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from beadwright.demo.clock import SHIFTS
from beadwright.demo.description import BULK_KG_M3, GRADES, PRODUCTS, TIES
from beadwright.demo.physics import PRESS_HOUR, PRICES, TIE_PRICE
from beadwright.demo.simulated.feed import lines_of
from beadwright.demo.simulated.parameters import Parameters
from beadwright.demo.simulated.works import PEOPLE

__all__ = ["settings_text"]

_HOT, _BAND = 1.058, 0.6
"""Water of beads in a cup at the pre-expander, as the simulated one leaves it; and either way of
the target. [1, kg/m3]"""

_STEPS = ("expand", "fill", "strip", "grind", "densify", "mould")
_COUNTS = ("ran_empty", "swept_empty", "stocktake")
_PIECES = ("inspect", "bundle", "ship")


def settings_text(parameters: Parameters) -> str:
    """Return the text of ``plant.toml``."""
    of = parameters.text
    lines = [
        "# A simulated plant: no such works, people, suppliers or receivers exist.",
        "",
        "[plant]",
        f'code = "{of("plant", "code")}"',
        f'name = "{of("plant", "name")}"',
        f'zone = "{of("plant", "zone")}"',
        f"since = {parameters.first.replace(month=1, day=1)}",
        "invented = true",
        'currency = "USD"',
        "",
        "[people]",
        *(
            f'{short} = {{ id = "{id_}", name = "{name}", role = "{role}" }}'
            for short, (id_, name, role) in PEOPLE.items()
        ),
    ]
    for part in (
        _products(parameters),
        _grades(),
        _places(parameters),
        ((f"shift.{name}", [f'from = "{begin}"']) for name, begin in SHIFTS.items()),
        _tolerances(parameters),
    ):
        for heading, body in part:
            lines += ["", f"[{heading}]", *body]
    return "\n".join(lines) + "\n"


_Tables = Iterator[tuple[str, list[str]]]


def _products(parameters: Parameters) -> _Tables:
    presses = parameters.table("press", "presses")
    for name in sorted({name for may in presses.values() for name in may}):
        product = PRODUCTS[name]
        body = [
            f'family = "{"form" if product.is_form else "packaging"}"',
            f'title = "{product.title}"',
            f'shape = "{product.shape}"',
            f"ties = {product.ties}",
            f'foam_volume = "{product.volume_l:.1f} L"',
            f'foam_mass = "{product.foam_kg:.3f} kg"',
            f"bundle = {product.bundle}",
            'moisture = { press = "0.04", 24h = "0.01", dry = "0" }',
        ]
        if product.is_form:
            body += [f'cavity = "{product.cavity_in} in"', 'panel = "2.625 in"']
        yield f"product.{name}", body
        yield f"cup.{name}", [f'hot = "{_HOT * BULK_KG_M3:.1f} kg/m3"', f'band = "{_BAND} kg/m3"']
        form = list(parameters.names("bags", "two_grades"))
        packaging = parameters.text("bags", "packaging")
        grades = [*form, product.tie] if product.is_form else [packaging, *form, *TIES]
        yield f"approved.{name}", ['revision = "R1"', f"grades = {_list(grades)}"]
        cavities = parameters.table("press", "cavities")[name]
        yield f"mould.{product.mould}", [f"cavities = {cavities}"]


def _grades() -> _Tables:
    for grade in GRADES.values():
        body = [
            'of = "bead"',
            f'flame_retardant = "{grade.flame_retardant}"',
            f'bead_class = "{grade.bead_class}"',
            f'price_per_kg = "{PRICES[grade.name]}"',
        ]
        yield f"grade.{grade.name}", body
        yield f"ageing.{grade.name}", ['min_h = "2"', 'max_h = "400"']
    for tie in TIES.values():
        price = f'price_per_kg = "{TIE_PRICE}"'
        yield f"grade.{tie.name}", ['of = "tie"', 'flame_retardant = "n/a"', price]


def _places(parameters: Parameters) -> _Tables:
    form, packaging = parameters.names("silos", "form"), parameters.names("silos", "packaging")
    capacity = f'capacity = "{parameters.number("silos", "capacity"):g} kg"'
    yield "place.E1", ['kind = "expander"', f"feeds = {_list([*form, *packaging])}"]
    lines = lines_of(parameters)
    for names, first in ((form, "F"), (packaging, "P")):
        into = [line or press for press, (line, _) in lines.items() if press.startswith(first)]
        for name in names:
            yield (
                f"place.{name}",
                ['kind = "silo"', "content = true", f"feeds = {_list(into)}", capacity],
            )
    for press, (line, hopper) in lines.items():
        if not hopper:
            continue
        yield f"place.{line}", ['kind = "line"', "content = true", f'feeds = ["{hopper}"]']
        yield f"place.{hopper}", ['kind = "hopper"', "content = true", f'feeds = ["{press}"]']
    for press in parameters.table("press", "presses"):
        hour = f'cost_per_h = "{PRESS_HOUR}"'
        yield f"place.{press}", ['kind = "press"', "content = false", hour]
    yield "place.STORE", ['kind = "store"', "content = false"]


def _tolerances(parameters: Parameters) -> _Tables:
    of = parameters.number
    scale, foam = hypot(of("scales", "gain"), of("scales", "noise")), of("scales", "foam")
    exact = parameters.sections["scales"]["exact"]
    for step in _STEPS:
        body = ['remainder = "0.03"', 'remainder_floor = "2 kg"', 'shortage = "0.05"']
        body += ['count = "0.05"'] if step == "mould" else []
        if not exact:
            body += [f'u = "{100 * (max(scale, foam) if step == "mould" else scale):.2f} %"']
        yield f"tolerance.{step}", body
    for step in _COUNTS:
        yield f"tolerance.{step}", ['count = "0.05"']
    for step in _PIECES:
        yield f"tolerance.{step}", ['shortage = "0.02"']


def _list(names: list[str]) -> str:
    return "[" + ", ".join(f'"{name}"' for name in names) + "]"
