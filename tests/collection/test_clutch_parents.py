"""Parents that only the clutch names."""

import pytest

from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Clutch, Records, Sex
from holdback.errors import CollectionError

SIRE, DAM = Animal("S", sex=Sex.MALE), Animal("D", sex=Sex.FEMALE)
CLUTCH = Clutch("K", dam="D", sires=(Candidate("S"),))


def test_animals__take_the_parents_of_their_clutch() -> None:
    records = Records(animals=(SIRE, DAM, Animal("Y", clutch="K")), clutches=(CLUTCH,))
    found = Collection.from_records(records)
    young = found.animals["Y"]
    assert (young.dam, young.sires) == ("D", (Candidate("S"),))
    assert [one.id for one in found.offspring("D")] == ["Y"]
    assert found.records.animals[2].dam is None  # written as it was read


def test_animals__own_sires_stand() -> None:
    own = Animal("Y", clutch="K", sires=(Candidate("T"),))
    found = Collection.from_records(Records(animals=(SIRE, DAM, Animal("T"), own), clutches=(CLUTCH,)))
    assert (found.animals["Y"].dam, found.animals["Y"].sires) == ("D", (Candidate("T"),))


def test_from_records__own_parent_by_its_clutch() -> None:
    records = Records(animals=(SIRE, Animal("D", sex=Sex.FEMALE, clutch="K")), clutches=(CLUTCH,))
    with pytest.raises(CollectionError, match="COL-034 animal D, field clutch: D is recorded as a parent of K"):
        Collection.from_records(records)


def test_from_records__loop_by_a_clutch() -> None:
    """S hatched in a clutch of which his daughter is the dam."""
    animals = (Animal("S", sex=Sex.MALE, clutch="K"), Animal("D", sex=Sex.FEMALE, sires=(Candidate("S"),)))
    with pytest.raises(CollectionError, match="COL-036"):
        Collection.from_records(Records(animals=animals, clutches=(Clutch("K", dam="D"),)))
