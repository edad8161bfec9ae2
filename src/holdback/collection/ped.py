"""Pedigrees in the open text format of linkage analysis: ``.ped``, and its first six columns alone, ``.fam``.

One animal a line, columns parted by spaces or tabs: family, individual, father, mother, sex (1 male, 2 female, 0 not
known), phenotype. ``0`` is an unknown parent. More columns are genotypes, which are not read. Lines that begin with
``#`` are remarks.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from holdback.collection.collection import Collection
from holdback.collection.columns import TABLES
from holdback.collection.model import NO_SIRE, Animal, Candidate, Records, Sex
from holdback.errors import CollectionError, Fault

SUFFIXES = (".ped", ".fam")
UNKNOWN = "0"
FAMILY = "1"
"""Family that every animal is written under; kin across families could not be written."""

_SEXES = {"1": Sex.MALE, "2": Sex.FEMALE, "0": Sex.UNKNOWN, "-9": Sex.UNKNOWN}
_CODES = {Sex.MALE: "1", Sex.FEMALE: "2", Sex.UNKNOWN: "0"}
_NO_PHENOTYPE = ("0", "-9")
_NO_FAMILY = (FAMILY, UNKNOWN)

_WRITTEN = ("id", "sex", "sire", "dam")
"""Columns of the animals that the format can hold."""


@dataclass(frozen=True)
class ReadPed:
    """What a pedigree file gave.

    Parameters
    ----------
    records : Records
        Animals alone, in file order; parents that have no line of their own stand at the end.
    lines : tuple of int
        Line of each animal, counted from 1; for a parent without one, the line that names it first.
    notes : tuple of str
        What was not read, or is called something else here.
    """

    records: Records
    lines: tuple[int, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class WrittenPed:
    """A pedigree as text.

    Parameters
    ----------
    text : str
        Six columns parted by tabs.
    notes : tuple of str
        What the format cannot say, and ids that were changed.
    """

    text: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """One line; ids still within their family."""

    line: int
    family: str
    individual: str
    father: str
    mother: str
    sex: Sex
    has_phenotype: bool
    has_genotypes: bool


def read_ped(source: str | Path) -> ReadPed:
    """Animals of a pedigree file.

    Parameters
    ----------
    source : str or Path
        Text, or the path of a UTF-8 file.

    Returns
    -------
    ReadPed
        Animals with sexes and parents, not yet checked against each other (`Collection.from_records` does).

    Raises
    ------
    CollectionError
        PED-020 to PED-025, all faults together, each with its line.

    Notes
    -----
    An id that stands in two families becomes ``family.individual`` in both.

    Examples
    --------
    >>> found = read_ped("1 K S D 2 0")
    >>> [(animal.id, animal.sex.value) for animal in found.records.animals]
    [('K', 'female'), ('S', 'male'), ('D', 'female')]
    """
    text, file = _text(source)
    faults: list[Fault] = []
    rows: list[_Row] = []
    n_remarks = 0
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        cells = line.split()
        if not cells:
            continue
        if cells[0].startswith("#"):
            n_remarks += 1
            continue
        wrong = _wrong(cells)
        if wrong:
            code, what, hint = wrong
            faults.append(Fault(code, what, hint, file=file, line=number, value=line.strip()[:80]))
        else:
            rows.append(_row(number, cells))
    faults += _named_twice(rows, file)
    if not rows and not faults:
        faults.append(Fault("PED-020", "There is no animal in this file.", "Give one animal a line.", file=file))
    if faults:
        raise CollectionError(sorted(faults, key=lambda one: one.line))
    return _read(rows, file, n_remarks=n_remarks)


def write_ped(collection: Collection) -> WrittenPed:
    """A collection's pedigree as text, one line an animal, everybody in one family.

    Parameters
    ----------
    collection : Collection
        What to write.

    Returns
    -------
    WrittenPed
        Spaces in ids are written as ``_``. A doubtful sire, and none at all, are written as unknown. The notes say
        how many, and count what the format has no column for.

    Raises
    ------
    CollectionError
        PED-026 for ids that would fall together or mean an unknown parent; all faults together.
    """
    animals = collection.animals
    written = {animal: "_".join(animal.split()) for animal in animals}
    counts = Counter(written.values())
    faults = [
        Fault("PED-026", f"{one!r} would be written as {new!r}, which means another.", "Change the id.", animal=one)
        for one, new in written.items()
        if counts[new] > 1 or new == UNKNOWN
    ]
    if faults:
        raise CollectionError(faults)
    lines = []
    for animal in animals.values():
        father = written[animal.sire] if animal.sire else UNKNOWN
        mother = written[animal.dam] if animal.dam else UNKNOWN
        lines.append("\t".join([FAMILY, written[animal.id], father, mother, _CODES[animal.sex], UNKNOWN]) + "\n")
    return WrittenPed("".join(lines), tuple(_written_notes(collection, written)))


def _written_notes(collection: Collection, written: dict[str, str]) -> list[str]:
    """What the text does not say."""
    notes = []
    alone = sum(one.sires == (Candidate(NO_SIRE),) for one in collection.animals.values())
    doubtful = sum(bool(one.sires) and one.sire is None for one in collection.animals.values()) - alone
    if doubtful:
        notes.append(f"Animals with a doubtful sire, written as unknown: {doubtful}.")
    if alone:
        notes.append(f"Animals without a sire, written as with an unknown one: {alone}.")
    changed = [f"{one} as {new}" for one, new in written.items() if one != new]
    if changed:
        notes.append(f"Spaces in ids are written as _: {', '.join(changed)}.")
    counts = _not_written(collection)
    if counts:
        notes.append(f"Not in the file: {', '.join(f'{what} ({number})' for what, number in counts.items())}.")
    return notes


def _not_written(collection: Collection) -> dict[str, int]:
    """Filled cells of the animals and rows of the other tables that the format has no column for."""
    records = collection.records
    animals = next(table for table in TABLES if table.name == "animals")
    counts = {
        column.name: sum(getattr(one, column.field) != column.absent for one in records.animals)
        for column in animals.columns
        if column.name not in _WRITTEN
    }
    counts |= {table.name: len(getattr(records, table.name)) for table in TABLES if table is not animals}
    return {what: number for what, number in counts.items() if number}


def _text(source: str | Path) -> tuple[str, str]:
    """Text and the name of its file."""
    if isinstance(source, str):
        return source, ""
    try:
        return source.read_bytes().decode("utf-8"), source.name
    except UnicodeDecodeError as error:
        fault = Fault("PED-021", "The file is not UTF-8 text.", "Save it as UTF-8.", file=source.name)
        raise CollectionError(fault) from error


def _wrong(cells: list[str]) -> tuple[str, str, str] | None:
    """Code, what and hint of a line that cannot be read."""
    if len(cells) < 5:
        how = "Write family, individual, father, mother, sex and phenotype."
        return "PED-022", f"The line has {len(cells)} columns, not six.", how
    if cells[4] not in _SEXES:
        return "PED-023", f"{cells[4]!r} is no sex.", "Write 1 for a male, 2 for a female, 0 for not known."
    strange = [one for one in cells[1:4] if any(mark in one for mark in "|:") or one.casefold() == NO_SIRE]
    if strange or cells[1] == UNKNOWN:
        one = strange[0] if strange else UNKNOWN
        return "PED-024", f"{one!r} cannot be an id.", "An id has no | or :, and is not 0 or the word none."
    return None


def _row(number: int, cells: list[str]) -> _Row:
    family, individual, father, mother, sex = cells[:5]
    has_phenotype = len(cells) > 5 and cells[5] not in _NO_PHENOTYPE
    return _Row(number, family, individual, father, mother, _SEXES[sex], has_phenotype, len(cells) > 6)


def _named_twice(rows: list[_Row], file: str) -> list[Fault]:
    """Faults of animals with two lines, and of ids that joining family and individual would make a second time."""
    first: dict[tuple[str, str], int] = {}
    faults = []
    for row in rows:
        earlier = first.setdefault((row.family, row.individual), row.line)
        if earlier != row.line:
            what = f"{row.individual} of family {row.family} stands on line {earlier} already."
            faults.append(Fault("PED-025", what, "Leave one of them out.", file=file, line=row.line))
    return faults


def _read(rows: list[_Row], file: str, *, n_remarks: int) -> ReadPed:
    """Animals of lines that are all right."""
    named: dict[tuple[str, str], tuple[Sex, int]] = {(one.family, one.individual): (one.sex, one.line) for one in rows}
    n_listed = len(named)
    for row in rows:
        for parent, sex in ((row.father, Sex.MALE), (row.mother, Sex.FEMALE)):
            if parent != UNKNOWN:
                named.setdefault((row.family, parent), (sex, row.line))
    in_families = Counter(individual for _, individual in named)
    ids = {key: f"{key[0]}.{key[1]}" if in_families[key[1]] > 1 else key[1] for key in named}
    again = Counter(ids.values())
    faults = [
        Fault(
            "PED-025",
            f"Two animals would be called {one}.",
            "Give one of them another id.",
            file=file,
            line=named[key][1],
        )
        for key, one in ids.items()
        if again[one] > 1
    ]
    if faults:
        raise CollectionError(faults)
    parents = {(row.family, row.individual): (row.father, row.mother) for row in rows}
    animals = []
    for key, (sex, _) in named.items():
        father, mother = parents.get(key, (UNKNOWN, UNKNOWN))
        sires = () if father == UNKNOWN else (Candidate(ids[key[0], father]),)
        dam = None if mother == UNKNOWN else ids[key[0], mother]
        animals.append(Animal(ids[key], sex=sex, sires=sires, dam=dam))
    n_renamed = sum(ids[key] != key[1] for key in ids)
    notes = _read_notes(rows, n_added=len(named) - n_listed, n_renamed=n_renamed, n_remarks=n_remarks)
    return ReadPed(Records(tuple(animals)), tuple(line for _, line in named.values()), tuple(notes))


def _read_notes(rows: list[_Row], *, n_added: int, n_renamed: int, n_remarks: int) -> list[str]:
    """What was not read, or is called something else here."""
    told = (
        (sum(one.has_genotypes for one in rows), "Lines with genotypes, which are not read"),
        (sum(one.has_phenotype for one in rows), "Lines with a phenotype, which is not read"),
        (len({one.family for one in rows} - {*_NO_FAMILY}), "Names of families, which are not kept"),
        (n_remarks, "Lines of remarks, which are not read"),
        (n_added, "Parents without a line of their own, taken as animals"),
        (n_renamed, "Animals whose id stands in several families, called family.individual"),
    )
    return [f"{words}: {number}." for number, words in told if number]
