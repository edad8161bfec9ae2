"""Seal the log, and put the first marks."""

from django.db import migrations

from holdback.web.records.seal import sealed, unsealed


def seal(apps, schema_editor):
    for statement in sealed(schema_editor.connection.vendor):
        schema_editor.execute(statement)


def unseal(apps, schema_editor):
    for statement in unsealed(schema_editor.connection.vendor):
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("records", "0001_initial")]

    operations = [migrations.RunPython(seal, unseal)]
