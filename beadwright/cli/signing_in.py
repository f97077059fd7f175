"""What `account` does: a code asked for twice where somebody types, else read from a pipe."""

from __future__ import annotations

import sys

import typer

from beadwright.cli.ending import say
from beadwright.cli.persons import person_of
from beadwright.errors import Misuse
from beadwright.plant import accounts
from beadwright.plant.opening import Plant

__all__ = ["close_account", "give_code"]


def give_code(plant: Plant, named: str) -> None:
    """Give a person a code, and so an account."""
    person = person_of(plant.code, named)
    accounts.give(plant, person, _code())
    say(f"{person} can sign in at the pages with this code.")


def close_account(plant: Plant, named: str) -> None:
    """Let a person sign in no more."""
    person = person_of(plant.code, named)
    if not accounts.close(plant, person):
        message = f"{person} has no open account"
        raise Misuse(message)
    say(f"{person} can sign in no more. The record keeps what was done.")


def _code() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    asked: str = typer.prompt("Code", hide_input=True, confirmation_prompt="Once more")
    return asked
