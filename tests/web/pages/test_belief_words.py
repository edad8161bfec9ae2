"""A chance as the words beside its bar: nothing under 995 in 1,000 is said as sure."""

from __future__ import annotations

import pytest

from holdback.answers import KnownGenes
from holdback.answers.grounds import Ground, Grounds
from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import read
from holdback.species.catalogue import load
from holdback.species.model import WILD, pair
from holdback.web.pages.belief_words import belief_rows
from holdback.web.pages.parent_words import carried, seen


def known(allele: str, copies: tuple[float, float, float], basis: Basis = Basis.BY_DESCENT) -> KnownGenes:
    """What one animal carries at one locus, with a ground of one step."""
    catalogue = load()
    locus = catalogue.locus_of(allele).key
    pairs = ((WILD, WILD), pair(WILD, allele), (allele, allele))
    chances = dict(zip(pairs, copies, strict=True))
    some = copies[1] + copies[2]
    step = Ground("parents", "both parents carry it", (), (), without=0.01, alone=some, after=some, weight=3.0)
    name = catalogue.alleles[allele].name
    reason = Grounds("A", locus, allele, name, copies, 1, some, 0.004, (step,), (), basis, "Both parents carry it.")
    return KnownGenes(GenotypeBelief(Sex.MALE, {locus: chances}), read("", catalogue), {locus: reason})


@pytest.mark.parametrize(
    "copies, odds, label",
    [
        ((0.334, 0.665, 0.001), "about 2 in 3", "66\u00a0% het"),
        ((0.012, 0.985, 0.003), "all but certain", "99\u00a0% het"),
        ((0.006, 0.994, 0.0), "all but certain", "over 99\u00a0% het"),
        ((0.001, 0.994, 0.005), "one copy", "100\u00a0% het"),
        ((0.0, 0.001, 0.999), "two copies", ""),
        ((0.0, 0.7, 0.3), "one copy or two", "two copies 3 in 10"),
    ],
)
def test_belief_rows__of_a_recessive(copies: tuple[float, float, float], odds: str, label: str) -> None:
    (row,) = belief_rows(known("clown", copies), load(), "/KEY/")
    assert (row.odds, row.label, row.url) == (odds, label, "/clown/")


def test_belief_rows__unfold_to_the_steps() -> None:
    (row,) = belief_rows(known("clown", (0.5, 0.5, 0.0)), load(), "/KEY/")
    assert row.why == "Both parents carry it."
    assert [step.words for step in row.steps] == [
        "Of an animal of which nothing is known: 0.4\u00a0% carries it.",
        "Both parents carry it.",
    ]
    assert (row.steps[1].after, row.steps[1].alone) == ("50\u00a0%", "50\u00a0%")


def test_belief_rows__what_rests_on_a_claim_says_so() -> None:
    (row,) = belief_rows(known("clown", (0.05, 0.95, 0.0), Basis.CLAIMED), load(), "/KEY/")
    assert row.label == "95\u00a0% het, as claimed"


def test_belief_rows__leave_out_what_is_not_worth_telling() -> None:
    assert belief_rows(known("clown", (0.995, 0.005, 0.0)), load(), "/KEY/") == []


def test_carried__counts_both_numbers_of_copies() -> None:
    """A carrier for sure, whose second copy is not ruled out: the chance is that of carrying it at all."""
    (found,) = carried(known("clown", (0.0, 0.994, 0.006)).belief, load())
    assert found.chance == pytest.approx(1.0)
    assert carried(known("clown", (0.0, 0.02, 0.98)).belief, load()) == [], "what shows is told among the looks"


def test_seen__leaves_out_slips_of_the_eye() -> None:
    (found,) = seen(known("pastel", (0.008, 0.99, 0.002)).belief, load())
    assert (found.name, found.words) == ("Pastel", "Pastel")
