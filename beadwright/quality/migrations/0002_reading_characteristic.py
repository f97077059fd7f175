from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("quality", "0001_tables")]

    operations = [
        migrations.AddIndex(
            model_name="reading",
            index=models.Index(fields=["p", "characteristic"], name="reading_characteristic"),
        ),
    ]
