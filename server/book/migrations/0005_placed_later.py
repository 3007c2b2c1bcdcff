from django.db import migrations, models
from django.db.models import Q


def placed(name):
    """An index of the rows that have their place: a push leaves it alone."""
    fields = ("farm", name, "number")
    return models.Index(fields=fields, name=f"row_{name}", condition=Q(**{f"{name}__isnull": False}))


class Migration(migrations.Migration):
    dependencies = [("book", "0004_heads")]

    operations = [
        *(migrations.RemoveIndex("row", f"row_{name}") for name in ("field", "day", "kind")),
        *(migrations.AddIndex("row", placed(name)) for name in ("field", "day", "kind")),
        migrations.AddConstraint(
            "row",
            models.UniqueConstraint(
                fields=("phone", "line"), name="row_line", condition=Q(head__isnull=False)
            ),
        ),
    ]
