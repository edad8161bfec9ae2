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


def answers_for(folder: str | None, texts: list[str]) -> Answers:
    """Answers for animals or genes in shorthand.

    With a folder, over its collection. Without one, texts that all read as genes need no database; else it is opened,
    and the answers are over all records, since young and kin say what an animal carries.
    """
    if folder is None:
        from holdback.species.catalogue import load

        catalogue = load()
        if all(_reads_as_genes(text, catalogue) for text in texts):
            from holdback.answers import Answers
            from holdback.collection.collection import Collection
            from holdback.collection.model import Records

            return Answers(Collection.from_records(Records()), catalogue)
    return answers_from(folder)


def answers_from(folder: str | None) -> Answers:
    """Answers over the collection of a folder, or over all records of the database."""
    if folder is None:
        start_django()
        from holdback.bridge import answers

        return answers()
    from holdback.answers import Answers
    from holdback.species.catalogue import load

    return Answers(collection_from(folder), load())


def _reads_as_genes(text: str, catalogue: Catalogue) -> bool:
    """Whether every word of a text is shorthand and it names a gene, or says normal."""
    from holdback.heredity.shorthand import read

    reading = read(text, catalogue)
    return not reading.unread and (bool(reading.genes) or "normal" in reading.status)
