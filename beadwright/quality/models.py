"""Table of readings: a projection of the record, like those of the ledger.

The record writes it with SQL through :mod:`beadwright.quality.projection`; it is asked through
:mod:`beadwright.quality.readings`, whose answers are frozen dataclasses.
"""

from __future__ import annotations

from typing import Any, NoReturn

from django.db import models

__all__ = ["Reading"]

_CODE = 20
_KEY = 200


class Reading(models.Model):
    """One measured value, as keyed and in SI; voided by an entry, never changed."""

    pk = models.CompositePrimaryKey("p", "seq", "line")
    p = models.SmallIntegerField()
    seq = models.BigIntegerField()
    """The entry it came with."""
    line = models.SmallIntegerField()
    """Its number within that entry, from 0."""
    lot = models.CharField(max_length=_CODE)
    step = models.CharField(max_length=_KEY)
    characteristic = models.CharField(max_length=40)
    value = models.CharField(max_length=40)
    unit = models.CharField(max_length=20)
    si = models.FloatField(null=True)
    """Value in the SI unit of its characteristic; none of a grade."""
    u_si = models.FloatField(null=True)
    """Standard uncertainty, in the same unit; none where none was stated."""
    instrument = models.CharField(max_length=60)
    method = models.CharField(max_length=80)
    specimen = models.CharField(max_length=60)
    replicate = models.SmallIntegerField()
    facts = models.TextField()
    parents = models.TextField()
    at_ms = models.BigIntegerField()
    by = models.CharField(max_length=40)
    voided_by = models.BigIntegerField(null=True)
    """The entry that voided it."""

    class Meta:
        indexes = (
            models.Index(fields=("p", "lot", "at_ms"), name="reading_lot"),
            models.Index(fields=("p", "step"), name="reading_step"),
            models.Index(fields=("p", "characteristic"), name="reading_characteristic"),
        )

    def save(self, *_: Any, **__: Any) -> NoReturn:
        """Refuse: rows come from entries, and entries from the door."""
        message = "a reading is written by the record only; post a draft of it at the door"
        raise TypeError(message)

    def delete(self, *_: Any, **__: Any) -> NoReturn:
        """Refuse: nothing is deleted."""
        message = "a reading is never deleted; void the draft it came with instead"
        raise TypeError(message)
