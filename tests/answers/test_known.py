"""What one animal carries by all records: the answer, its basis and its sentence."""

from __future__ import annotations

import pytest

from holdback.answers import Answers
from holdback.answers.checking import checked
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import Animal, Candidate, GeneStatement, PartialDate, Records, Sex, StatementKind
from holdback.species.catalogue import load

SEEN, CLAIMED = StatementKind.SEEN, StatementKind.CLAIMED
NONE, ONE, TWO = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
TRUST = load().records["claim_trust"].value
ERRORS = 0.005
"""Looks are missed or imagined in a few cases of a thousand; trade percentages are rounded."""


def answers_of(*animals: Animal, said: tuple[GeneStatement, ...] = ()) -> Answers:
    return Answers(Collection.from_records(Records(animals=animals, statements=said)), load())


def family(sire: str, dam: str, young: str, *said: GeneStatement, sires: tuple[Candidate, ...] = ()) -> Answers:
    """Sire S, another male T without a word, dam D and their young Y."""
    return answers_of(
        Animal("S", sex=Sex.MALE, genes=sire),
        Animal("T", sex=Sex.MALE, genes="normal"),
        Animal("D", sex=Sex.FEMALE, genes=dam),
        Animal("Y", sex=Sex.MALE, genes=young, sires=sires or (Candidate("S"),), dam="D"),
        said=said,
    )


def copies(answers: Answers, animal: str, allele: str) -> tuple[float, float, float]:
    return answers.genes(animal).belief.copies(load().alleles[allele].locus, allele)


def trusted(claimed: float) -> float:
    """Chance of carrying Clown after a claim: held with its trust, else as usual (Hardy-Weinberg)."""
    usual = 1.0 - (1.0 - load().alleles["clown"].frequency) ** 2
    return TRUST * claimed + (1.0 - TRUST) * usual


# Possible hets (textbook Mendel): (a + b - 2ab) / (1 - ab) for half the chances a and b that the parents carry.
@pytest.mark.outside
@pytest.mark.parametrize(
    "sire, dam, claimed",
    [
        ("100% het Clown", "100% het Clown", (1.0, 1.0)),
        ("66% het Clown", "66% het Clown", (2 / 3, 2 / 3)),
        ("66% het Clown", "100% het Clown", (2 / 3, 1.0)),
        ("50% het Clown", "50% het Clown", (1 / 2, 1 / 2)),
        ("50% het Clown", "100% het Clown", (1 / 2, 1.0)),
        ("66% het Clown", "50% het Clown", (2 / 3, 1 / 2)),
        ("100% het Clown", "normal", (1.0, None)),
    ],
)
def test_genes__possible_hets_of_claimed_parents(sire: str, dam: str, claimed: tuple[float, float | None]) -> None:
    a, b = (trusted(0.0 if chance is None else chance) / 2.0 for chance in claimed)
    answers = family(sire, dam, "normal")
    assert copies(answers, "Y", "clown")[1] == pytest.approx((a + b - 2 * a * b) / (1 - a * b), abs=ERRORS)
    assert answers.genes("Y").belief.basis["clown"] is Basis.BY_DESCENT


def test_genes__young_of_a_visual_carries_for_sure() -> None:
    genes = family("Clown", "normal", "Pastel").genes("Y")
    assert genes.belief.copies("clown", "clown")[1] > 0.99
    assert genes.grounds["clown"] == "Its sire S shows Clown: carries it for sure."
    assert genes.reasons["clown"].step("parents") is not None
    assert genes.exact


def test_genes__clutch_mates_prove_both_parents() -> None:
    """A het by claim on one side, nothing on the other: two visual sibs leave hardly a doubt of either."""
    looks = {"V": "Clown", "W": "Clown", "Y": "normal"}
    young = [Animal(key, genes=text, sires=(Candidate("S"),), dam="D") for key, text in looks.items()]
    answers = answers_of(
        Animal("S", sex=Sex.MALE, genes="50% het Clown"), Animal("D", sex=Sex.FEMALE, genes="normal"), *young
    )
    assert copies(answers, "D", "clown")[1] > 0.98
    assert copies(answers, "Y", "clown")[1] == pytest.approx(2 / 3, abs=0.01)


def test_genes__two_candidate_sires_are_mixed() -> None:
    answers = family("Clown", "normal", "normal", sires=(Candidate("S", 0.8), Candidate("T", 0.2)))
    assert copies(answers, "Y", "clown")[1] == pytest.approx(0.8, abs=0.01)


def test_genes__weight_left_over_is_a_male_not_on_record() -> None:
    answers = family("Clown", "normal", "normal", sires=(Candidate("S", 0.5),))
    assert copies(answers, "Y", "clown")[1] == pytest.approx(0.5, abs=0.02)


def test_genes__dominant_seen_splits_by_descent() -> None:
    answers = family("Pinstripe", "Pinstripe", "Pinstripe")
    assert copies(answers, "Y", "pinstripe") == pytest.approx((0, 2 / 3, 1 / 3), abs=ERRORS)
    assert answers.genes("Y").belief.basis["pinstripe"] is Basis.BY_DESCENT  # how the chance of two copies is known


def test_genes__look_that_the_parents_hardly_give_is_doubted_and_said() -> None:
    genes = family("normal", "normal", "Pastel").genes("Y")
    assert 0.0 < genes.belief.copies("pastel", "pastel")[1] < 0.5
    assert "which nothing above it explains" in genes.grounds["pastel"]


def test_genes__claim_without_kin_stands_as_a_claim() -> None:
    genes = answers_of(Animal("S", genes="Pastel 66% het Clown")).genes("S")
    assert genes.belief.copies("clown", "clown")[1] == pytest.approx(trusted(2 / 3), abs=ERRORS)
    assert genes.belief.basis["clown"] is Basis.CLAIMED
    assert "nothing recorded here proves it" in genes.grounds["clown"]


def test_genes__percentage_that_repeats_the_parents_adds_nothing() -> None:
    silent, repeated = (family("het Clown", "normal", text) for text in ("normal", "50% het Clown"))
    assert copies(repeated, "Y", "clown") == pytest.approx(copies(silent, "Y", "clown"), abs=1e-9)


@pytest.mark.parametrize("sire, dam, expected", [("Banana", "normal", 1.0), ("normal", "Banana", 0.0)])
def test_genes__phase_of_a_sex_linked_gene_follows_its_parent(sire: str, dam: str, expected: float) -> None:
    (phase,) = family(sire, dam, "Banana").genes("Y").belief.phase.values()
    assert phase == pytest.approx(expected, abs=ERRORS)


def test_genes__long_ancestry_needs_no_recursion() -> None:
    animals = [Animal("A0", sex=Sex.MALE, genes="Clown")]
    animals += [Animal(f"A{i}", sex=Sex.MALE, sires=(Candidate(f"A{i - 1}"),)) for i in range(1, 3000)]
    found = answers_of(*animals).beliefs.copies("A2999", "clown", "clown")
    assert found[1] + found[2] == pytest.approx(1 - (1 - load().alleles["clown"].frequency) ** 2)


def test_genes__unrelated_animal_changes_nothing() -> None:
    alone, beside = family("het Clown", "het Clown", "normal"), family("het Clown", "het Clown", "normal")
    beside = Answers(
        Collection.from_records(Records((*beside.collection.records.animals, Animal("Z", genes="Clown")))), load()
    )
    assert copies(beside, "Y", "clown") == pytest.approx(copies(alone, "Y", "clown"), abs=1e-12)


def test_genes__statement_counts_over_the_text() -> None:
    seen = GeneStatement("S", "Pastel", SEEN, *ONE, by="Wren", date=PartialDate(2024, 5, 1))
    answers = family("", "", "", seen)
    assert copies(answers, "S", "pastel")[1] > 0.98
    assert answers.genes("S").belief.basis["pastel"] is Basis.MEASURED
    absent = GeneStatement("S", "Pastel", SEEN, *NONE)
    assert copies(family("Pastel het Clown", "", "", absent), "S", "pastel")[0] > 0.99
    claim = GeneStatement("S", "Clown", CLAIMED, 0.25, 0.75, 0.0, trust=0.8)
    assert copies(family("66% het Clown", "", "", claim), "S", "clown")[1] == pytest.approx(0.8 * 0.75, abs=ERRORS)


# Bayes by hand: a look that is there is missed at the rate of the catalogue, 1/4 of it beside 1/4 and 1/2.
@pytest.mark.outside
def test_genes__looked_for_and_absent_leaves_the_hidden() -> None:
    proven = [GeneStatement(one, "Clown", CLAIMED, *ONE, ground="proven by breeding", trust=1.0) for one in ("S", "D")]
    absent = GeneStatement("Y", "Clown", SEEN, *NONE, by="Wren")
    missed = load().alleles["clown"].missed
    total = 0.75 + 0.25 * missed
    found = copies(family("", "", "", *proven, absent), "Y", "clown")
    assert found == pytest.approx((0.25 / total, 0.5 / total, 0.25 * missed / total), abs=ERRORS)


def test_genes__of_what_cannot_all_be_both_stay_in_doubt() -> None:
    said = tuple(GeneStatement("S", gene, SEEN, *TWO, date=PartialDate(2024)) for gene in ("Lesser", "Mojave"))
    locus = load().alleles["mojave"].locus
    genes = family("", "", "", *said).genes("S")
    assert sum(genes.belief.at(locus).values()) == pytest.approx(1.0)
    assert len([chance for chance in genes.belief.at(locus).values() if chance > 0.05]) > 1


def test_checked__names_statements_on_no_known_gene() -> None:
    said = (GeneStatement("A", "Nosuchgene", SEEN, *ONE), GeneStatement("A", "Pastel", SEEN, *ONE))
    found = checked(lambda: answers_of(Animal("A"), said=said))
    assert [(one["animal"], one["message"]) for one in found["doubts"]] == [
        ("A", "No gene is called 'Nosuchgene'; not counted.")
    ]
    assert found["counts"]["statements"] == 2
    assert found["conflicts"] == []
