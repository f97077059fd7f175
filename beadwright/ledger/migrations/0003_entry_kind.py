"""What was decided is found without reading every entry: decisions are few among steps."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("ledger", "0002_label_step")]

    operations = [
        migrations.AddIndex("entry", models.Index(fields=["plant", "kind"], name="entry_kind")),
    ]
