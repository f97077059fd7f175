"""A formula's docstring is data: its units, shapes and sources are read and compared.

Read :func:`faults` first: it lists what is wrong with one public function's docstring, and the
planted docstrings at the end show that each kind of fault is seen.
"""

import ast
import importlib
import inspect
import re
import textwrap
from collections.abc import Callable
from types import FunctionType
from typing import Any

import pint
import pytest
from numpydoc.docscrape import FunctionDoc, Parameter

from tests.house.tree import module_name, modules

KNOWLEDGE = ("lab", "science", "standards", "statistics", "units")
HOW_READ = (
    "[read in: the source]",
    "[read in: a second source that cites it]",
    "[from memory]",
    "[common practice, no source]",
)
NO_UNIT = "no unit in brackets at its end"
UNIT = re.compile(r"\[([^\[\]]+)\]\s*$")
ARRAY = re.compile(r"ArrayLike|NDArray|ndarray|array_like")
NUMBER = re.compile(r"\b(float|int|Decimal)\b|ArrayLike|NDArray|ndarray|array_like")

# What the end of a name promises. Longest first, so that kg_m3 is not read as m3.
SUFFIXES = {
    "kg_m3": "kg/m^3",
    "kg_m2": "kg/m^2",
    "mg_m3": "mg/m^3",
    "m3_s": "m^3/s",
    "kg_s": "kg/s",
    "kg_kg": "1",
    "m2_s": "m^2/s",
    "m_s": "m/s",
    "w_mk": "W/(m K)",
    "m2k_w": "m^2 K/W",
    "j_kg": "J/kg",
    "m3": "m^3",
    "m2": "m^2",
    "mg": "mg",
    "kg": "kg",
    "g": "g",
    "mm": "mm",
    "ms": "ms",
    "m": "m",
    "s": "s",
    "pa": "Pa",
    "k": "K",
    "n": "N",
    "j": "J",
    "w": "W",
}

registry: pint.UnitRegistry[float] = pint.UnitRegistry()


def promised(name: str) -> str | None:
    """The unit that a name's suffix promises, None where it promises none."""
    for suffix, unit in SUFFIXES.items():
        if name.endswith(f"_{suffix}"):
            return unit
    return None


def same_unit(written: str, unit: str) -> bool:
    """Whether two units are one and the same, not merely of one dimension."""
    one, other = (registry.Quantity(1, registry.parse_units(text)) for text in (written, unit))
    return bool(one.units == other.units)


def unit_faults(where: str, name: str, described: Parameter) -> list[str]:
    """What is wrong with one number's description."""
    found = UNIT.search(" ".join(described.desc).strip())
    if found is None:
        return [f"{where}: {NO_UNIT}"]
    written, faults = found[1], []
    try:
        registry.parse_units("dimensionless" if written == "1" else written)
    except (pint.PintError, ValueError, TypeError):
        return [f"{where}: [{written}] is no unit"]
    unit = promised(name)
    if unit is not None and not same_unit(
        *("" if text == "1" else text for text in (written, unit))
    ):
        faults.append(f"{where}: its name promises {unit}, its docstring says [{written}]")
    return faults


def argument_faults(function: FunctionType, doc: FunctionDoc) -> list[str]:
    """What is wrong with the description of the arguments."""
    signature = inspect.signature(function).parameters
    described = {item.name.lstrip("*"): item for item in doc["Parameters"]}
    if list(signature) != list(described):
        return [f"takes {list(signature)}, its docstring describes {list(described)}"]
    faults = []
    for name, argument in signature.items():
        annotation = inspect.formatannotation(argument.annotation)
        if NUMBER.search(annotation):
            faults += unit_faults(name, name, described[name])
        if ARRAY.search(annotation) and "shape (" not in described[name].type:
            faults.append(f"{name}: an array without its shape")
    return faults


def result_faults(function: FunctionType, doc: FunctionDoc) -> list[str]:
    """What is wrong with the description of the result."""
    annotation = inspect.formatannotation(inspect.signature(function).return_annotation)
    if not NUMBER.search(annotation):
        return []
    if not doc["Returns"]:
        return ["gives a number its docstring does not describe"]
    faults = []
    for result in doc["Returns"]:
        where = result.name or "the result"
        if NUMBER.search(result.type):
            faults += unit_faults(where, result.name or function.__name__, result)
        if ARRAY.search(annotation) and "shape (" not in result.type:
            faults.append(f"{where}: an array without its shape")
    return faults


def source_faults(function: FunctionType, doc: FunctionDoc) -> list[str]:
    """What is missing of raises and sources."""
    source = ast.parse(textwrap.dedent(inspect.getsource(function)))
    faults = []
    if any(isinstance(node, ast.Raise) for node in ast.walk(source)) and not doc["Raises"]:
        faults.append("raises, and has no Raises section")
    summary = " ".join([*doc["Summary"], *doc["Extended Summary"]])
    references = " ".join(doc["References"])
    if ".. math::" in summary and not references:
        faults.append("has a formula and no source")
    entries = (" ".join(entry.split()) for entry in references.split(".. [")[1:])
    unmarked = [entry for entry in entries if not any(mark in entry for mark in HOW_READ)]
    return [*faults, *(f"a reference does not say how it was read: .. [{it}" for it in unmarked)]


def faults(function: FunctionType) -> list[str]:
    """Everything that is wrong with one function's docstring."""
    if not inspect.getdoc(function):
        return ["has no docstring"]
    doc = FunctionDoc(function)
    found = [*source_faults(function, doc)]
    numeric = any(
        NUMBER.search(inspect.formatannotation(argument.annotation))
        for argument in inspect.signature(function).parameters.values()
    )
    if numeric or doc["Parameters"]:
        found += argument_faults(function, doc)
    found += result_faults(function, doc)
    if function.__module__.startswith("beadwright.units"):
        # There a number's unit is another argument, unless its name promises one.
        free = {f"{name}: {NO_UNIT}" for name in names_of(doc) if promised(name) is None}
        found = [fault for fault in found if fault not in free]
    return found


def names_of(doc: FunctionDoc) -> list[str]:
    """The names that a docstring describes."""
    return [item.name or "the result" for item in (*doc["Parameters"], *doc["Returns"])]


def public_functions() -> list[Any]:
    """The functions that the knowledge floors give to others."""
    found = []
    for path in modules("beadwright"):
        name = module_name(path)
        if name.split(".")[1:2] and name.split(".")[1] in KNOWLEDGE:
            module = importlib.import_module(name)  # noqa: TID251  (the test's subject)
            for given in getattr(module, "__all__", ()):
                thing = getattr(module, given)
                if inspect.isfunction(thing) and thing.__module__ == name:
                    found.append(pytest.param(thing, id=f"{name}.{given}"))
    return found


@pytest.mark.parametrize("function", public_functions())
def test_a_docstring_agrees_with_its_function(function: FunctionType) -> None:
    """Arguments, units, shapes, raises and sources are all there and true."""
    assert faults(function) == []


def planted(docstring: str, returns: object = float) -> FunctionType:
    """A function of one radius, with this docstring."""

    def sphere(radius_m: float) -> float:
        return radius_m

    sphere.__doc__ = docstring
    sphere.__annotations__["return"] = returns
    return sphere  # type: ignore[return-value]


GOOD = """Volume of a sphere.

    Parameters
    ----------
    radius_m : float
        Radius, >= 0. [m]

    Returns
    -------
    volume_m3 : float
        The volume. [m^3]

    References
    ----------
    .. [1] A. Author, "A Title", 1st ed., p. 1. [from memory]
    """


def test_a_true_docstring_has_no_faults() -> None:
    """So what is found below is the plant."""
    assert faults(planted(GOOD)) == []


@pytest.mark.parametrize(
    ("plant", "seen"),
    [
        (lambda text: text.replace(">= 0. [m]", ">= 0. [mm]"), "its name promises m"),
        (lambda text: text.replace(">= 0. [m]", ">= 0."), NO_UNIT),
        (lambda text: text.replace(">= 0. [m]", ">= 0. [furl]"), "is no unit"),
        (lambda text: text.replace("radius_m :", "diameter_m :"), "its docstring describes"),
        (lambda text: text.replace("[m^3]", "[m^2]"), "its name promises m^3"),
        (lambda text: text.replace(" [from memory]", ""), "how it was read"),
        (lambda _: "", "has no docstring"),
    ],
)
def test_a_planted_fault_is_seen(plant: Callable[[str], str], seen: str) -> None:
    """Each kind of fault is found and named."""
    found = faults(planted(plant(GOOD)))

    assert any(seen in fault for fault in found), found
