"""Pedigree text files: read, written, and refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.collection.collection import Collection
from holdback.collection.model import NO_SIRE, Animal, Candidate, Records, Sex
from holdback.collection.ped import read_ped, write_ped
from holdback.errors import CollectionError

FILE = (
    "\ufeff# Wrackline Barn, all families\r\n"
    "#family individual father mother sex phenotype\r\n"
    "\r\n"
    "W1\tMortar\t0\t0\t1\t-9\r\n"
    "W1\tThistle  0 0   2\t-9\r\n"
    "W1 Umber Mortar Thistle 2 1 A G T T\r\n"
    "  W2 Umber 0 Sedge 0 -9\r\n"
    "W2 Pim Flint Umber 1\r\n"
)


def test_read_ped__remarks_tabs_line_ends_mark_and_families(tmp_path: Path) -> None:
    (tmp_path / "barn.fam").write_bytes(FILE.encode())
    found = read_ped(tmp_path / "barn.fam")
    assert [(one.id, one.sex.value, one.sire, one.dam) for one in found.records.animals] == [
        ("Mortar", "male", None, None),
        ("Thistle", "female", None, None),
        ("W1.Umber", "female", "Mortar", "Thistle"),
        ("W2.Umber", "unknown", None, "Sedge"),
        ("Pim", "male", "Flint", "W2.Umber"),
        ("Sedge", "female", None, None),
        ("Flint", "male", None, None),
    ]
    assert found.lines == (4, 5, 6, 7, 8, 7, 8)
    assert found.notes == (
        "Lines with genotypes, which are not read: 1.",
        "Lines with a phenotype, which is not read: 1.",
        "Names of families, which are not kept: 2.",
        "Lines of remarks, which are not read: 2.",
        "Parents without a line of their own, taken as animals: 2.",
        "Animals whose id stands in several families, called family.individual: 2.",
    )
    assert len(Collection.from_records(found.records).animals) == 7


def test_read_ped__all_faults_together_with_their_lines() -> None:
    text = "1 A 0 0 1 0\n1 B 0\n1 C 0 0 m 0\n1 A 0 0 1 0\n1 0 0 0 1 0\n1 D x:y 0 1 0\n1 none 0 0 1 0\n"
    with pytest.raises(CollectionError) as caught:
        read_ped(text)
    assert [(one.code, one.line) for one in caught.value.faults] == [
        ("PED-022", 2),
        ("PED-023", 3),
        ("PED-025", 4),
        ("PED-024", 5),
        ("PED-024", 6),
        ("PED-024", 7),
    ]
    assert "The line has 3 columns, not six." in str(caught.value)


@pytest.mark.parametrize(
    "content, code", [(b"", "PED-020"), (b"# nobody\n", "PED-020"), (b"1 \xff 0 0 1 0\n", "PED-021")]
)
def test_read_ped__file_that_gives_nothing(tmp_path: Path, content: bytes, code: str) -> None:
    (tmp_path / "x.ped").write_bytes(content)
    with pytest.raises(CollectionError, match=f"{code} x.ped"):
        read_ped(tmp_path / "x.ped")


def test_read_ped__joined_id_that_is_there_already() -> None:
    with pytest.raises(CollectionError, match=r"Two animals would be called 1\.A"):
        read_ped("1 A 0 0 1 0\n2 A 0 0 1 0\n3 1.A 0 0 1 0\n")


def test_write_ped__what_the_format_cannot_say_is_counted() -> None:
    animals = (
        Animal("A 1", sex=Sex.MALE),
        Animal("B", sex=Sex.MALE),
        Animal("D", sex=Sex.FEMALE),
        Animal("K", sires=(Candidate("A 1", 0.5), Candidate("B", 0.5)), dam="D"),
        Animal("L", sires=(Candidate(NO_SIRE),), dam="D"),
        Animal("M", sires=(Candidate("A 1"),), dam="D"),
    )
    found = write_ped(Collection.from_records(Records(animals)))
    assert found.text.splitlines()[3:] == ["1\tK\t0\tD\t0\t0", "1\tL\t0\tD\t0\t0", "1\tM\tA_1\tD\t0\t0"]
    assert found.notes == (
        "Animals with a doubtful sire, written as unknown: 1.",
        "Animals without a sire, written as with an unknown one: 1.",
        "Spaces in ids are written as _: A 1 as A_1.",
    )


def test_write_ped__what_has_no_column_is_counted() -> None:
    frames = {
        "animals": [{"id": "S", "name": "Mortar", "hatched": "2016", "genes": "Clown"}, {"id": "K", "name": "Umber"}],
        "lines": [{"animal": "S", "line": "Marrowfen", "share_low": "0.5", "share_high": "1"}],
    }
    found = write_ped(Collection.from_frames(frames))
    assert found.notes == ("Not in the file: name (2), hatched (1), genes (1), lines (1).",)


def test_write_ped__ids_that_would_fall_together() -> None:
    animals = (Animal("A 1"), Animal("A_1"), Animal("0"))
    with pytest.raises(CollectionError) as caught:
        write_ped(Collection.from_records(Records(animals)))
    assert [(one.code, one.animal) for one in caught.value.faults] == [
        ("PED-026", "A 1"),
        ("PED-026", "A_1"),
        ("PED-026", "0"),
    ]


@given(st.data())
def test_write_ped__reads_back_the_same(data: st.DataObject) -> None:
    animals: list[Animal] = []
    for number in range(data.draw(st.integers(1, 12))):
        sex = data.draw(st.sampled_from(list(Sex)))
        sires = [one.id for one in animals if one.sex is Sex.MALE]
        dams = [one.id for one in animals if one.sex is Sex.FEMALE]
        sire = data.draw(st.sampled_from([None, *sires]))
        dam = data.draw(st.sampled_from([None, *dams]))
        animals.append(Animal(f"a{number}", sex=sex, sires=(Candidate(sire),) if sire else (), dam=dam))
    collection = Collection.from_records(Records(tuple(animals)))
    found = read_ped(write_ped(collection).text)
    assert found.records == collection.records
    assert not found.notes
