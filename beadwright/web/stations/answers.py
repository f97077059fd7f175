"""Answers to questions about unusual numbers: each holds for the value it was given for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.interop.keyed import Asked, Likely

__all__ = ["Question", "kept_fields", "questions"]


@dataclass(frozen=True, slots=True)
class Question:
    """A question with what its "yes" sends."""

    asked: Asked
    answer: str


def questions(asked: Iterable[Asked], filled: Likely) -> tuple[Question, ...]:
    """Give the questions of a form, each with its answer."""
    return tuple(Question(one, _answer(one.field, filled)) for one in asked)


def kept_fields(answers: Iterable[str], filled: Likely) -> frozenset[str]:
    """Fields that stand as keyed; an answer about another value or unit is none."""
    given = set(answers)
    return frozenset(name for name in filled.texts if _answer(name, filled) in given)


def _answer(name: str, filled: Likely) -> str:
    return f"{name}={filled.texts.get(name, '').strip()} {filled.units.get(name, '')}".strip()
