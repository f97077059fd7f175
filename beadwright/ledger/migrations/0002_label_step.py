"""A foreign label follows the step that says it."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("ledger", "0001_tables")]

    operations = [
        migrations.AddField("label", "step", models.BigIntegerField(default=0), False),
        migrations.RunSQL(
            "UPDATE ledger_label SET step=coalesce((SELECT seq FROM ledger_lot l"
            " WHERE l.p=ledger_label.p AND l.no=ledger_label.lot), 0)",
            migrations.RunSQL.noop,
        ),
        migrations.AddIndex("label", models.Index(fields=["p", "step"], name="label_step")),
    ]
