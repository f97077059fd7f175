"""Accounts to sign in with stand beside the names of people, outside the chain."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("ledger", "0003_entry_kind")]

    operations = [
        migrations.CreateModel(
            "Account",
            [
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False,
                                           verbose_name="ID")),
                ("plant", models.CharField(max_length=20)),
                ("person", models.CharField(max_length=40)),
                ("secret", models.CharField(max_length=200)),
                ("open", models.BooleanField()),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("plant", "person"), name="account_person")
                ],
            },
        ),
    ]
