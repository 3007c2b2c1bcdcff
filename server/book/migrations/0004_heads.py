from django.db import migrations, models

INTO_ROWS = """
UPDATE book_row SET head = (
    SELECT c.head FROM book_receipt c
    WHERE c.phone_id = book_row.phone_id AND c.line = book_row.line
        AND c.number = book_row.number AND c.outcome <> 'already'
)
"""
LET_GO = "DELETE FROM book_receipt WHERE outcome <> 'already'"
BACK = """
INSERT INTO book_receipt (phone_id, line, sha, outcome, was, code, number, head)
SELECT phone_id, line, sha, outcome, NULL, code, number, head FROM book_row WHERE head IS NOT NULL
"""


class Migration(migrations.Migration):
    """The receipt of a line that took a number is its row of the book."""

    dependencies = [("book", "0003_erased"), ("people", "0003_placed")]

    operations = [
        migrations.AddField("row", "head", models.CharField(max_length=64, null=True)),
        migrations.RunSQL(INTO_ROWS, migrations.RunSQL.noop),
        migrations.RunSQL(LET_GO, BACK),
    ]
