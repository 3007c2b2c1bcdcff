from django.db import migrations, models
from django.db.models import F


def all_are(apps, schema_editor):
    """Until now every row was given its place when it was written."""
    alias = schema_editor.connection.alias
    apps.get_model("people", "Farm").objects.using(alias).update(placed=F("number"))


class Migration(migrations.Migration):
    dependencies = [("people", "0002_wider")]

    operations = [
        migrations.AddField("farm", "placed", models.BigIntegerField(default=0)),
        migrations.RunPython(all_are, migrations.RunPython.noop),
    ]
