"""What was proposed for one thing and now belongs to another: a specimen, once its lot is scanned.

Read :func:`anew`.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.interop.keyed.form import fields_of
from beadwright.interop.keyed.usual import PLAN, usual

__all__ = ["anew", "goes_by"]

_SPECIAL: Mapping[str, Mapping[str, tuple[str, ...]]] = {"bundles": {"pieces": ("lot",)}}
"""Fields proposed otherwise than from the newest entries, and what those proposals go by."""

_LOT = "lot"


def goes_by(kind: str) -> Mapping[str, tuple[str, ...]]:
    """Give the fields of a kind whose proposals go by other fields, each with those."""
    planned = {name.removesuffix("+"): keys for name, keys in PLAN.get(kind, ()) if keys}
    return {**planned, **_SPECIAL.get(kind, {})}


def anew(
    plant: str, kind: str, texts: Mapping[str, str], stood: Mapping[str, str]
) -> Mapping[str, str]:
    """Give what should stand in fields that nobody touched, where what they go by was changed.

    Parameters
    ----------
    plant, kind : str
        Code of the plant, and kind of form.
    texts : mapping of str to str
        What stands in the fields; codes in any letters.
    stood : mapping of str to str
        What stood in them when they were last proposed.

    Raises
    ------
    Misuse
        If there is no such kind.
    """
    by = goes_by(kind)
    codes = {one.name for one in fields_of(kind) if one.sort == "code"}
    said = {
        name: text.strip().upper() if name in codes else text.strip()
        for name, text in texts.items()
    }
    moved = {name for name, text in stood.items() if said.get(name, "") != text}
    follow = {name for name, keys in by.items() if name in stood and name not in moved}
    # One that goes by a field that follows follows too: a silo by its scale, a bag by its silo.
    open_, found = True, set[str]()
    while open_:
        more = {name for name in follow - found if (moved | found) & set(by[name])}
        found |= more
        open_ = bool(more)
    if not found:
        return {}
    known = {name: text for name, text in said.items() if text and name not in found}
    likely = usual(plant, kind, known).texts
    # What is one lot's is proposed of no lot but the one that is named.
    lost = {name for name in found if _LOT in by[name] and not known.get(_LOT)}
    now = {name: "" if name in lost else likely.get(name, "") for name in found}
    return {name: text for name, text in now.items() if text != stood[name]}
