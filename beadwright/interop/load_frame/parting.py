"""A table into the curves of single specimens: by a column, side by side, or by a restart.

Read first: :func:`side_by_side`, then :func:`by_specimen`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.load_frame.cutting import CURVE_ROWS, Table
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.unit_texts import parted
from beadwright.interop.load_frame.words import role_of, tokens

__all__ = ["Share", "by_specimen", "restarts", "side_by_side"]

Share = tuple[str, tuple[int, ...]]
"""A specimen's name, empty where none is said, and the places of its columns."""

_SEPARATE, _TOGETHER = "specimens", "channels"
_SPECIMENS = {"specimen", "sample", "probe", "prufling", "eprouvette", "probeta", "muestra"}
_DIGITS = re.compile(r"\d+")


def side_by_side(table: Table, asking: Asking) -> list[Share]:
    """Part a table's columns by specimen, where its headings repeat; else one share of all."""
    names = [" ".join(heading.split()).casefold() for heading in table.headings]
    whole: list[Share] = [("", tuple(range(table.width)))]
    if len(set(table.group)) > 1 and (shares := _by_group(table, names)):
        return shares
    measured = [_measured(name) for name in table.headings]
    bare = [_DIGITS.sub("#", _without_unit(name)) for name in names]
    forces = [place for place, role in enumerate(measured) if role in {"force", "stress"}]
    travels = [
        place for place, role in enumerate(measured) if role in {"travel", "strain", "deformation"}
    ]
    count = len(forces)
    if count < 2 or len(travels) != count:  # noqa: PLR2004 - side by side
        return whole
    if len({bare[p] for p in forces}) > 1 or len({bare[p] for p in travels}) > 1:
        return whole
    shares = _dealt(table, bare, count)
    if not shares:
        return whole
    repeated = all(names[a] == names[b] for a, b in pairwise(forces))
    cyclic = all(
        abs(f - t) == abs(forces[0] - travels[0]) for f, t in zip(forces, travels, strict=True)
    )
    says = any(_SPECIMENS & set(tokens(name)) for name in names)
    if (repeated and cyclic) or says:
        return shares
    what = (
        f"{count} columns of force stand beside {count} of travel: specimens, or channels of one?"
    )
    answer = asking.ask("specimens", what, (_SEPARATE, _TOGETHER))
    return whole if answer == _TOGETHER else shares


def _measured(heading: str) -> str:
    return role_of(parted(heading)[0])


def _without_unit(name: str) -> str:
    return re.sub(r"[\[(][^\])]*[\])]", "", name).strip()


def _by_group(table: Table, names: Sequence[str]) -> list[Share]:
    """Share columns by the names that stand over them."""
    groups = [one for one in dict.fromkeys(table.group) if one]
    shared = tuple(place for place, one in enumerate(table.group) if not one and names[place])
    made = []
    for group in groups:
        places = tuple(place for place, one in enumerate(table.group) if one == group)
        if len(places) < 2 and not shared:  # noqa: PLR2004 - a force and a travel
            return []
        made.append((group, (*shared, *places)))
    return made


def _dealt(table: Table, bare: Sequence[str], count: int) -> list[Share]:
    """Deal columns of one name out in turn; a column that stands once is everybody's."""
    shares: list[list[int]] = [[] for _ in range(count)]
    seen: dict[str, int] = {}
    for place, name in enumerate(bare):
        if not name and not table.headings[place]:
            continue
        times = bare.count(name)
        if times == 1:
            for share in shares:
                share.append(place)
        elif times == count:
            shares[seen.get(name, 0)].append(place)
            seen[name] = seen.get(name, 0) + 1
        else:
            return []
    return [("", tuple(share)) for share in shares]


def by_specimen(
    table: Table, places: Sequence[int], asking: Asking
) -> list[tuple[str, NDArray[np.intp]]]:
    """Part rows by the columns that name the specimen; all rows where none does."""
    every = np.arange(len(table.rows))
    keys = [place for place in places if _names_specimens(table, place)]
    if not keys:
        return [("", every)]
    cells = list(zip(*(table.column(place) for place in keys), strict=True))
    kinds = list(dict.fromkeys(cells))
    varied = [i for i in range(len(keys)) if len({kind[i] for kind in kinds}) > 1]
    parts = []
    for kind in kinds:
        rows = np.array([row for row, cell in enumerate(cells) if cell == kind])
        parts.append(("/".join(kind[i] for i in varied or [0]), rows))
    short = [name for name, rows in parts if rows.size < CURVE_ROWS]
    if short:
        what = (
            f'Specimen "{short[0]}" has fewer than {CURVE_ROWS} rows: is it a column of specimens?'
        )
        answer = asking.ask("specimens", what, ("leave these out", "one specimen"))
        if answer == "one specimen":
            return [("", every)]
        parts = [part for part in parts if part[1].size >= CURVE_ROWS]
    return parts


def _names_specimens(table: Table, place: int) -> bool:
    """Whether a column names specimens: by its heading, and because its cells repeat."""
    word = role_of(parted(table.headings[place])[0])
    if word not in {"specimen", "count"}:
        return False
    cells = table.column(place)
    different = len(set(cells))
    return all(cells) and (different == 1 or different * CURVE_ROWS <= len(cells))


def restarts(values: NDArray[np.float64]) -> list[int]:
    """Rows at which a time starts again: where it falls back."""
    known = values[np.isfinite(values)]
    if known.size != values.size:
        return []
    return [int(row) + 1 for row in np.flatnonzero(np.diff(values) < 0)]
