"""Genes by record and by descent."""

import pytest

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import Animal, Candidate, Origin, Records, Sex
from holdback.species.catalogue import load


def answers_of(*animals: Animal) -> Answers:
    return Answers(Collection.from_records(Records(animals=animals)), load())


def sire(animal_id: str, genes: str, **fields: object) -> Animal:
    return Animal(animal_id, sex=Sex.MALE, genes=genes, **fields)  # type: ignore[arg-type]  # fields by name


def dam(animal_id: str, genes: str, **fields: object) -> Animal:
    return Animal(animal_id, sex=Sex.FEMALE, genes=genes, **fields)  # type: ignore[arg-type]  # fields by name


def young(
    animal_id: str, genes: str, *, sires: tuple[Candidate, ...] = (Candidate("S"),), sex: Sex = Sex.UNKNOWN
) -> Animal:
    return Animal(animal_id, sex=sex, genes=genes, sires=sires, dam="D")


def het_chance(answers: Answers, animal_id: str = "Y", locus: str = "clown", allele: str = "clown") -> float:
    return answers.genes(animal_id).belief.copies(locus, allele)[1]


# Possible hets (methods dossier, section 1): (a + b - 2ab) / (1 - ab), where a and b are half the parents. chances.
@pytest.mark.outside
@pytest.mark.parametrize(
    "sire_genes, dam_genes, expected",
    [
        ("100% het Clown", "100% het Clown", 2 / 3),
        ("66% het Clown", "66% het Clown", 1 / 2),
        ("66% het Clown", "100% het Clown", 3 / 5),
        ("50% het Clown", "50% het Clown", 2 / 5),
        ("50% het Clown", "100% het Clown", 4 / 7),
        ("66% het Clown", "50% het Clown", 5 / 11),
        ("Clown", "normal", 1.0),
        ("100% het Clown", "normal", 1 / 2),
    ],
)
def test_recorded_genes__possible_het_table(sire_genes: str, dam_genes: str, expected: float) -> None:
    answers = answers_of(sire("S", sire_genes), dam("D", dam_genes), young("Y", "normal"))
    # 66 % in a text stands for two in three; looks are missed with a small chance, hence the tolerance
    assert het_chance(answers) == pytest.approx(expected, abs=0.005)
    assert answers.genes("Y").belief.basis["clown"] is Basis.BY_DESCENT


def test_recorded_genes__names_what_the_parents_bring() -> None:
    answers = answers_of(sire("S", "Clown"), dam("D", "normal"), young("Y", "Pastel"))
    assert answers.genes("Y").grounds["clown"] == "Sire S shows it."


def test_recorded_genes__undescribed_young_keeps_all_odds() -> None:
    answers = answers_of(sire("S", "het Clown"), dam("D", "het Clown"), young("Y", ""))
    assert answers.genes("Y").belief.copies("clown", "clown") == pytest.approx((0.25, 0.5, 0.25))


def test_recorded_genes__two_candidate_sires_are_mixed() -> None:
    animals = (sire("S", "Clown"), sire("T", "normal"), dam("D", "normal"))
    child = young("Y", "normal", sires=(Candidate("S", 0.8), Candidate("T", 0.2)))
    assert het_chance(answers_of(*animals, child)) == pytest.approx(0.8, abs=0.005)


def test_recorded_genes__weight_left_over_is_an_unknown_wild_sire() -> None:
    answers = answers_of(sire("S", "Clown"), dam("D", "normal"), young("Y", "normal", sires=(Candidate("S", 0.5),)))
    assert het_chance(answers) == pytest.approx(0.5, abs=0.005)


def test_recorded_genes__dominant_seen_splits_by_descent() -> None:
    answers = answers_of(sire("S", "Pinstripe"), dam("D", "Pinstripe"), young("Y", "Pinstripe"))
    assert answers.genes("Y").belief.copies("pinstripe", "pinstripe") == pytest.approx((0, 2 / 3, 1 / 3))
    assert answers.genes("Y").belief.basis["pinstripe"] is Basis.MEASURED


def test_recorded_genes__look_that_parents_cannot_give_is_kept_and_said() -> None:
    answers = answers_of(sire("S", "normal"), dam("D", "normal"), young("Y", "Pastel"))
    genes = answers.genes("Y")
    assert genes.belief.copies("pastel", "pastel")[1] == pytest.approx(1.0)
    assert "recorded parents cannot give it" in genes.grounds["pastel"]


def test_recorded_genes__claim_without_parents_stands_as_a_claim() -> None:
    genes = answers_of(sire("S", "Pastel 66% het Clown")).genes("S")
    assert genes.belief.copies("clown", "clown")[1] == pytest.approx(2 / 3, abs=0.01)
    assert genes.belief.basis["clown"] is Basis.CLAIMED
    assert "nothing recorded here proves it" in genes.grounds["clown"]


@pytest.mark.parametrize("parent, expected", [("S", 1.0), ("D", 0.0)])
def test_recorded_genes__phase_of_a_sex_linked_gene_follows_its_parent(parent: str, expected: float) -> None:
    giver = {"S": ("Banana", "normal"), "D": ("normal", "Banana")}[parent]
    answers = answers_of(sire("S", giver[0]), dam("D", giver[1]), young("Y", "Banana", sex=Sex.MALE))
    (locus,) = answers.genes("Y").belief.loci
    assert answers.genes("Y").belief.phase[locus] == pytest.approx(expected)


def test_recorded_genes__phase_is_sure_where_every_candidate_sire_shows_the_gene() -> None:
    animals = (sire("S", "Banana"), sire("T", "Banana"), dam("D", "normal"))
    child = young("Y", "Banana", sires=(Candidate("S", 0.5), Candidate("T", 0.5)), sex=Sex.MALE)
    (phase,) = answers_of(*animals, child).genes("Y").belief.phase.values()
    assert phase == pytest.approx(1.0)


def test_recorded_genes__long_ancestry_needs_no_recursion() -> None:
    animals = [sire("A0", "Clown")]
    animals += [Animal(f"A{i}", sex=Sex.MALE, sires=(Candidate(f"A{i - 1}"),)) for i in range(1, 3000)]
    animals.append(Animal("Y", sires=(Candidate("A2999"),), origin=Origin.CAPTIVE_BRED))
    assert answers_of(*animals).genes("Y").belief.loci == {}


def test_recorded_genes__unrelated_animal_changes_nothing() -> None:
    family = (sire("S", "het Clown"), dam("D", "het Clown"), young("Y", "normal"))
    assert answers_of(*family, sire("Z", "Clown")).genes("Y").belief == answers_of(*family).genes("Y").belief


def test_recorded_genes__what_descent_makes_certain_is_no_mere_claim() -> None:
    answers = answers_of(sire("S", "Clown"), dam("D", "normal"), young("Y", "100% het Clown Pastel"))
    assert answers.genes("Y").belief.basis["clown"] is Basis.BY_DESCENT
    assert answers.genes("Y").belief.copies("clown", "clown") == pytest.approx((0, 1, 0))


def test_recorded_genes__proven_het_stands_against_a_chance_by_descent() -> None:
    answers = answers_of(sire("S", "het Clown"), dam("D", "normal"), young("Y", "100% het Clown Pastel"))
    assert answers.genes("Y").belief.basis["clown"] is Basis.CLAIMED
    assert het_chance(answers) == pytest.approx(1.0)
