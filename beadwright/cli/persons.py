"""People by initials and id: who a shell's initials stand for, and what `people` shows."""

from __future__ import annotations

import re
import sys
from dataclasses import replace

import typer

from beadwright.cli.ending import say
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.ledger import people
from beadwright.plant.erasing import erase_name

__all__ = ["confirm", "erase", "person_of", "show"]

_ID = re.compile(r"[A-Z0-9-]{1,20}")


def person_of(plant: str, text: str) -> str:
    """Give the id that the record holds for a person named by initials or id.

    Raises
    ------
    Misuse
        If nobody of the plant is called so.
    """
    known = people.names(plant)
    if text in known:
        return known[text].person
    ids = {one.person for one in known.values()}
    if text in ids or (not ids and _ID.fullmatch(text)):
        return text
    there = ", ".join(known) or "none; write an id of A-Z, 0-9 and hyphen"
    message = f"nobody here signs {text!r}: write initials or an id. Known initials: {there}"
    raise Misuse(message)


def confirm(plant: str, initials: str) -> None:
    """Confirm whose initials these are."""
    known = people.names(plant)
    if initials not in known:
        message = f"no initials {initials!r} are known: {', '.join(known) or 'none are'}"
        raise Misuse(message)
    people.match(plant, [replace(known[initials], confirmed=True)])
    say(f"{initials} is {known[initials].person}, confirmed.")


def erase(plant: str, person: str, by: str, *, yes: bool) -> None:
    """Forget a person's name and initials, on an engineer's word, asked once more.

    Raises
    ------
    Misuse
        If nobody says who wants it or that it is meant, or no such person is known.
    Refusal
        If it is no engineer who wants it.
    """
    if not by:
        message = "say with --by which engineer wants the name erased"
        raise Misuse(message)
    who = person_of(plant, by)
    if not yes and not _confirmed(person):
        message = f"nothing was erased; --yes says that {person} is meant: no name comes back"
        raise Misuse(message)
    if not erase_name(plant, person, who):
        ids = sorted({one.person for one in people.names(plant).values()})
        message = f"no person {person!r} is known: {', '.join(ids) or 'nobody is'}"
        raise Misuse(message)
    say(
        f"The name and initials of {person} are erased. The record keeps the id alone. Take them"
        " out of plant.toml too; copies of the store made earlier still hold them."
    )


def _confirmed(person: str) -> bool:
    """Ask at a terminal; from a script nobody can be asked."""
    if not sys.stdin.isatty():
        return False
    asked = f"Forget the name and initials of {person}? They cannot be brought back."
    return typer.confirm(asked, default=False, err=True)


def show(plant: str, *, json: bool) -> None:
    """List everybody."""
    known = people.names(plant).values()
    if json:
        rows = [
            {
                "initials": one.initials,
                "person": one.person,
                "name": one.name,
                "confirmed": one.confirmed,
            }
            for one in known
        ]
        write_json({"plant": plant, "people": rows})
        return
    page = Page()
    if not known:
        page.line("No names are kept.")
        return
    said = [(one.initials, one.person, one.name, "yes" if one.confirmed else "no") for one in known]
    page.table(("!initials", "!id", "name", "confirmed"), said, indent=0)
