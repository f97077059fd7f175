"""The lists in docs/sheets.md that the program knows: fields, keys of settings, standards.

Read :func:`sheets_page`. Each stands between `<!-- written: NAME -->` and `<!-- /written -->`; what
is between is the program's, everything else a person's.
"""

import re
from collections.abc import Callable, Iterable
from pathlib import Path

from beadwright.interop.sheets.cells import Field, Sort
from beadwright.interop.sheets.kinds import FIELDS
from beadwright.interop.sheets.topics import TOPICS
from beadwright.quality.characteristics import CHARACTERISTICS, Level
from beadwright.standards import Limit, standards

__all__ = ["sheets_page"]

_PAGE = Path(__file__).resolve().parents[1] / "docs" / "sheets.md"
_BLOCK = re.compile(r"(<!-- written: ([a-z]+) -->\n).*?(\n<!-- /written -->)", re.DOTALL)
_TESTED = "a column *u*? for each characteristic that a specimen is tested for"
_NAMED = {
    "product": "its code",
    "grade": "its code",
    "approved": "a product",
    "place": "its code",
    "cup": "a product",
    "ageing": "a bead grade",
    "age_gate": "`wrap`, `closed_trailer`, `hot_wire` or `weighing`",
    "release": "`rule`",
    "first_piece": "`rule`",
    "decision": "`rule`, or a characteristic that goes by another",
    "inspection": "a product",
    "mould": "as sheets write it",
    "room": "any, of its own",
    "shift": "any, of its own",
    "air": "`outside`",
    "tolerance": "a kind of step: `expand`, `fill`, `mould`, `bundle`, `ship`, `strip`, "
    "`grind`, `stocktake` …; `receipt` for `bag`",
    "limit": "any, of its own",
    "variables": "any, of its own",
    "standard": "a product, or any with `product` in it",
    "plan": "any, of its own",
    "instrument": "as sheets write it",
    "reading": "`rule`",
    "container": "its code",
    "repeatability": "a characteristic",
    "role": "a person's id",
}
"""What stands for NAME in `[topic.NAME]`."""


def sheets_page() -> str:
    """Give the page with each of its lists written anew."""
    text = _PAGE.read_text(encoding="utf-8")
    found = [match[2] for match in _BLOCK.finditer(text)]
    if sorted(found) != sorted(_LISTS):
        message = f"sheets.md holds the lists {found}; the program writes {sorted(_LISTS)}"
        raise ValueError(message)
    return _BLOCK.sub(lambda match: f"{match[1]}{_LISTS[match[2]]()}{match[3]}", text)


def _kinds() -> str:
    rows = [f"| `{name}` | {_fields(fields.values())} |" for name, fields in FIELDS.items()]
    return "\n".join(["| sheet | fields |", "| --- | --- |", *rows])


def _fields(fields: Iterable[Field]) -> str:
    return ", ".join(dict.fromkeys(map(_field, fields)))


def _field(field: Field) -> str:
    known = CHARACTERISTICS.get(field.name)
    if known is not None and known.level is Level.SPECIMEN and field.sort is not Sort.CHOICE:
        return _TESTED
    unit = " *u*" if field.sort.quantity is not None else ""
    words = f" ({', '.join(field.choices)})" if field.sort is Sort.CHOICE else ""
    return f"{field.name}{'' if field.required else '?'}{unit}{words}"


def _settings() -> str:
    rows = []
    for topic, rules in TOPICS.items():
        rows.append(f"| **`[{topic}.NAME]`** | NAME: {_NAMED[topic]} |")
        rows += [
            f"| {name}{'' if rule.required else '?'} | {rule.check.takes} |"
            for name, rule in rules.items()
        ]
    return "\n".join(["| key | holds |", "| --- | --- |", *rows])


def _standards() -> str:
    rows = []
    for each in standards():
        if each.use == "cross-check":
            continue
        for edition in dict.fromkeys(row.edition for row in each.limits):
            here = [row for row in each.limits if row.edition == edition and _ours(row)]
            types = dict.fromkeys(row.product_type for row in here if row.product_type != "any")
            names = dict.fromkeys(row.characteristic for row in here)
            cells = (each.designation, edition, ", ".join(types), ", ".join(names))
            rows.append(f"| {' | '.join(cells)} |")
    head = ["| standard | edition | type, or classes | characteristics |"]
    return "\n".join([*head, "| --- | --- | --- | --- |", *rows])


def _ours(row: Limit) -> bool:
    return bool({"form block", "board"} & set(row.applies_to))


_LISTS: dict[str, Callable[[], str]] = {
    "kinds": _kinds,
    "settings": _settings,
    "standards": _standards,
}
