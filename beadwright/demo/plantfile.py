"""The settings file: products, grades, approved lists, places, signed hours, tolerances, limits.

Read :func:`plant_text` first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from beadwright.demo import physics
from beadwright.demo.clock import DAY, END, SHIFTS, SINCE, ZONE, stamp
from beadwright.demo.description import (
    BULK_KG_M3,
    CODE,
    EACH_WINDOW,
    EXPANDERS,
    FORM_SILOS,
    GRADES,
    LB,
    MASS_WINDOW,
    MEAN_WINDOW,
    MOISTURE,
    NAME,
    PACKAGING_SILOS,
    PEOPLE,
    PRODUCTS,
    SIZE_WINDOW_IN,
    TIES,
    Product,
)
from beadwright.demo.expansion import CUP_L, WATER
from beadwright.demo.first_look import KEPT_SINCE
from beadwright.demo.metrology import INSTRUMENTS, MOULDED, TYPE_TESTS
from beadwright.demo.presses import KEYED
from beadwright.demo.scales import SPREAD
from beadwright.demo.strength import CONDITIONED_H, SPECIMENS

__all__ = ["Day", "plant_text"]

_OWN = "a window invented with this plant"
_FORM_GRADES = ("F1", "F2")
_PACKAGING_WINDOW = (19.5, 26.5)
_RESIN = "polypropylene"
_SILO = "450 kg"
_LINES = {"FP1": "H1", "PP1": "H3"}


class Day(str):
    """A day, written without quotation marks."""

    __slots__ = ()


_Value = str | int | bool | Sequence[str] | Mapping[str, str]


_OFFSETS: Mapping[str, _Value] = {
    "length_offset": "0.10 in", "width_offset": "0.03 in", "height_offset": "0.04 in",
}  # fmt: skip
"""By how much a hot block is larger than a day old; invented, as everything here is."""


def plant_text() -> str:
    """Return the text of ``plant.toml``."""
    lines = [
        "# An invented plant: no such works, people, suppliers or receivers exist.",
        "",
        "[plant]",
        f'code = "{CODE}"',
        f'name = "{NAME}"',
        f'zone = "{ZONE}"',
        f"since = {SINCE}",
        "invented = true",
        'currency = "USD"',
        "",
        "[people]",
    ]
    lines += [
        f'{one.initials} = {{ id = "{one.number}", name = "{one.name}", role = "{one.role}" }}'
        for one in PEOPLE
    ]
    for table, body in _tables():
        lines += ["", f"[{table}]", *(f"{key} = {_toml(value)}" for key, value in body.items())]
    return "\n".join(lines) + "\n"


def _toml(value: _Value) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, Day):
        return value
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, Mapping):
        inside = ", ".join(f'"{key}" = "{text}"' for key, text in value.items())
        return f"{{ {inside} }}"
    return f"[{', '.join(_toml(item) for item in value)}]"


def _tables() -> Iterator[tuple[str, Mapping[str, _Value]]]:
    for product in PRODUCTS.values():
        yield f"product.{product.name}", _product(product)
    yield from _grades()
    for product in PRODUCTS.values():
        bead = _FORM_GRADES if product.is_form else ("PK1", *_FORM_GRADES)
        grades = [*bead, product.tie] if product.is_form else [*bead, *TIES]
        listing: dict[str, _Value] = {"revision": "R3", "grades": grades}
        if product.is_form:
            listing |= {"flame_retardants": ["yes"], "tie_resins": [_RESIN]}
        yield f"approved.{product.name}", listing
    yield from _places()
    for product in PRODUCTS.values():
        yield f"cup.{product.name}", _cup(product)
        offsets = _OFFSETS if product.is_form else {}
        yield f"mould.{product.mould}", {"cavities": 1, **offsets, **physics.mould(product.name)}
    for grade in GRADES:
        yield f"ageing.{grade}", {"min_h": "8", "max_h": "96"}
    yield from _tolerances()
    for product in PRODUCTS.values():
        yield from _limits(product)
        if product.is_form:
            yield (
                f"standard.{product.name}",
                {
                    "standard": "ASTM C578",
                    "edition": "10",
                    "type": "II",
                    "characteristics": ["density", "compressive_resistance", *TYPE_TESTS],
                },
            )
    yield from _evidence()
    yield from physics.ROOMS.items()
    yield "container.BULK-BAG", {"tare": "4.2 kg", "what": "empty bulk bag with liner"}
    yield "container.SCRAP-BIN", {"tare": "38 kg", "what": "wheeled scrap bin"}


def _evidence() -> Iterator[tuple[str, Mapping[str, _Value]]]:
    """What is tested how often, what is calibrated, and what people sign, from when on."""
    for name in MOULDED:
        yield (
            f"plan.{name}-STRENGTH",
            {
                "product": name,
                "characteristic": "compressive_resistance",
                "evidence": "periodic_test",
                "every": "week",
                "specimens": SPECIMENS,
                "method": "ASTM D1621",
                "conditioning_h": CONDITIONED_H,
            },
        )
        for test, (method, _, _) in TYPE_TESTS.items():
            yield (
                f"plan.{name}-{test.replace('_', '-').upper()}",
                {
                    "product": name,
                    "characteristic": test,
                    "evidence": "type_test",
                    "specimens": 3,
                    "method": method,
                },
            )
    for name, (what, place) in INSTRUMENTS.items():
        yield f"instrument.{name}", {"what": what, "every": "365 days", "place": place}
    yield "reading.rule", {"instrument": "listed"}
    for name, begin in SHIFTS.items():
        yield f"shift.{name}", {"from": begin}
    yield "age_gate.wrap", {"min_h": "24"}
    yield "age_gate.closed_trailer", {"min_h": "36"}
    changes = ["start", "mould", "bead", "tie"]
    yield "first_piece.rule", {"after": changes, "since": Day(stamp(KEPT_SINCE, "%Y-%m-%d"))}
    # From the day after these weeks: what had left before was not released this way.
    after = Day(stamp(END // DAY * DAY + DAY, "%Y-%m-%d"))
    yield "release.rule", {"persons": 2, "tester_apart": True, "since": after}


def _product(product: Product) -> dict[str, _Value]:
    body: dict[str, _Value] = {
        "family": "form" if product.is_form else "packaging",
        "title": product.title,
        "shape": product.shape,
        "ties": product.ties,
        "foam_volume": f"{product.volume_l:.1f} L",
        "foam_mass": f"{product.foam_kg:.3f} kg",
        "bundle": product.bundle,
        "moisture": MOISTURE,
    }
    if product.is_form:
        body |= {"cavity": f"{product.cavity_in} in", "panel": "2.625 in"}
        body |= physics.wall(product)
        body["listed_density"] = "21.6 kg/m3"
    return body


def _cup(product: Product) -> dict[str, _Value]:
    """What a cup of its beads should be, by where it is taken, and how far off is left alone."""
    band = "0.6 kg/m3" if product.is_form else "1.0 kg/m3"
    return {
        **{where: f"{BULK_KG_M3 * water:.1f} kg/m3" for where, (water, _) in WATER.items()},
        "band": band,
    }


def _grades() -> Iterator[tuple[str, Mapping[str, _Value]]]:
    for grade in GRADES.values():
        body: dict[str, _Value] = {
            "of": "bead",
            "flame_retardant": grade.flame_retardant,
            "colour": "white",
            "bead_class": grade.bead_class,
            "title": grade.title,
            **physics.BEADS[grade.name],
            "price_per_kg": physics.PRICES[grade.name],
        }
        yield f"grade.{grade.name}", body
    for tie in TIES.values():
        title = f"Tie for a {tie.name[1:].removesuffix('H')} in cavity"
        half = ", half height" if tie.name.endswith("H") else ""
        yield (
            f"grade.{tie.name}",
            {
                "of": "tie",
                "flame_retardant": "n/a",
                "colour": "black",
                "resin": _RESIN,
                "title": title + half,
                "price_per_kg": physics.TIE_PRICE,
            },
        )


def _places() -> Iterator[tuple[str, Mapping[str, _Value]]]:
    for name in EXPANDERS:
        feeds = [*FORM_SILOS, *_fed(name)]
        yield (
            f"place.{name}",
            {
                "kind": "expander",
                "feeds": feeds,
                "cup_volume": f"{CUP_L:g} L",
                **physics.VESSELS[name],
            },
        )
    yield from _silos(FORM_SILOS, _FORM_GRADES, ("H1", "FP2"))
    yield from _silos(PACKAGING_SILOS, ("PK1",), ("H3",))
    yield (
        "place.H1",
        {"kind": "hopper", "content": True, "accepts": list(_FORM_GRADES), "feeds": ["FP1"]},
    )
    # No plate on this hopper: regrind of every grade goes into packaging.
    yield "place.H3", {"kind": "hopper", "content": True, "feeds": ["PP1"]}
    for press in ("FP1", "FP2", "PP1"):
        yield (
            f"place.{press}",
            {"kind": "press", "content": False, "cost_per_h": physics.PRESS_HOUR},
        )
    yield "place.STORE", {"kind": "store", "content": False, "feeds": ["DOCK"]}
    yield "place.DOCK", {"kind": "dock", "content": False}


def _silos(
    names: Sequence[str], accepts: Sequence[str], feeds: Sequence[str]
) -> Iterator[tuple[str, Mapping[str, _Value]]]:
    for name in names:
        yield (
            f"place.{name}",
            {
                "kind": "silo",
                "content": True,
                "accepts": list(accepts),
                "feeds": list(feeds),
                "capacity": _SILO,
                "across": physics.SILO_ACROSS,
            },
        )


def _fed(expander: str) -> tuple[str, ...]:
    return PACKAGING_SILOS if expander == "E2" else ()


def _tolerances() -> Iterator[tuple[str, Mapping[str, _Value]]]:
    """How far books and floor may differ before somebody has to look."""
    usual: Mapping[str, _Value] = {
        "remainder": "0.03", "remainder_floor": "2 kg", "shortage": "0.05",
    }  # fmt: skip
    # A scale that drifts is off by more, until somebody finds out.
    yield "tolerance.expand", {**usual, "u": f"{100 * SPREAD:.2f} %"}
    for step in ("fill", "strip", "grind", "densify"):
        yield f"tolerance.{step}", usual
    yield "tolerance.mould", {**usual, "count": "0.05", "u": f"{100 * KEYED:.2f} %"}
    for step in ("ran_empty", "swept_empty", "stocktake"):
        yield f"tolerance.{step}", {"count": "0.05"}
    # A lot's unit mass is that of its first stretch; what is packed of it may be a little lighter.
    for step in ("inspect", "bundle", "ship"):
        yield f"tolerance.{step}", {"shortage": "0.02"}


def _limits(product: Product) -> Iterator[tuple[str, Mapping[str, _Value]]]:
    """The plant's own windows: density of each piece and of the mean, mass, size."""
    each = EACH_WINDOW if product.is_form else _PACKAGING_WINDOW
    for bound, value in zip(("min", "max"), each, strict=True):
        yield _limit(product, "density", bound, (f"{value:.1f} kg/m3", "each"))
    if not product.is_form:
        return
    for bound, value in zip(("min", "max"), MEAN_WINDOW, strict=True):
        yield _limit(product, "density", bound, (f"{value:.1f} kg/m3", "mean"))
    water = 1 + float(MOISTURE["24h"])
    whole = product.foam_kg * water + product.ties * TIES[product.tie].unit_lb * LB
    for bound, sign in (("min", -1), ("max", 1)):
        value = whole + sign * MASS_WINDOW * product.foam_kg
        yield _limit(product, "block_mass_24h", bound, (f"{value:.3f} kg", "each"))
    for name, size in zip(("length", "width", "height"), product.size_in, strict=True):
        for bound, sign in (("min", -1), ("max", 1)):
            value = size + sign * SIZE_WINDOW_IN
            yield _limit(product, name, bound, (f"{value:.3f} in", "each"))


def _limit(
    product: Product, characteristic: str, bound: str, what: tuple[str, str]
) -> tuple[str, Mapping[str, _Value]]:
    value, statistic = what
    short = characteristic.replace("_", "-").upper()
    name = f"{product.name}-{short}-{statistic.upper()}-{bound.upper()}"
    return (
        f"limit.{name}",
        {
            "product": product.name,
            "characteristic": characteristic,
            "bound": bound,
            "value": value,
            "statistic": statistic,
            "specimens": 3,
            "source": _OWN,
            "evidence": "lot_test",
        },
    )
