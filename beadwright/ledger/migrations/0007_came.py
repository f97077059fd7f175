"""What ever came into a lot is kept with it: a silo is filled tens of thousands of times."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("ledger", "0006_partial_indexes")]

    operations = [
        migrations.AddField("lot", "came_mg", models.BigIntegerField(db_default=0)),
        migrations.RunSQL(
            "UPDATE ledger_lot SET came_mg=coalesce((SELECT sum(moved_mg) FROM ledger_touch t"
            " WHERE t.p=ledger_lot.p AND t.lot=ledger_lot.no AND t.sign > 0), 0)",
            migrations.RunSQL.noop,
        ),
    ]
