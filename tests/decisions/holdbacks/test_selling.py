from __future__ import annotations

import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.decisions.holdbacks import Candidate, for_sale
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import read_parent
from holdback.species.catalogue import load
from holdback.species.model import Pair

WILD = ("+", "+")
HET = ("+", "clown")


def _sold(loci: dict[str, dict[Pair, float]], **bases: Basis) -> tuple[str, tuple[str, ...]]:
    found = for_sale(
        Candidate(
            "26-01-3", female=1.0, belief=GenotypeBelief(Sex.FEMALE, loci, basis=bases), parents="Ledger with Umber"
        ),
        load(),
    )
    return found.statement, found.notes


@pytest.mark.parametrize(
    "odds, said",
    [
        ({HET: 2 / 3, WILD: 1 / 3}, "66% het Clown"),
        ({HET: 0.5, WILD: 0.5}, "50% het Clown"),
        ({HET: 0.6299, WILD: 0.3701}, "62% het Clown"),
        ({HET: 0.6641, WILD: 0.3359}, "66% het Clown"),
        ({HET: 0.4993, WILD: 0.5007}, "50% het Clown"),
        ({HET: 0.9951, WILD: 0.0049}, "100% het Clown"),
        ({HET: 0.9899, WILD: 0.0101}, "98% het Clown"),
        ({("clown", "clown"): 1.0}, "Clown"),
    ],
)
def test_for_sale__says_no_more_than_the_records(odds: dict[Pair, float], said: str) -> None:
    statement, _ = _sold({"clown": odds}, clown=Basis.BY_DESCENT)
    assert statement == f"female {said}" or (said.startswith("100") and statement == "female het Clown")
    belief, _ = read_parent(statement, load())
    none = sum(chance for pair, chance in belief.at("clown").items() if "clown" not in pair)
    assert none >= odds.get(WILD, 0.0) - 0.01


def test_for_sale__a_second_copy_that_nobody_saw_is_not_said() -> None:
    statement, notes = _sold({"enchi": {("+", "enchi"): 2 / 3, ("enchi", "enchi"): 1 / 3}}, enchi=Basis.MEASURED)
    assert statement == "female Enchi"
    assert notes == (
        "Enchi: seen.",
        "Enchi: may have two copies (33 in 100); not said before it is bred.",
        "Out of Ledger with Umber.",
    )


def test_for_sale__what_is_only_claimed_says_so() -> None:
    assert "Clown: as claimed when it came." in _sold({"clown": {HET: 1.0}})[1]


def test_for_sale__two_genes_of_one_place_that_are_not_settled_are_left_to_the_notes() -> None:
    odds = {("+", "cinnamon"): 0.6, ("+", "black-pastel"): 0.4}
    locus = load().alleles["cinnamon"].locus
    statement, notes = _sold({locus: odds}, **{locus: Basis.BY_DESCENT})
    assert statement == "female"
    assert any(text.startswith("Not settled, in 100: ") and text.endswith("by descent.") for text in notes)


def test_for_sale__nothing_known() -> None:
    assert _sold({"clown": {HET: 0.01, WILD: 0.99}}) == (
        "female",
        ("Nothing on record speaks for any gene.", "Out of Ledger with Umber."),
    )
