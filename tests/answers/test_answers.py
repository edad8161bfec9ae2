"""Pairs by id, by name and by typed genes."""

import pytest

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Candidate, Records, Sex
from holdback.errors import CrossError, ShorthandError
from holdback.species.catalogue import load


@pytest.fixture(scope="module")
def answers() -> Answers:
    animals = (
        Animal("22-05", name="Ledger", sex=Sex.MALE, genes="Clown"),
        Animal("22-11", name="Umber", sex=Sex.FEMALE, genes="Enchi", sires=(Candidate("20-07"),)),
        Animal("20-07", name="Harrow", sex=Sex.MALE, genes="het Clown"),
        Animal("23-01", name="Twin", sex=Sex.MALE),
        Animal("23-02", name="Twin", sex=Sex.MALE),
        Animal("23-03", name="Fen", sex=Sex.UNKNOWN, genes="Pastel"),
    )
    return Answers(Collection.from_records(Records(animals=animals)), load())


# methods dossier section 1, 66 % het x visual, 8 eggs: 2/3 (1 - 2^-8) = 0.664063; with the mean plugged in 0.9610
@pytest.mark.outside
def test_odds__uncertain_parent_is_mixed_over() -> None:
    typed = Answers(Collection.from_records(Records()), load())
    found = typed.odds("Clown", "66% het Clown", want="Clown", eggs=8)
    assert found.as_json(typed.catalogue)["want"]["at_least_one"] == pytest.approx(0.664063, abs=2e-3)


def test_odds__finds_by_id_and_by_name(answers: Answers) -> None:
    by_id = answers.odds("22-05", "22-11", want="Enchi Clown", eggs=7)
    by_name = answers.odds("ledger", "Umber", want="Enchi Clown", eggs=7)
    assert by_id.as_json(answers.catalogue) == by_name.as_json(answers.catalogue)
    assert by_id.sire.label == "Ledger 22-05"
    want = by_id.odds.want
    assert want is not None
    # half her sire's chance of Clown (95 % by claim), half the eggs Enchi, half the eggs Clown if she carries it
    assert want.per_egg == pytest.approx(0.95 / 8, abs=0.002)


def test_odds__says_what_the_beliefs_rest_on(answers: Answers) -> None:
    assert any("its kin's and its young's" in each for each in answers.odds("22-05", "22-11").odds.assumptions)
    assert any("no record stands behind" in each for each in answers.odds("Pastel", "22-11").odds.assumptions)


def test_odds__unknown_sex_is_taken_with_a_note(answers: Answers) -> None:
    assert "PAIR-004" in {caution.code for caution in answers.odds("22-05", "23-03").odds.cautions}


@pytest.mark.parametrize(
    "sire, dam, options, code, words",
    [
        ("22-11", "22-11", {}, "PAIR-003", "stands here as the sire"),
        ("Twin", "22-11", {}, "PAIR-002", "Give the id"),
        ("23-03", "23-03", {}, "PAIR-005", "both sides"),
        ("22-05", "22-11", {"eggs": 0}, "PAIR-006", "0 eggs"),
        ("22-05", "22-11", {"eggs": 4, "hatch_rate": 1.5}, "PAIR-007", "hatch rate"),
    ],
)
def test_odds__refuses(answers: Answers, sire: str, dam: str, options: dict[str, float], code: str, words: str) -> None:
    with pytest.raises(CrossError, match=words) as caught:
        answers.odds(sire, dam, **options)  # type: ignore[arg-type]  # parametrised options
    assert caught.value.faults[0].code == code


def test_odds__text_that_is_neither_animal_nor_genes_is_refused(answers: Answers) -> None:
    with pytest.raises(CrossError, match="There is no animal '99-99', and nothing in it reads as genes"):
        answers.odds("99-99", "22-11")


def test_odds__three_alleles_of_one_complex_are_refused_as_such(answers: Answers) -> None:
    with pytest.raises(ShorthandError, match="more than two copies"):
        answers.odds("Mojave Lesser Phantom", "22-11")


def test_odds__says_where_a_parent_could_not_be_worked_out_exactly(monkeypatch: pytest.MonkeyPatch) -> None:
    """A table so small that nothing fits makes every part of the pedigree too entangled."""
    monkeypatch.setattr("holdback.heredity.beliefs.inference.MOST_ENTRIES", 1)
    animals = (
        Animal("S", sex=Sex.MALE, genes="Clown"),
        Animal("D", sex=Sex.FEMALE, genes="normal"),
        Animal("Y", sex=Sex.FEMALE, genes="normal", sires=(Candidate("S"),), dam="D"),
    )
    found = Answers(Collection.from_records(Records(animals=animals)), load()).odds("S", "Y", want="Clown")
    assert not found.odds.exact
    assert any("What S and Y may carry could not be worked out exactly" in each for each in found.odds.assumptions)
    assert found.odds.want is not None
    assert found.odds.want.per_egg == pytest.approx(0.5, abs=0.03)
