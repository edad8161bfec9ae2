"""Which looks count as one, and what records leave open."""

from __future__ import annotations

from holdback.answers.season.told_looks import Alike, told_look
from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.heredity.beliefs import Evidence, evidence_of
from holdback.species.catalogue import load
from holdback.species.model import WILD, Ease, pair

CATALOGUE = load()


def evidence(*genes: str) -> Evidence:
    animals = [{"id": f"A{number}", "genes": text} for number, text in enumerate(genes)]
    one = Collection.from_frames({"animals": animals})
    return evidence_of(one, CATALOGUE, Family.from_collection(one))


def test_told_look__one_look_several_or_none() -> None:
    locus = evidence("Pastel", "Super Pastel", "het Clown", "").loci["pastel"]
    one, two, wild = (
        CATALOGUE.look("pastel", alleles).key for alleles in ((WILD, "pastel"), ("pastel", "pastel"), (WILD, WILD))
    )
    told = [told_look(locus.records.get(f"A{number}", ()), locus, CATALOGUE) for number in range(4)]
    assert told == [frozenset({one}), frozenset({two}), frozenset({wild}), frozenset()]


def test_alike__a_hard_look_counts_as_what_it_is_taken_for() -> None:
    hard, plain = ("yellow-belly", "lesser")
    assert CATALOGUE.alleles[hard].ease_one is Ease.HARD
    locus = evidence("Yellow Belly").loci[CATALOGUE.alleles[hard].locus]
    alike = Alike(locus, CATALOGUE)
    assert alike.one(CATALOGUE.look(locus.key, (WILD, hard)).key) == ""
    assert alike.one(CATALOGUE.look(locus.key, pair(hard, hard)).key) != ""
    lesser = evidence("Lesser").loci[CATALOGUE.alleles[plain].locus]
    assert Alike(lesser, CATALOGUE).hard == {}


def test_alike__two_hard_alleles_together() -> None:
    hard = [allele for allele in CATALOGUE.alleles.values() if allele.ease_one is Ease.HARD]
    by_locus: dict[str, list[str]] = {}
    for allele in hard:
        if CATALOGUE.stands_for(allele.key) == allele.key:
            by_locus.setdefault(allele.locus, []).append(allele.key)
    several = [(locus, alleles) for locus, alleles in by_locus.items() if len(alleles) > 1]
    for locus, (first, second, *_) in several:
        names = (CATALOGUE.alleles[first].name, CATALOGUE.alleles[second].name)
        here = evidence(*names).loci[locus]
        look = CATALOGUE.look(locus, pair(first, second))
        if look.ease is Ease.HARD:
            assert Alike(here, CATALOGUE).one(look.key) == ""
    assert several


def test_alike__looks_that_a_record_leaves_open_are_one() -> None:
    locus = evidence("Pastel", "Super Pastel").loci["pastel"]
    one, two = (CATALOGUE.look("pastel", alleles).key for alleles in ((WILD, "pastel"), ("pastel", "pastel")))
    apart, together = Alike(locus, CATALOGUE), Alike(locus, CATALOGUE, [frozenset({one, two})])
    assert apart.one(one) != apart.one(two)
    assert together.one(one) == together.one(two)
    assert sorted(together.alike(one)) == sorted([one, two])
