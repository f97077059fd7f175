"""The parameters of the simulated plant, from the file that is shipped or another like it.

Read :func:`load` first.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from beadwright.errors import Misuse

__all__ = ["Parameters", "load"]

_SHIPPED = Path(__file__).with_name("parameters.toml")


@dataclass(frozen=True)
class Parameters:
    """Sections of the file, each a table of figures by name."""

    sections: Mapping[str, Mapping[str, Any]]

    def number(self, section: str, name: str) -> float:
        """Give one figure."""
        return float(self.sections[section][name])

    def whole(self, section: str, name: str) -> int:
        """Give one count."""
        return int(self.sections[section][name])

    def text(self, section: str, name: str) -> str:
        """Give one word."""
        return str(self.sections[section][name])

    def names(self, section: str, name: str) -> tuple[str, ...]:
        """Give a list of words."""
        return tuple(self.sections[section][name])

    def table(self, section: str, name: str) -> Mapping[str, Any]:
        """Give a table by name."""
        return dict(self.sections[section][name])

    @property
    def first(self) -> date:
        """The Monday on which it begins."""
        found = self.sections["plant"]["first_monday"]
        if not isinstance(found, date):
            message = f"plant.first_monday is {found!r}: write a day, such as 2020-01-06"
            raise Misuse(message)
        return found

    def _fault(self, name: str, value: object) -> dict[str, Any]:
        """Give a fault with what is said of it, and the rest as it was."""
        there = dict(self.sections[_FAULTS][name])
        if not isinstance(value, Mapping) or set(value) - set(there):
            message = f"faults.{name} is {value!r}: write it as {there!r}, or a part of that"
            raise Misuse(message)
        return there | dict(value)

    def changed(self, section: str, **values: object) -> Parameters:
        """Give the same with some figures of a section changed."""
        odd = sorted(set(values) - set(self.sections[section]))
        if odd:
            there = ", ".join(sorted(self.sections[section]))
            message = f"[{section}] has no {', '.join(odd)}; it has {there}"
            raise Misuse(message)
        if section == _FAULTS:
            values = {name: self._fault(name, value) for name, value in values.items()}
        for name, value in values.items():
            there = self.sections[section][name]
            if _sort(value) != _sort(there):
                message = f"{section}.{name} is {value!r}: write it as {there!r}"
                raise Misuse(message)
        return replace(
            self, sections={**self.sections, section: {**self.sections[section], **values}}
        )


_FAULTS = "faults"


def _sort(value: object) -> object:
    """Give what sort of value it is: any number is like any other."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return "number" if number else type(value)


def load(path: Path | None = None) -> Parameters:
    """Read the parameters that are shipped; those of a file instead where it has them.

    Raises
    ------
    Misuse
        If the file cannot be read, or names what the shipped one does not have.
    """
    found = Parameters(tomllib.loads(_SHIPPED.read_text("utf-8")))
    if path is None:
        return found
    try:
        given = tomllib.loads(path.read_text("utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        message = f"{path} cannot be read: {error}"
        raise Misuse(message) from error
    for section, values in given.items():
        if section not in found.sections or not isinstance(values, dict):
            message = f"{path}: [{section}] is none of {', '.join(found.sections)}"
            raise Misuse(message)
        found = found.changed(section, **values)
    return found
