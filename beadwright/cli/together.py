"""Options that count only beside another: what would be passed over silently is refused.

Read :func:`only_with` and :func:`not_with`. An option counts as said where it was keyed, not where
the environment gives it.
"""

from __future__ import annotations

import typer

from beadwright.errors import Misuse

__all__ = ["not_with", "only_with"]

_KEYED = "COMMANDLINE"


def only_with(context: typer.Context, needed: str, *names: str, given: bool) -> None:
    """Refuse options that count only beside another, where that is not given.

    ``needed`` says that other, ``names`` are the parameters of the verb.

    Raises
    ------
    Misuse
        If one of them was keyed all the same.
    """
    if not given and (said := _keyed(context, names)):
        message = f"{_listed(said)} {_counts(said)} only with {needed}: say both, or neither"
        raise Misuse(message)


def not_with(context: typer.Context, other: str, *names: str, given: bool) -> None:
    """Refuse options that do nothing beside another that is given.

    Raises
    ------
    Misuse
        If one of them was keyed.
    """
    if given and (said := _keyed(context, names)):
        message = f"{_listed(said)} {_counts(said)} for nothing with {other}: leave one of them out"
        raise Misuse(message)


def _keyed(context: typer.Context, names: tuple[str, ...]) -> list[str]:
    """Give the options that were keyed, as one keys them."""
    found = []
    for one in context.command.params:
        source = context.get_parameter_source(one.name) if one.name in names else None
        if source is not None and source.name == _KEYED:
            found.append(max(one.opts, key=len))
    return found


def _listed(said: list[str]) -> str:
    return f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else said[0]


def _counts(said: list[str]) -> str:
    return "count" if len(said) > 1 else "counts"
