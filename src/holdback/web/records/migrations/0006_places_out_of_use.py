from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("records", "0005_working_year"),
    ]

    operations = [
        migrations.AddField(
            model_name="place",
            name="closed",
            field=models.DateField(blank=True, null=True),
        ),
    ]
