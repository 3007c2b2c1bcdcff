import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("book", "0002_again_of"),
        ("people", "0002_wider"),
    ]

    operations = [
        migrations.CreateModel(
            name="Erased",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.BigIntegerField()),
                ("said", models.BinaryField()),
                (
                    "farm",
                    models.ForeignKey(
                        db_index=False, on_delete=django.db.models.deletion.PROTECT, to="people.farm"
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("farm", "number"), name="erased_number")
                ],
            },
        ),
    ]
