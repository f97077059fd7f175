"""Tokens of machines and programs stand beside the accounts of people, outside the chain."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("ledger", "0004_accounts")]

    operations = [
        migrations.CreateModel(
            "Token",
            [
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False,
                                           verbose_name="ID")),
                ("plant", models.CharField(max_length=20)),
                ("name", models.CharField(max_length=40)),
                ("secret", models.CharField(max_length=64)),
                ("role", models.CharField(max_length=20)),
                ("station", models.CharField(max_length=40)),
                ("open", models.BooleanField()),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("plant", "name"), name="token_name"),
                    models.UniqueConstraint(fields=("plant", "secret"), name="token_secret"),
                ],
            },
        ),
    ]
