"""PostgreSQL counts its tables anew each time a record has doubled, and at no other time."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from beadwright.ledger import store

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("new", "counted"),
    [
        ([], False),
        ([1], False),
        ([512, 513], False),
        ([1023], False),
        ([1024], True),
        ([1025], False),
        ([2000, 2048, 2049], True),
        ([3, 4096], True),
        ([5000, 6000], False),
    ],
)
def test_tables_are_counted_when_the_record_has_doubled(new: list[int], counted: bool) -> None:
    """An append that crosses a power of two counts; SQLite needs no counting."""
    with CaptureQueriesContext(connection) as asked:
        store.grown(new)
    said = [query["sql"] for query in asked if query["sql"].startswith("ANALYZE")]
    assert len(said) == (counted and connection.vendor == "postgresql")
    assert all('"ledger_touch"' in sql and '"quality_reading"' in sql for sql in said)
