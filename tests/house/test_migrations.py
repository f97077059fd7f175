"""The tables in the code and the tables in the migrations are the same."""

from io import StringIO

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    """A change to a model comes with its migration."""
    said = StringIO()

    call_command("makemigrations", "--dry-run", stdout=said, stderr=said)

    assert said.getvalue().strip() == "No changes detected"
