from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('ahead', '0001_first'),
    ]

    operations = [
        migrations.AddField(
            model_name='sketch',
            name='standing',
            field=models.CharField(choices=[('asked', 'asked'), ('making', 'making'), ('made', 'made'), ('failed', 'failed')], default='made', max_length=6),
        ),
        migrations.AddField(
            model_name='sketch',
            name='step',
            field=models.CharField(blank=True, default='', max_length=20),
        ),
        migrations.AddField(
            model_name='sketch',
            name='moved_at',
            field=models.DateTimeField(null=True),
        ),
    ]
