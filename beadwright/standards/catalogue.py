"""The published limits we carry, asked by standard, edition, type, characteristic and product.

Read first: :func:`limits`, then :func:`judge_columns`. No answer here is verified until a person
has signed the row against the paid text: see ``Limit.is_verified``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Context, Decimal
from functools import cache
from importlib.resources import files

from beadwright.errors import Misuse
from beadwright.standards.reading import read_standard
from beadwright.standards.rows import Limit, Product, Standard
from beadwright.units import from_si

__all__ = [
    "ColumnVerdict",
    "Value",
    "cross_checks",
    "find",
    "judge_columns",
    "limits",
    "row",
    "standard",
    "standards",
    "superseded",
]

Value = Decimal | float  # in the SI unit of its limit's kind
_ANY_TYPE = "any"  # a row that holds for every type of its standard
_FIGURES = Context(prec=12)  # compared of a float: below these lies rounding of the arithmetic


@dataclass(frozen=True, slots=True)
class ColumnVerdict:
    """Whether the normative column is met, by how much, and what the other column says."""

    met: bool
    margin_si: Decimal
    warning: str = ""


@cache
def standards() -> tuple[Standard, ...]:
    """Return every standard we carry, limits and cross-checks, in order of designation."""
    folder = files("beadwright.standards") / "data"
    texts = {file.name: file.read_text("utf-8") for file in folder.iterdir()}
    found = (read_standard(texts[name], file=name) for name in texts if name.endswith(".toml"))
    return tuple(sorted(found, key=lambda each: each.designation))


def standard(designation: str) -> Standard:
    """Return one standard, by its designation such as ``ASTM C578``.

    Parameters
    ----------
    designation : str
        Without an edition.

    Returns
    -------
    standard : Standard
        Its editions, limits and gaps.

    Raises
    ------
    Misuse
        If we carry no such standard; the message lists those we do.

    Examples
    --------
    >>> standard("ASTM C578").normative_system
    'us'
    """
    for each in standards():
        if each.designation == designation:
            return each
    known = ", ".join(each.designation for each in standards())
    message = f'no standard "{designation}" is carried; there are: {known}.'
    raise Misuse(message)


def limits(
    designation: str, edition: str, product_type: str, *, product: Product = "form block"
) -> tuple[Limit, ...]:
    """Return what one edition of a standard asks of one type, for one kind of product.

    Parameters
    ----------
    designation : str
        The standard, such as ``ASTM C578``.
    edition : str
        Such as ``10``: the same type has other minima in another edition.
    product_type : str
        Such as ``II``, ``EPS 100`` or ``L(3)``.
    product : Product
        What is judged. Board tolerances are given for ``board`` only: a form block's interlock,
        tie pitch and cavity need tolerances set by the plant.

    Returns
    -------
    limits : tuple of Limit
        In the order of the standard's table; empty where it asks nothing of that product, which
        is not the same as everything being met.

    Raises
    ------
    Misuse
        If the standard, edition or type is not carried, if the type is not moulded from beads,
        or if the standard serves as a cross-check only.

    Examples
    --------
    >>> [str(each.normative) for each in limits("ASTM C578", "10", "II")][:2]
    ['1.35 lb/ft3', '15.0 psi']
    """
    source = standard(designation)
    if source.use == "cross-check":
        message = f"{designation} is a cross-check, not a limit for our products."
        raise Misuse(message)
    return tuple(
        each for each in _of_type(source, edition, product_type) if product in each.applies_to
    )


def cross_checks(designation: str, edition: str, product_type: str) -> tuple[Limit, ...]:
    """Return the figures of a standard that serves as a cross-check; never limits.

    Parameters
    ----------
    designation : str
        The standard, such as ``ASTM D6817``.
    edition : str
        Such as ``07``.
    product_type : str
        Such as ``EPS22``.

    Returns
    -------
    rows : tuple of Limit
        In the order of the standard's table.

    Raises
    ------
    Misuse
        If the standard is not a cross-check, or the edition or type is not carried.

    Examples
    --------
    >>> [str(each.normative) for each in cross_checks("ASTM D6817", "07", "EPS22")][1:4]
    ['50 kPa', '115 kPa', '135 kPa']
    """
    source = standard(designation)
    if source.use != "cross-check":
        message = f"{designation} states limits: ask with limits()."
        raise Misuse(message)
    return _of_type(source, edition, product_type)


def find(
    *,
    characteristic: str | None = None,
    product: Product | None = None,
    product_type: str | None = None,
    edition: str | None = None,
    designation: str | None = None,
) -> tuple[Limit, ...]:
    """Return the limits that fit every filter given, over all standards but the cross-checks.

    Parameters
    ----------
    characteristic : str, optional
        Such as ``density``.
    product : Product, optional
        Such as ``form block``.
    product_type : str, optional
        Such as ``II``; rows that hold for every type fit too.
    edition : str, optional
        Such as ``10``.
    designation : str, optional
        Such as ``ASTM C578``.

    Returns
    -------
    limits : tuple of Limit
        Empty if none fits.

    Examples
    --------
    >>> [each.cite for each in find(characteristic="density", product="form block")][-1]
    'ASTM E2634-18 (2022)'
    """
    return tuple(
        each
        for source in standards()
        if source.use == "limits" and designation in (None, source.designation)
        for each in source.limits
        if characteristic in (None, each.characteristic)
        and (product is None or product in each.applies_to)
        and (product_type is None or each.product_type in (product_type, _ANY_TYPE))
        and edition in (None, each.edition)
    )


def row(row_id: str) -> Limit:
    """Return one row by its id, such as ``ASTM C578/10/II/density``.

    Parameters
    ----------
    row_id : str
        Standard, edition, type and characteristic, with ``/`` between.

    Returns
    -------
    row : Limit
        The limit.

    Raises
    ------
    Misuse
        If no limit we carry has that id; a figure of a cross-check is no limit.

    Examples
    --------
    >>> str(row("ASTM C578/10/II/density").normative)
    '1.35 lb/ft3'
    """
    if row_id not in _by_id():
        message = f'no printed limit is called "{row_id}": the list of limits gives every id.'
        raise Misuse(message)
    return _by_id()[row_id]


@cache
def _by_id() -> dict[str, Limit]:
    return {each.id: each for each in find()}


def superseded(designation: str, edition: str) -> str:
    """Return in words what took an edition's place; empty where it is the newest seen.

    Parameters
    ----------
    designation : str
        The standard, such as ``ASTM C578``.
    edition : str
        Such as ``10``.

    Returns
    -------
    words : str
        One sentence without its stop.

    Raises
    ------
    Misuse
        If the standard is not carried.

    Examples
    --------
    >>> superseded("ASTM C578", "19")
    'ASTM C578-19 was superseded on 2023-09-10; the next edition seen is ASTM C578-22'
    """
    editions = standard(designation).editions
    for each in editions:
        if each.id == edition and each.superseded_by:
            when = f"was superseded on {each.superseded_on}"
            if each.superseded_on is None:
                when = "has been superseded"
            # Between two editions that were seen may lie others that were not.
            words = f"{each.cite} {when}; the next edition seen is {each.superseded_by}"
            newest = editions[-1].cite
            return words if newest == each.superseded_by else f"{words}, the newest {newest}"
    return ""


def judge_columns(
    limit: Limit, value_si: Value, *, nominal_si: Value | None = None
) -> ColumnVerdict:
    """Judge a value on the column that decides, and warn where the other column disagrees.

    Parameters
    ----------
    limit : Limit
        The limit; its normative column decides.
    value_si : Value
        The result of the limit's statistic, in the SI unit of its kind; for ``within`` the
        deviation, of either sign. A float is compared at 12 significant figures, below which
        lies rounding of the arithmetic, so that a value exactly at the limit meets it.
    nominal_si : Value, optional
        The nominal size, for a tolerance that widens with it; without it the tolerance stays at
        its narrower, absolute figure.

    Returns
    -------
    verdict : ColumnVerdict
        The margin is positive inside the limit.

    Notes
    -----
    Neither the value nor the limit is rounded before they are compared, and no allowance is made
    for the uncertainty of the value.

    Examples
    --------
    >>> verdict = judge_columns(limits("ASTM C578", "10", "I")[0], 14.6)
    >>> verdict.met, verdict.warning[-42:]
    (True, '; 15 kg/m3, printed beside it, is not met.')
    """
    bound = limit.normative.si
    if limit.or_share is not None and nominal_si is not None:
        bound = max(bound, limit.or_share * _exact(nominal_si))
    met, margin = _against(limit, value_si, bound)
    other = limit.informative
    if other is None:
        return ColumnVerdict(met, margin)
    met_beside, _ = _against(limit, value_si, other.si)
    if met_beside == met:
        return ColumnVerdict(met, margin)
    shown = _four_figures(from_si(_exact(value_si), other.unit, limit.kind))
    warning = (
        f"{limit.characteristic.replace('_', ' ')} {shown} {other.unit} "
        f"{'meets' if met else 'does not meet'} {limit.normative}, which decides; "
        f"{other}, printed beside it, is {'met' if met_beside else 'not met'}."
    )
    return ColumnVerdict(met, margin, warning)


def _of_type(source: Standard, edition: str, product_type: str) -> tuple[Limit, ...]:
    if product_type in source.not_moulded.types:
        message = f"{source.designation} type {product_type} {source.not_moulded.why}."
        raise Misuse(message)
    in_edition = [each for each in source.limits if each.edition == edition]
    if not in_edition:
        known = ", ".join(dict.fromkeys(each.edition for each in source.limits))
        message = (
            f'{source.designation}: no figure of edition "{edition}" is carried;'
            f" there are: {known}."
        )
        raise Misuse(message)
    types = dict.fromkeys(each.product_type for each in in_edition)
    if product_type not in types:
        message = (
            f'{source.designation} has no type "{product_type}"; there are: {", ".join(types)}.'
        )
        raise Misuse(message)
    return tuple(each for each in in_edition if each.product_type in (product_type, _ANY_TYPE))


def _against(limit: Limit, value: Value, bound: Decimal) -> tuple[bool, Decimal]:
    exact = _exact(value)
    size = abs(exact) if limit.bound == "within" else exact
    if isinstance(value, float) and _FIGURES.plus(size) == _FIGURES.plus(bound):
        return True, Decimal(0)
    margin = size - bound if limit.bound == "min" else bound - size
    return margin >= 0, margin


def _exact(value: Value) -> Decimal:
    return value if isinstance(value, Decimal) else Decimal(repr(float(value)))


def _four_figures(value: Decimal) -> str:
    digits = 3 - value.adjusted() if value else 2
    return f"{value:.{max(digits, 0)}f}"
