"""Nothing of the tables: a store that is there is migrated, so that its indexes are laid.

They are written after every migration, this one too (``ledger.indexes``).
"""

from typing import ClassVar

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("ledger", "0005_tokens")]

    operations: ClassVar[list[object]] = []
