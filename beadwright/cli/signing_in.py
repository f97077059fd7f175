"""What `account` and `token` do: a person's code is asked for, a token is drawn and shown once."""

from __future__ import annotations

import sys

import typer

from beadwright.cli.ending import say
from beadwright.cli.persons import person_of
from beadwright.errors import Misuse
from beadwright.plant import accounts, tokens
from beadwright.plant.opening import Plant

__all__ = ["close_account", "close_token", "give_code", "give_token"]


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


def give_token(plant: Plant, name: str, role: str, station: str) -> None:
    """Make a token: itself alone on standard output, so that it can be piped into a file."""
    secret = tokens.give(plant, name, role, station)
    say(f"Token {name} ({role}{f', of {station}' if station else ''}). It is shown this once:")
    sys.stdout.write(f"{secret}\n")


def close_token(plant: Plant, name: str) -> None:
    """Let a token in no more."""
    if not tokens.close(plant, name):
        message = f"{name} is no open token"
        raise Misuse(message)
    say(f"The token {name} is let in no more. The record keeps what was told with it.")


def _code() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    asked: str = typer.prompt("Code", hide_input=True, confirmation_prompt="Once more")
    return asked
