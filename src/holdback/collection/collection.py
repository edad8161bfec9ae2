"""The checked collection: frozen, complete, or it does not exist."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from holdback.collection.cells import list_entries
from holdback.collection.checking import faults_of
from holdback.collection.clutch_parents import with_clutch_parents
from holdback.collection.columns import TABLES
from holdback.collection.housing import path_names, path_text
from holdback.collection.model import (
    Animal,
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    Event,
    GeneStatement,
    LineClaim,
    Mating,
    Measurement,
    Records,
    Temperature,
)
from holdback.collection.origins import PlaceOfOrigin
from holdback.collection.places import Places
from holdback.collection.reading import DEFAULT_SPECIES, Found, read_folder, read_frames
from holdback.collection.table import Kind
from holdback.collection.writing import digest_of, write_folder
from holdback.errors import CollectionError

_Record = TypeVar("_Record")


@dataclass(frozen=True)
class Collection:
    """All records of a collection, checked against each other.

    Build it with `from_folder`, `from_frames` or `from_records`.

    Parameters
    ----------
    records : Records
        Everything, in the order it was read.
    species : str
        Key of the species file.

    Examples
    --------
    >>> pair = Collection.from_frames({"animals": [{"id": "A1"}, {"id": "A2", "dam": "A1"}]})
    >>> [animal.id for animal in pair.offspring("A1")]
    ['A2']
    """

    records: Records
    species: str = DEFAULT_SPECIES

    @classmethod
    def from_folder(cls, path: str | Path) -> Collection:
        """Collection of a folder of CSV files.

        Parameters
        ----------
        path : str or Path
            Folder with ``animals.csv``; the other files may be missing. The species is taken from
            ``datapackage.json`` where there is one.

        Raises
        ------
        CollectionError
            With every fault, each with code, file, line, field, value and what to do.
        """
        return cls._checked(read_folder(path))

    @classmethod
    def from_frames(cls, frames: Mapping[str, Any], *, species: str = DEFAULT_SPECIES) -> Collection:
        """Collection of tables in memory.

        Parameters
        ----------
        frames : mapping of str to frame
            Table name (``"animals"``) to a list of rows (mappings of column to value) or a mapping of column to list;
            columns as in the folder.
        species : str
            Key of the species file.

        Raises
        ------
        CollectionError
            With every fault; the line is that of the table written out under a header.
        """
        found = read_frames(frames)
        found.species = species
        return cls._checked(found)

    @classmethod
    def from_records(cls, records: Records, *, species: str = DEFAULT_SPECIES) -> Collection:
        """Collection of records; spaces around free texts do not count and are taken off.

        Raises
        ------
        CollectionError
            With every fault; it names animals, no files.
        """
        return cls._checked(Found(_trimmed(records), Places(), [], species))

    @classmethod
    def _checked(cls, found: Found) -> Collection:
        """Collection of what was read, or the error with all its faults."""
        faults = found.faults + faults_of(found.records, found.places)
        if faults:
            raise CollectionError(faults)
        return cls(found.records, found.species)

    def to_folder(self, path: str | Path) -> None:
        """Write the collection as a Data Package: a CSV file for each table and ``datapackage.json``.

        Parameters
        ----------
        path : str or Path
            Folder, made if it is not there; files of the same names are replaced.

        Notes
        -----
        A text that a spreadsheet would run as a formula gets an apostrophe in front, which reading takes off again.
        """
        write_folder(self.records, path, species=self.species)

    @cached_property
    def digest(self) -> str:
        """SHA-256 over all records and the species key; the order of rows does not change it."""
        return digest_of(self.records, species=self.species)

    @cached_property
    def animals(self) -> Mapping[str, Animal]:
        """Animals by id; a parent that an animal's own row leaves out is that of its clutch."""
        return MappingProxyType({animal.id: animal for animal in with_clutch_parents(self.records)})

    @cached_property
    def died_in_egg(self) -> frozenset[str]:
        """Ids of the young that died in the egg: they tell of genes, and are no hatchlings."""
        return frozenset(egg.animal for egg in self.records.eggs if egg.animal and egg.outcome is EggOutcome.DIED)

    @cached_property
    def clutches(self) -> Mapping[str, Clutch]:
        """Clutches by id."""
        return MappingProxyType({clutch.id: clutch for clutch in self.records.clutches})

    def offspring(self, animal_id: str) -> tuple[Animal, ...]:
        """Animals that have this one as dam, as sire, or as a candidate sire."""
        return self._offspring.get(animal_id, ())

    def measurements_of(self, animal_id: str) -> tuple[Measurement, ...]:
        """Measurements of an animal, oldest first."""
        return self._measurements.get(animal_id, ())

    def events_of(self, animal_id: str) -> tuple[Event, ...]:
        """Events of an animal, oldest first."""
        return self._events.get(animal_id, ())

    def lines_of(self, animal_id: str) -> tuple[LineClaim, ...]:
        """Line claims of an animal."""
        return self._lines.get(animal_id, ())

    def statements_of(self, animal_id: str) -> tuple[GeneStatement, ...]:
        """What was seen or is said of single genes of an animal, in the order recorded."""
        return self._statements.get(animal_id, ())

    def origin_of(self, animal_id: str) -> PlaceOfOrigin | None:
        """Place that an animal is said to come from, None if none is said."""
        return self._origins.get(animal_id)

    def with_coarse_places(self) -> Collection:
        """The same collection with all coordinates to a tenth of a degree, as it may leave this computer."""
        origins = tuple(one.coarse for one in self.records.origins)
        return replace(self, records=replace(self.records, origins=origins))

    def matings_of(self, animal_id: str) -> tuple[Mating, ...]:
        """Matings of an animal on either side, in the order recorded."""
        return self._matings.get(animal_id, ())

    def eggs_of(self, clutch_id: str) -> tuple[Egg, ...]:
        """Eggs of a clutch."""
        return self._eggs.get(clutch_id, ())

    def looks_at(self, clutch_id: str) -> tuple[EggLook, ...]:
        """Looks at the eggs of a clutch, oldest first."""
        return self._egg_looks.get(clutch_id, ())

    def temperatures_of(self, place: str) -> tuple[Temperature, ...]:
        """Readings of the warmth of a place, oldest first."""
        return self._temperatures.get(place, ())

    def clutch_mates(self, clutch_id: str) -> tuple[Animal, ...]:
        """Animals that hatched from a clutch."""
        return self._clutch_mates.get(clutch_id, ())

    @cached_property
    def _offspring(self) -> Mapping[str, tuple[Animal, ...]]:
        return _grouped(self.animals.values(), lambda one: (one.dam, *(sire.animal for sire in one.sires)))

    @cached_property
    def _measurements(self) -> Mapping[str, tuple[Measurement, ...]]:
        in_time = sorted(self.records.measurements, key=lambda one: one.date)
        return _grouped(in_time, lambda one: (one.animal,))

    @cached_property
    def _events(self) -> Mapping[str, tuple[Event, ...]]:
        return _grouped(sorted(self.records.events, key=lambda one: one.date), lambda one: (one.animal,))

    @cached_property
    def _egg_looks(self) -> Mapping[str, tuple[EggLook, ...]]:
        return _grouped(sorted(self.records.egg_looks, key=lambda one: one.date), lambda one: (one.clutch,))

    @cached_property
    def _temperatures(self) -> Mapping[str, tuple[Temperature, ...]]:
        in_time = sorted(self.records.temperatures, key=lambda one: (one.date, one.time))
        return _grouped(in_time, lambda one: (one.place,))

    @cached_property
    def _lines(self) -> Mapping[str, tuple[LineClaim, ...]]:
        return _grouped(self.records.lines, lambda one: (one.animal,))

    @cached_property
    def _statements(self) -> Mapping[str, tuple[GeneStatement, ...]]:
        return _grouped(self.records.statements, lambda one: (one.animal,))

    @cached_property
    def _origins(self) -> Mapping[str, PlaceOfOrigin]:
        return {one.animal: one for one in self.records.origins}

    @cached_property
    def _matings(self) -> Mapping[str, tuple[Mating, ...]]:
        return _grouped(self.records.matings, lambda one: (one.dam, one.sire))

    @cached_property
    def _eggs(self) -> Mapping[str, tuple[Egg, ...]]:
        return _grouped(self.records.eggs, lambda one: (one.clutch,))

    @cached_property
    def _clutch_mates(self) -> Mapping[str, tuple[Animal, ...]]:
        hatched = (one for one in self.animals.values() if one.id not in self.died_in_egg)
        return _grouped(hatched, lambda one: (one.clutch,))


def _grouped(
    records: Iterable[_Record], keys: Callable[[_Record], Iterable[str | None]]
) -> Mapping[str, tuple[_Record, ...]]:
    """Records by each of their keys, in their order."""
    groups: dict[str, list[_Record]] = defaultdict(list)
    for record in records:
        for key in keys(record):
            if key is not None:
                groups[key].append(record)
    return {key: tuple(group) for key, group in groups.items()}


def _plain(text: Any, kind: Kind) -> Any:
    """Text, or texts of a list, as the cell of a folder would give them back."""
    if kind is Kind.LIST:
        return list_entries(text)
    return path_text(path_names(text)) if kind is Kind.PLACE else text.strip()


_TYPED = frozenset({Kind.TEXT, Kind.PLACE, Kind.LIST})
"""Kinds of cells that hold what somebody typed."""


def _trimmed(records: Records) -> Records:
    """Records without spaces around free texts, as a folder would give them back."""
    tables: dict[str, Any] = {}
    for table in TABLES:
        fields = {column.field: column.kind for column in table.columns if column.kind in _TYPED}
        rows = []
        for record in getattr(records, table.name):
            changed = {
                name: plain
                for name, kind in fields.items()
                if (text := getattr(record, name)) and (plain := _plain(text, kind)) != text
            }
            rows.append(replace(record, **changed) if changed else record)
        tables[table.name] = tuple(rows)
    return Records(**tables)
