"""What follows from a correction, on chances that can be worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holdback.answers import Answers
from holdback.answers.consequences import Consequences, consequences
from holdback.answers.family_part import family_around, part_of, touched
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Clutch, LineClaim, Mating, PartialDate, Records, Sex
from holdback.species.catalogue import load


def records(*, sire: str = "S1", sex: Sex = Sex.MALE) -> Records:
    """S1 shows Clown, S2 does not; Y1 and its young Y2 descend from one of them; X1 is nobody's kin."""
    return Records(
        animals=(
            Animal("S1", sex=sex, genes="Clown"),
            Animal("S2", sex=Sex.MALE, genes="Pastel"),
            Animal("D1", sex=Sex.FEMALE, genes="normal"),
            Animal("Y1", sex=Sex.MALE, genes="normal", sires=(Candidate(sire),), dam="D1"),
            Animal("Y2", genes="normal", sires=(Candidate("Y1"),)),
            Animal("X1", sex=Sex.FEMALE, genes="Enchi"),
        ),
        lines=(LineClaim("S1", "Fen", 1.0, 1.0, "stated"),),
    )


def collection(found: Records) -> Collection:
    return Collection.from_records(found)


def between(before: Records, after: Records, *, conflicts: bool = False, **more: dict[str, str]) -> Consequences:
    was, now = (Answers(collection(one), load()) for one in (before, after))
    return consequences(was, now, conflicts=conflicts, renamed=more.get("renamed"))


def test_consequences__nothing_changed() -> None:
    found = between(records(), records(), conflicts=True)
    assert found.is_empty
    assert found.conflicts_new == ()
    assert found.as_json()["counts"] == dict.fromkeys(found.counts, 0)


# By hand: Y1 of a Clown has one copy for sure, and Y2 half of that; of S2 neither has more than anybody.
@pytest.mark.outside
def test_consequences__of_another_sire() -> None:
    found = between(records(), records(sire="S2"))
    clown = {one.animal: one for one in found.genes if one.name == "Clown"}
    assert set(clown) == {"Y1", "Y2"}
    assert clown["Y1"].was is not None
    assert clown["Y2"].was is not None
    assert clown["Y1"].was.copies[1] == pytest.approx(0.97, abs=0.03)
    assert clown["Y2"].was.chance == pytest.approx(0.5, abs=0.03)
    assert clown["Y1"].now is None
    assert found.animals[0] == "Y1"
    assert [(one.animal, one.was, one.now) for one in found.shares] == [("Y1", 0.5, 0.0), ("Y2", 0.25, 0.0)]
    assert found.counts["animals"] == 2
    assert found.conflicts_new is None


def test_consequences__the_other_way_round_is_the_mirror() -> None:
    there, back = between(records(), records(sire="S2")), between(records(sire="S2"), records())
    assert [(one.animal, one.name, one.was, one.now) for one in there.genes] == [
        (one.animal, one.name, one.now, one.was) for one in back.genes
    ]


def test_consequences__a_new_id_is_no_consequence() -> None:
    before = records()
    renamed = replace(
        before,
        animals=tuple(
            replace(
                one,
                id="S9" if one.id == "S1" else one.id,
                sires=tuple(Candidate("S9") if sire.animal == "S1" else sire for sire in one.sires),
            )
            for one in before.animals
        ),
        lines=(LineClaim("S9", "Fen", 1.0, 1.0, "stated"),),
    )
    assert between(before, renamed, renamed={"S1": "S9"}).is_empty
    assert not between(before, renamed).is_empty


def test_consequences__matings_gone() -> None:
    mating = Mating("D1", "S2", PartialDate(2026, 1, 10), locks=1)
    before = replace(records(), matings=(mating,))
    animals = tuple(replace(one, sex=Sex.FEMALE) if one.id == "S2" else one for one in before.animals)
    found = between(before, replace(before, animals=animals, matings=()))
    assert found.matings_gone == (mating,)
    assert found.as_json()["matings_gone"] == [{"dam": "D1", "sire": "S2", "together": "2026-01-10", "locks": 1}]


def test_consequences__conflicts_come_and_go() -> None:
    """Young that show Pastel are sound out of a sire who shows it, and not out of one who does not."""

    def of(sire: str) -> Records:
        young = tuple(Animal(f"K{number}", genes="Pastel", sires=(Candidate(sire),), dam="D1") for number in (1, 2, 3))
        return replace(records(), animals=(*records().animals, *young))

    found = between(of("S2"), of("S1"), conflicts=True)
    assert found.conflicts_new
    assert not found.conflicts_gone
    assert {"S1", "K1", "K2", "K3"} & set(found.conflicts_new[0].animals)
    assert between(of("S1"), of("S2"), conflicts=True).conflicts_gone == found.conflicts_new


def test_consequences__chances_of_sires() -> None:
    """Two may be the sire; once the young shows what only one of them can give, it is he."""

    def of(genes: str) -> Records:
        sires = (Candidate("S1", 0.5), Candidate("S2", 0.5))
        nest = Clutch("C1", dam="D1", sires=sires, laid=PartialDate(2024, 4, 1), eggs=6)
        young = Animal("K1", genes=genes, clutch="C1")
        return replace(records(), animals=(*records().animals, young), clutches=(nest,))

    found = between(of(""), of("Pastel"))
    moved = {one.sire: one.now for one in found.sires if one.clutch == "C1"}
    assert moved["S2"] > 0.95
    assert moved["S1"] < 0.05


def test_family_part__is_whom_the_change_can_reach() -> None:
    was, now = collection(records()), collection(records(sire="S2"))
    assert touched(was, now) == {"Y1", "S1", "S2", "D1"}
    family = family_around((was, now), touched(was, now))
    assert family == {"S1", "S2", "D1", "Y1", "Y2"}
    part = part_of(was, family)
    assert set(part.animals) == family
    assert collection(part.records) == part


def test_part_of__says_the_same_of_its_animals_as_the_whole() -> None:
    whole = collection(records())
    part = part_of(whole, family_around([whole], ["Y1"]))
    of_part, of_whole = Answers(part, load()), Answers(whole, load())
    for animal in part.animals:
        assert of_part.genes(animal).belief == of_whole.genes(animal).belief
