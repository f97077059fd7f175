"""Tables of the record and of what is derived from it: fields and constraints, nothing else.

``Entry`` is the record. Every other table here but ``Person`` is a projection: `beadwright rebuild`
makes it again from the entries. The tables are written with SQL by :mod:`beadwright.ledger.store`
and asked through functions of this package that return frozen dataclasses.
"""

from __future__ import annotations

from typing import Any, NoReturn

from django.db import models

__all__ = [
    "Account",
    "Decision",
    "Entry",
    "Finding",
    "Head",
    "Kept",
    "Label",
    "Loss",
    "Lot",
    "Person",
    "Plant",
    "Posted",
    "Setting",
    "State",
    "Step",
    "Token",
    "Touch",
]

_CODE = 20
_KEY = 200


class Kept(models.Model):
    """A row that only the record and its projections may write."""

    class Meta:
        abstract = True

    def save(self, *_: Any, **__: Any) -> NoReturn:
        """Refuse: rows come from entries, and entries from the door."""
        message = f"{type(self).__name__} is written by the record only; post a draft at the door"
        raise TypeError(message)

    def delete(self, *_: Any, **__: Any) -> NoReturn:
        """Refuse: nothing is deleted."""
        message = f"{type(self).__name__} is never deleted; reverse or correct the step instead"
        raise TypeError(message)


class Plant(Kept):
    """A plant, with the small number its projections carry."""

    no = models.SmallIntegerField(primary_key=True)
    code = models.CharField(max_length=_CODE, unique=True)


class Entry(Kept):
    """The record: one chained row for everything that was ever said."""

    pk = models.CompositePrimaryKey("plant", "seq")
    plant = models.CharField(max_length=_CODE)
    seq = models.BigIntegerField()
    kind = models.CharField(max_length=_CODE)
    schema = models.SmallIntegerField()
    body = models.TextField()
    prev = models.CharField(max_length=64)
    hash = models.CharField(max_length=64)

    class Meta:
        indexes = (models.Index(fields=("plant", "kind"), name="entry_kind"),)


class Head(Kept):
    """The last entry of each plant; locked by every append."""

    plant = models.CharField(max_length=_CODE, primary_key=True)
    no = models.SmallIntegerField()
    seq = models.BigIntegerField()
    hash = models.CharField(max_length=64)
    lots = models.BigIntegerField()
    rules = models.BigIntegerField()
    """Last entry that changed a setting or a concession: what the fold's judge may have cached."""


class Posted(Kept):
    """Client keys that were used, so that the same draft posts once."""

    pk = models.CompositePrimaryKey("p", "key")
    p = models.SmallIntegerField()
    key = models.CharField(max_length=_KEY)
    seq = models.BigIntegerField()
    digest = models.CharField(max_length=64)

    class Meta:
        indexes = (models.Index(fields=("p", "seq"), name="posted_seq"),)


class State(Kept):
    """What the fold knows of a lot after one touch."""

    mg = models.BigIntegerField()
    pieces = models.BigIntegerField()
    in_mg = models.BigIntegerField()
    first = models.BigIntegerField(null=True)
    last = models.BigIntegerField(null=True)
    grades = models.TextField()
    causes = models.TextField()
    place = models.TextField()
    reclaim = models.IntegerField(db_default=0)
    """Share that was moulded before, in parts per million, as if all in it were well mixed."""

    class Meta:
        abstract = True


class Lot(State):
    """A lot, with its state after its last touch."""

    pk = models.CompositePrimaryKey("p", "no")
    p = models.SmallIntegerField()
    no = models.BigIntegerField()
    id = models.CharField(max_length=36)
    code = models.CharField(max_length=_CODE)
    kind = models.CharField(max_length=12)
    what = models.CharField(max_length=40)
    product = models.CharField(max_length=40)
    own = models.TextField()
    """Grades the lot brought with it."""
    unit_mg = models.BigIntegerField()
    seq = models.BigIntegerField()
    last_k = models.BigIntegerField()
    last_tie = models.BigIntegerField()
    came_mg = models.BigIntegerField(db_default=0)
    """All that ever came in, whatever was swept out since."""

    class Meta:
        constraints = (models.UniqueConstraint(fields=("p", "code"), name="lot_code"),)
        indexes = (models.Index(fields=("p", "kind"), name="lot_kind"),)


class Label(Kept):
    """A foreign label of a lot; labels may repeat."""

    p = models.SmallIntegerField()
    lot = models.BigIntegerField()
    step = models.BigIntegerField()
    """The seq of the first entry of the step that says it."""
    issuer = models.CharField(max_length=80)
    text = models.CharField(max_length=120)
    since = models.BigIntegerField(null=True)
    until = models.BigIntegerField(null=True)

    class Meta:
        indexes = (
            models.Index(fields=("p", "text"), name="label_text"),
            models.Index(fields=("p", "step"), name="label_step"),
        )


class Step(Kept):
    """The newest version of a step, or of a hold or lift, at its place in the fold's order."""

    pk = models.CompositePrimaryKey("p", "no")
    p = models.SmallIntegerField()
    no = models.BigIntegerField()
    """The seq of its first entry."""
    key = models.CharField(max_length=_KEY)
    kind = models.CharField(max_length=20)
    k = models.BigIntegerField()
    tie = models.BigIntegerField()
    at_ms = models.BigIntegerField()
    seq = models.BigIntegerField()
    """The seq of its newest entry."""
    reversed = models.BooleanField()
    product = models.CharField(max_length=40)
    place = models.CharField(max_length=40)
    run = models.CharField(max_length=40)
    by = models.CharField(max_length=40)
    facts = models.TextField()
    remainder_mg = models.BigIntegerField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("p", "key"), name="step_key"),
            models.UniqueConstraint(fields=("p", "k", "tie"), name="step_order"),
        )


class Loss(Kept):
    """A named loss of a step."""

    p = models.SmallIntegerField()
    step = models.BigIntegerField()
    name = models.CharField(max_length=60)
    mg = models.BigIntegerField()

    class Meta:
        indexes = (models.Index(fields=("p", "step"), name="loss_step"),)


class Touch(State):
    """One line of a step on one lot, with the lot's state after it."""

    pk = models.CompositePrimaryKey("p", "lot", "k", "tie", "line")
    p = models.SmallIntegerField()
    lot = models.BigIntegerField()
    k = models.BigIntegerField()
    tie = models.BigIntegerField()
    line = models.SmallIntegerField()
    step = models.BigIntegerField()
    sign = models.SmallIntegerField()
    moved_mg = models.BigIntegerField()
    moved_pieces = models.BigIntegerField()
    how = models.CharField(max_length=12)
    goes = models.TextField()
    differ_mg = models.BigIntegerField()
    differ_pieces = models.BigIntegerField()

    class Meta:
        indexes = (models.Index(fields=("p", "step"), name="touch_step"),)


class Finding(Kept):
    """A nonconformity the fold derives: step, code, offending lot or none."""

    p = models.SmallIntegerField()
    step = models.BigIntegerField()
    code = models.CharField(max_length=40)
    lot = models.BigIntegerField(null=True)
    cause = models.TextField()
    detail = models.TextField()

    class Meta:
        indexes = (
            models.Index(fields=("p", "step"), name="finding_step"),
            models.Index(fields=("p", "cause"), name="finding_cause"),
        )


class Setting(Kept):
    """A dated setting."""

    pk = models.CompositePrimaryKey("p", "seq")
    p = models.SmallIntegerField()
    seq = models.BigIntegerField()
    topic = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    since = models.BigIntegerField()
    body = models.TextField()


class Decision(Kept):
    """Hold, lift, release, concession, disposition, signature: what a person decided."""

    pk = models.CompositePrimaryKey("p", "seq")
    p = models.SmallIntegerField()
    seq = models.BigIntegerField()
    kind = models.CharField(max_length=20)
    about = models.CharField(max_length=200)
    at_ms = models.BigIntegerField()
    by = models.CharField(max_length=40)
    body = models.TextField()

    class Meta:
        indexes = (models.Index(fields=("p", "kind", "about"), name="decision_about"),)


class Person(models.Model):
    """A name behind an id of the record; kept outside it, and erasable."""

    plant = models.CharField(max_length=_CODE)
    person = models.CharField(max_length=40)
    initials = models.CharField(max_length=40)
    name = models.CharField(max_length=120)
    confirmed = models.BooleanField(default=False)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("plant", "initials"), name="person_initials"),
        )


class Account(models.Model):
    """A person who may sign in; kept outside the record, and erased with the name."""

    plant = models.CharField(max_length=_CODE)
    person = models.CharField(max_length=40)
    secret = models.CharField(max_length=200)
    open = models.BooleanField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("plant", "person"), name="account_person"),)


class Token(models.Model):
    """A machine or program that may ask or tell; kept outside the record, by a hash alone."""

    plant = models.CharField(max_length=_CODE)
    name = models.CharField(max_length=40)
    secret = models.CharField(max_length=64)
    role = models.CharField(max_length=20)
    station = models.CharField(max_length=40)
    open = models.BooleanField()

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("plant", "name"), name="token_name"),
            models.UniqueConstraint(fields=("plant", "secret"), name="token_secret"),
        )
