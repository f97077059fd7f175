"""Answers to questions about unusual numbers: each holds for the value it was given for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from beadwright.interop.keyed import Asked, Likely
from beadwright.plant.masses_said import figures_in
from beadwright.units import System

__all__ = ["Question", "asked_in", "kept_fields", "questions"]

_WORKED_OUT = frozenset({"implausible_specimen"})
"""Questions that say a density that was worked out; others quote what was keyed, as it was."""


@dataclass(frozen=True, slots=True)
class Question:
    """A question with what its "yes" sends."""

    asked: Asked
    answer: str


def questions(asked: Iterable[Asked], filled: Likely) -> tuple[Question, ...]:
    """Give the questions of a form, each with its answer."""
    return tuple(Question(one, _answer(one.field, filled)) for one in asked)


def asked_in(asked: Iterable[Asked], units: System) -> tuple[Asked, ...]:
    """Give questions with the densities that were worked out in units of choice."""
    return tuple(
        replace(one, why=figures_in(one.why, units)) if one.code in _WORKED_OUT else one
        for one in asked
    )


def kept_fields(answers: Iterable[str], filled: Likely) -> frozenset[str]:
    """Fields that stand as keyed; an answer about another value or unit is none."""
    given = set(answers)
    return frozenset(name for name in filled.texts if _answer(name, filled) in given)


def _answer(name: str, filled: Likely) -> str:
    return f"{name}={filled.texts.get(name, '').strip()} {filled.units.get(name, '')}".strip()
