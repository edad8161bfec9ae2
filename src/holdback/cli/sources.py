"""Where a command takes its records from: a folder, or the database."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from holdback.errors import CollectionError, Fault

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.collection.collection import Collection
    from holdback.species.catalogue import Catalogue


def collection_from(folder: str) -> Collection:
    """Checked collection from a folder.

    Raises
    ------
    CollectionError
        If there is no such folder, or with every fault in it.
    """
    from holdback.collection.collection import Collection

    if not Path(folder).is_dir():
        raise CollectionError(
            Fault("CLI-001", f"There is no folder {folder!r}.", "Name a collection folder.", value=folder)
        )
    return Collection.from_folder(folder)


def start_django() -> None:
    """Make the database usable in this process, migrating it if it is new or old."""
    import os

    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "holdback.web.settings")
    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0, interactive=False)


def catalogue_for(folder: str | None, *, database: bool) -> Catalogue:
    """Species catalogue: the file alone, or with the keeper's own genes from the database."""
    from holdback.species.catalogue import load

    if folder is None and database:
        from holdback.bridge import catalogue_of_records

        return catalogue_of_records()
    return load()


def answers_for(folder: str | None, texts: list[str]) -> Answers:
    """Answers that know the animals named in `texts`.

    With a folder, its whole collection. Without one, a text that reads as genes needs no database: only where one does
    not is the database opened, and then only the animals named and their ancestors are loaded.
    """
    from holdback.answers import Answers
    from holdback.collection.collection import Collection
    from holdback.collection.model import Records
    from holdback.species.catalogue import load

    if folder is not None:
        return Answers(collection_from(folder), load())
    catalogue = load()
    if all(_reads_as_genes(text, catalogue) for text in texts):
        return Answers(Collection.from_records(Records()), catalogue)
    start_django()
    from holdback.bridge import catalogue_of_records, collection_around

    return Answers(collection_around(texts), catalogue_of_records())


def _reads_as_genes(text: str, catalogue: Catalogue) -> bool:
    """Whether every word of a text is shorthand and it names a gene, or says normal."""
    from holdback.heredity.shorthand import read

    reading = read(text, catalogue)
    return not reading.unread and (bool(reading.genes) or "normal" in reading.status)
