"""Records of claims: an animal of unknown descent is believed as its claim says, with the trust put in it."""

from __future__ import annotations

import numpy as np
import pytest
from tests.heredity.beliefs.records import (
    by_copies,
    collection_of,
    copies_in,
    evidence,
    founder,
    of_texts,
    of_young,
    only,
    record,
)

from holdback.heredity.beliefs.evidence import GeneRecord, LocusEvidence, RecordKind
from holdback.species.catalogue import load

TRUST = load().records["claim_trust"].value


def mixture(claim: list[float], trust: float, x: float) -> list[float]:
    """Claim with its trust, the population with the rest (methods: seller's claim with a trust weight)."""
    population = [(1 - x) ** 2, 2 * x * (1 - x), x * x]
    return [trust * said + (1 - trust) * usual for said, usual in zip(claim, population, strict=True)]


@pytest.mark.parametrize(
    "text, claim, words, wrong",
    [
        ("het Pied", [0, 1, 0], "said to be het Piebald", [True, False, True]),
        ("100% het Pied", [0, 1, 0], "said to be het Piebald", [True, False, True]),
        ("66% het Pied", [1 / 3, 2 / 3, 0], "said to be 66 % het Piebald", [False, False, True]),
        ("50% het Pied", [0.5, 0.5, 0], "said to be 50 % het Piebald", [False, False, True]),
        ("proven het Pied", [0, 1, 0], "said to be proven het Piebald", [True, False, True]),
    ],
)
def test_evidence_of__founder_claim_is_the_mixture_exactly(
    text: str, claim: list[float], words: str, wrong: list[bool]
) -> None:
    locus = of_texts(text).loci["piebald"]
    one = record(locus, "claim:A:piebald")
    assert one.kind is RecordKind.CLAIM
    assert one.counted
    assert one.words == words
    assert by_copies(one.wrong) == wrong
    belief = copies_in(founder(locus, one))
    assert belief == pytest.approx(mixture(claim, TRUST, float(locus.frequencies[1])), abs=1e-12)


def test_evidence_of__stated_claim_has_its_own_trust_and_never_more_than_the_limit() -> None:
    def stated(trust: float) -> tuple[LocusEvidence, GeneRecord]:
        claim = {"animal": "A", "gene": "Clown", "kind": "claimed", "one": 0.5, "none": 0.5, "trust": trust}
        more = {"by": "Ferris", "date": "2024-05-01", "ground": "told at the sale"}
        locus = evidence(collection_of([{"id": "A"}], [claim | more])).loci["clown"]
        return locus, only(locus, "A")

    for trust, held in [(0.7, 0.7), (1.0, 0.995)]:
        locus, one = stated(trust)
        assert (one.by, str(one.date), one.words) == ("Ferris", "2024-05-01", "said to be 50 % het Clown")
        expected = mixture([0.5, 0.5, 0], held, float(locus.frequencies[1]))
        assert copies_in(founder(locus, one)) == pytest.approx(expected, abs=1e-12)


def test_evidence_of__claim_of_two_copies_that_cannot_live_is_not_believed() -> None:
    claim = {"animal": "A", "gene": "Spider", "kind": "claimed", "one": 0, "two": 1, "trust": 0.9}
    locus = evidence(collection_of([{"id": "A"}], [claim])).loci["spider"]
    assert copies_in(founder(locus, only(locus, "A")))[2] < 1e-4


def test_evidence_of__one_allele_of_several_is_claimed_apart_from_the_rest() -> None:
    locus = of_texts("66% het Clown", "Cryptic").loci["clown"]
    one = record(locus, "claim:A:clown")
    clown = locus.alleles.index("clown")
    expected = mixture([1 / 3, 2 / 3, 0], TRUST, float(locus.frequencies[clown]))
    assert copies_in(founder(locus, one), clown) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("text", ["66% het Clown", "het Clown", "50% het Clown", "poss het Clown"])
def test_evidence_of__below_a_carrier_a_claim_only_repeats_the_parents(text: str) -> None:
    locus = of_young(text, sire="het Clown", dam="Normal").loci["clown"]
    assert not record(locus, "claim:K:clown").counted
    assert record(locus, "claim:S:clown").counted


def test_evidence_of__below_parents_without_the_gene_a_number_counts_and_a_guess_does_not() -> None:
    for text, counts in (("het Clown", True), ("66% het Clown", True), ("poss het Clown", False)):
        locus = of_young(text, sire="Pastel", dam="Normal").loci["clown"]
        assert record(locus, "claim:K:clown").counted is counts


def test_evidence_of__a_possible_look_below_parents_is_half_a_look() -> None:
    """Missed .15, imagined .03: half of .85 and .03, and half of their mean with two copies."""
    locus = of_young("Pastel poss YB", sire="Pastel", dam="Normal").loci["yb"]
    said = record(locus, "claim:K:yellow-belly").likelihood
    seen = record(of_young("Pastel YB", sire="Pastel", dam="Normal").loci["yb"], "look:K:yb").likelihood
    assert said == pytest.approx(0.5 * seen + 0.5 * seen.mean())
    assert 2.0 < said[0, 1] / said[0, 0] < 5.0


def test_evidence_of__an_ancestor_further_up_is_enough() -> None:
    rows = [
        {"id": "G", "genes": "Clown"},
        {"id": "S", "genes": "Pastel", "sire": "G"},
        {"id": "K", "genes": "50% het Clown", "sire": "S"},
    ]
    assert not record(evidence(collection_of(rows)).loci["clown"], "claim:K:clown").counted


def test_evidence_of__proven_and_tested_count_below_a_carrier() -> None:
    locus = of_young("proven het Clown", sire="het Clown", dam="Normal").loci["clown"]
    assert record(locus, "claim:K:clown").counted
    rows = [{"id": "S", "genes": "het Clown"}, {"id": "K", "sire": "S"}, {"id": "L", "sire": "S"}]
    claims = [
        {"animal": "K", "gene": "Clown", "kind": "claimed", "ground": "Shed test, two labs", "trust": 0.99},
        {"animal": "L", "gene": "Clown", "kind": "claimed", "ground": "not tested, by the sire", "trust": 0.99},
    ]
    locus = evidence(collection_of(rows, claims)).loci["clown"]
    assert record(locus, "claim:K:clown:0").counted
    assert not record(locus, "claim:L:clown:0").counted


def test_evidence_of__proven_reaches_to_the_next_chance() -> None:
    rows = [
        {"id": "S", "genes": "Clown het Pied het Albino"},
        {"id": "K", "genes": "proven het Clown, Pied 66% het Albino", "sire": "S"},
        {"id": "L", "genes": "het Pied proven het Clown", "sire": "S"},
    ]
    loci = evidence(collection_of(rows)).loci
    counted = {
        (animal, key): record(loci[key], f"claim:{animal}:{key}").counted
        for animal in "KL"
        for key in loci
        if (animal, key) != ("L", "albino")
    }
    assert counted == {
        ("K", "albino"): False,
        ("K", "clown"): True,
        ("K", "piebald"): True,
        ("L", "clown"): True,
        ("L", "piebald"): False,
    }


def test_evidence_of__possible_het_without_a_number_is_not_counted() -> None:
    one = record(of_texts("poss het Clown").loci["clown"], "claim:A:clown")
    assert one.words == "said to be possibly het Clown"
    assert not one.counted
    assert np.ptp(one.likelihood) == 0.0
    assert not one.wrong.any()


def test_evidence_of__a_statement_stands_in_the_place_of_the_text() -> None:
    rows = [{"id": "A", "genes": "66% het Clown"}]
    claim = {"animal": "A", "gene": "Clown", "kind": "claimed", "ground": "shed test", "trust": 0.99}
    locus = evidence(collection_of(rows, [claim])).loci["clown"]
    assert not record(locus, "claim:A:clown").counted
    assert record(locus, "claim:A:clown:0").counted
    # that it was looked for and not seen leaves the claim of a hidden gene as it is
    seen = {"animal": "A", "gene": "Clown", "none": 1, "one": 0}
    locus = evidence(collection_of(rows, [seen])).loci["clown"]
    assert record(locus, "claim:A:clown").counted


def test_evidence_of__two_copies_of_a_dominant_gene_are_a_claim() -> None:
    locus = of_texts("Super Pinstripe", "Pinstripe").loci["pinstripe"]
    assert [one.words for one in locus.records["B"]] == ["shows Pinstripe"]
    look, claim = locus.records["A"]
    assert claim.words == "said to have two copies of Pinstripe"
    x = float(locus.frequencies[1])
    shown = founder(locus, look)
    belief = founder(locus, look, claim)
    # among animals that show it, two copies have the share x / (2 - x)
    within = [0.0, 1 - x / (2 - x), x / (2 - x)]
    assert copies_in(shown)[2] / (1 - copies_in(shown)[0]) == pytest.approx(within[2])
    expected = TRUST + (1 - TRUST) * within[2]
    assert copies_in(belief)[2] / (1 - copies_in(belief)[0]) == pytest.approx(expected, abs=1e-9)


def test_evidence_of__maker_words_of_a_sex_linked_gene() -> None:
    locus = of_texts("Banana MM", "Banana FM", "Banana").loci["banana"]
    assert locus.linkage is not None
    assert locus.maker == {"A": pytest.approx((1 + TRUST) / 2), "B": pytest.approx((1 - TRUST) / 2)}
