"""What was seen or is said of single genes, over the genes as typed."""

from __future__ import annotations

import pytest

from holdback.answers import Answers
from holdback.answers.checking import checked
from holdback.answers.statements import told_by_locus
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import Animal, Candidate, GeneStatement, PartialDate, Records, Sex, StatementKind
from holdback.species.catalogue import load

SEEN, CLAIMED = StatementKind.SEEN, StatementKind.CLAIMED
NONE, ONE, TWO = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def family(sire: str, dam: str, young: str, *said: GeneStatement) -> Answers:
    animals = (
        Animal("S", sex=Sex.MALE, genes=sire),
        Animal("D", sex=Sex.FEMALE, genes=dam),
        Animal("Y", genes=young, sires=(Candidate("S"),), dam="D"),
    )
    return Answers(Collection.from_records(Records(animals, statements=said)), load())


def copies(answers: Answers, animal: str, allele: str) -> tuple[float, float, float]:
    return answers.genes(animal).belief.copies(load().alleles[allele].locus, allele)


def test_recorded_genes__a_gene_seen_counts_as_shown() -> None:
    said = GeneStatement("S", "Pastel", SEEN, *ONE, by="Wren", date=PartialDate(2024, 5, 1))
    answers = family("", "", "", said)
    genes = answers.genes("S")
    assert copies(answers, "S", "pastel") == ONE
    assert genes.belief.basis["pastel"] is Basis.MEASURED
    assert genes.grounds["pastel"] == "Seen by Wren on 2024-05-01."
    assert copies(answers, "Y", "pastel") == pytest.approx((0.5, 0.5, 0))


def test_recorded_genes__a_dominant_seen_splits_by_descent_as_one_that_is_typed() -> None:
    answers = family("Pinstripe", "Pinstripe", "", GeneStatement("Y", "pinstripe", SEEN, *ONE))
    assert copies(answers, "Y", "pinstripe") == pytest.approx((0, 2 / 3, 1 / 3))


def test_recorded_genes__a_recessive_seen_has_two_copies() -> None:
    answers = family("", "", "", GeneStatement("S", "Clown", SEEN, *ONE))
    assert copies(answers, "S", "clown") == TWO


def test_recorded_genes__seen_and_not_to_be_had_from_the_parents_is_said() -> None:
    answers = family("normal", "normal", "", GeneStatement("Y", "Pastel", SEEN, *ONE, by="Wren"))
    assert answers.genes("Y").grounds["pastel"] == "Seen by Wren; the recorded parents cannot give it."


def test_recorded_genes__looked_for_and_absent_leaves_the_hidden() -> None:
    absent = GeneStatement("Y", "Clown", SEEN, *NONE, by="Wren")
    answers = family("het Clown", "het Clown", "", absent)
    # a look that is there is missed at the rate of the catalogue: 1/4 x missed beside 1/4 and 1/2
    missed = load().alleles["clown"].missed
    total = 0.75 + 0.25 * missed
    assert copies(answers, "Y", "clown") == pytest.approx((0.25 / total, 0.5 / total, 0.25 * missed / total))
    assert answers.genes("Y").belief.basis["clown"] is Basis.BY_DESCENT
    assert answers.genes("Y").grounds["clown"].endswith("Not seen by Wren.")


def test_recorded_genes__looked_for_and_absent_takes_back_what_the_text_shows() -> None:
    said = GeneStatement("S", "Pastel", SEEN, *NONE), GeneStatement("S", "Clown", SEEN, *NONE)
    answers = family("Pastel het Clown", "", "", *said)
    assert copies(answers, "S", "pastel") == NONE
    assert copies(answers, "S", "clown") == ONE


def test_recorded_genes__a_claim_counts_over_the_text() -> None:
    said = GeneStatement("S", "Clown", CLAIMED, 0.25, 0.75, 0.0, by="Marl", ground="bill of sale.")
    answers = family("Pastel 66% het Clown", "", "", said)
    genes = answers.genes("S")
    assert copies(answers, "S", "clown") == pytest.approx((0.25, 0.75, 0))
    assert copies(answers, "S", "pastel") == ONE
    assert genes.belief.basis["clown"] is Basis.CLAIMED
    assert genes.grounds["clown"] == "Claimed by Marl: bill of sale; nothing recorded here proves it."


def test_recorded_genes__a_doubtful_claim_gives_way_to_descent() -> None:
    answers = family("Clown", "normal", "", GeneStatement("Y", "Clown", CLAIMED, 0.5, 0.5, 0.0))
    assert copies(answers, "Y", "clown") == pytest.approx(ONE)
    assert answers.genes("Y").belief.basis["clown"] is Basis.BY_DESCENT


def test_recorded_genes__trust_mixes_with_what_holds_otherwise() -> None:
    said = GeneStatement("S", "Clown", CLAIMED, *ONE, trust=0.75)
    assert copies(family("", "", "", said), "S", "clown") == pytest.approx((0.25, 0.75, 0))
    said = GeneStatement("S", "Pastel", SEEN, *NONE, trust=0.75)
    assert copies(family("Pastel", "", "", said), "S", "pastel") == pytest.approx((0.75, 0.25, 0))


def test_told_by_locus__the_latest_counts() -> None:
    old = GeneStatement("S", "Clown", CLAIMED, *NONE)
    new = GeneStatement("S", "clown", CLAIMED, *ONE, date=PartialDate(2024))
    look = GeneStatement("S", "Clown", SEEN, *TWO, date=PartialDate(2024))
    strange = GeneStatement("S", "Nosuchgene", SEEN, *TWO)
    for said, expected in (((new, old), new), ((look, new, old), look)):
        (found,) = told_by_locus([*said, strange], load()).values()
        assert [one.statement for one in found] == [expected]


def test_recorded_genes__what_cannot_all_be_goes_by_the_latest() -> None:
    old = GeneStatement("S", "Lesser", SEEN, *TWO, date=PartialDate(2020))
    new = GeneStatement("S", "Mojave", SEEN, *TWO, date=PartialDate(2024))
    for text, said in (("", (new, old)), ("Lesser Phantom", (new,))):
        genes = family(text, "", "", *said).genes("S")
        locus = load().alleles["mojave"].locus
        assert genes.belief.at(locus) == {("mojave", "mojave"): 1.0}, text
        assert genes.grounds[locus] == "Seen in 2024; not all that is stated here fits beside it."


def test_checked__names_statements_on_no_known_gene() -> None:
    said = (GeneStatement("A", "Nosuchgene", SEEN, *ONE), GeneStatement("A", "Pastel", SEEN, *ONE))
    found = checked(lambda: Collection.from_records(Records((Animal("A"),), statements=said)), load())
    assert [(one["animal"], one["message"]) for one in found["doubts"]] == [
        ("A", "No gene is called 'Nosuchgene'; not counted.")
    ]
    assert found["counts"]["statements"] == 2
