"""Records of looks: tables worked out by hand from the error rates of the species file.

Rates: a plain look is missed by 0.01, imagined by 0.001; another look of the same gene is written by 0.002 in all;
Yellow Belly is missed by 0.15 and imagined by 0.03. All are assumptions of the species file, no source.
"""

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

from holdback.descent.family import Family
from holdback.heredity.beliefs.evidence import RecordKind
from holdback.heredity.beliefs.looks import looks_at
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import load
from holdback.species.model import WILD


def test_looks_at__pastel_has_a_row_for_each_look() -> None:
    # Super Pastel is subtle: one and two copies are mixed up at the missed rate, here 0.01
    table = looks_at(load(), "pastel", (WILD, "pastel"))
    assert [look.label for look in table.looks] == ["", "Pastel", "Super Pastel"]
    expected = [[0.998, 0.001, 0.001], [0.01, 0.98, 0.01], [0.01, 0.01, 0.98]]
    np.testing.assert_allclose(table.confusion, expected, atol=1e-12)


def test_looks_at__yellow_belly_is_missed_and_imagined_more_often() -> None:
    # Ivory is plain: missed by 0.01, mixed up with Yellow Belly by 0.002, taken from a wild type by 0.002 / 2
    table = looks_at(load(), "yb", (WILD, "yellow-belly"))
    expected = [[0.969, 0.03, 0.001], [0.15, 0.848, 0.002], [0.01, 0.002, 0.988]]
    np.testing.assert_allclose(table.confusion, expected, atol=1e-12)


def test_looks_at__blue_eyed_white_is_one_look_of_three_genotypes() -> None:
    table = looks_at(load(), "bel", (WILD, "mojave", "lesser"))
    assert [look.label for look in table.looks] == ["", "Mojave", "Lesser", "Blue-eyed Lucy"]
    assert table.look_of.tolist() == [[0, 1, 2], [1, 3, 3], [2, 3, 3]]
    assert table.hiding.tolist() == [[False, False, False], [False, True, True], [False, True, True]]
    # the wild type: two looks imagined, the third written by mistake; the others: 0.002 over two other looks
    expected = [
        [1 - 0.002 - 0.002 / 3, 0.001, 0.001, 0.002 / 3],
        [0.01, 0.988, 0.001, 0.001],
        [0.01, 0.001, 0.988, 0.001],
        [0.01, 0.001, 0.001, 0.988],
    ]
    np.testing.assert_allclose(table.confusion, expected, atol=1e-12)


@pytest.mark.parametrize("locus", sorted(load().loci))
def test_looks_at__rows_are_distributions_at_every_locus(locus: str) -> None:
    catalogue = load()
    alleles = tuple(dict.fromkeys(catalogue.stands_for(key) for key in catalogue.loci[locus].alleles))
    confusion = looks_at(catalogue, locus, (WILD, *alleles)).confusion
    assert confusion.min() > 0.0
    np.testing.assert_allclose(confusion.sum(axis=1), 1.0, atol=1e-12)
    assert (confusion.argmax(axis=1) == np.arange(len(confusion))).all()


def test_evidence_of__pastel_out_of_recorded_parents() -> None:
    locus = of_young("Pastel", sire="Pastel", dam="Normal").loci["pastel"]
    one = only(locus, "K")
    assert (one.key, one.kind, one.words) == ("look:K:pastel", RecordKind.LOOK, "shows Pastel")
    assert by_copies(one.likelihood) == pytest.approx([0.001, 0.98, 0.01])
    assert by_copies(one.wrong) == [True, False, True]
    normal = only(locus, "D")
    assert normal.words == "looks normal"
    assert by_copies(normal.likelihood) == pytest.approx([0.998, 0.01, 0.01])
    assert by_copies(normal.wrong) == [False, True, True]


def test_evidence_of__pastel_lines_are_one_allele() -> None:
    locus = of_texts("Lemon Pastel", "Citrus Pastel").loci["pastel"]
    assert locus.alleles == (WILD, "pastel")
    alleles = load().alleles.values()
    share = sum(allele.frequency for allele in alleles if allele.locus == "pastel")
    assert locus.frequencies.tolist() == pytest.approx([1 - share, share])
    assert only(locus, "A").words == "shows Lemon Pastel"


def test_evidence_of__yellow_belly_and_ivory() -> None:
    evidence = of_young("YB", sire="Ivory", dam="Enchi")
    locus = evidence.loci["yb"]
    assert by_copies(only(locus, "K").likelihood) == pytest.approx([0.03, 0.848, 0.002])
    assert by_copies(only(locus, "D").likelihood) == pytest.approx([0.969, 0.15, 0.01])
    assert only(locus, "D").words == "described without Yellow Belly"
    assert only(locus, "S").words == "shows Ivory"


def test_evidence_of__clown_does_not_show_in_one_copy() -> None:
    locus = of_young("Clown", sire="het Clown", dam="Normal").loci["clown"]
    assert by_copies(only(locus, "K").likelihood) == pytest.approx([0.001, 0.001, 0.99])
    assert by_copies(record(locus, "look:S:clown").likelihood) == pytest.approx([0.999, 0.999, 0.01])
    assert by_copies(record(locus, "look:S:clown").wrong) == [False, False, True]


def test_evidence_of__spider_in_two_copies_does_not_live() -> None:
    locus = of_texts("Spider").loci["spider"]
    assert by_copies(locus.survival) == pytest.approx([1.0, 1.0, 1e-6])
    assert copies_in(founder(locus, only(locus, "A")))[2] < 1e-6


def test_evidence_of__dead_in_the_egg_is_not_held_to_survival() -> None:
    rows = [
        {"id": "A", "genes": "Spider"},
        {"id": "B", "genes": "Spider", "status": "died in egg"},
        {"id": "C", "genes": "Spider", "status": "died"},
    ]
    locus = evidence(collection_of(rows)).loci["spider"]
    keys = {animal: [one.key for one in records] for animal, records in locus.records.items()}
    assert keys["A"] == ["look:A:spider"]
    assert keys["B"] == ["look:B:spider", "died:B:spider"]
    restored = record(locus, "died:B:spider").likelihood * locus.survival
    assert np.ptp(restored / restored.max()) < 1e-12
    # dead after hatching: a look that kills in the egg is still ruled out
    assert np.ptp(record(locus, "died:C:spider").likelihood) == 0.0


@pytest.mark.parametrize(
    "text, locus, rates, recorded",
    [
        # chances to be recorded so of a wild type, of one copy and of two: the columns of the tables above
        ("Clown", "clown", (0.001, 0.001, 0.99), 2),
        ("Pastel", "pastel", (0.001, 0.98, 0.01), 1),
        ("YB", "yb", (0.03, 0.848, 0.002), 1),
        ("Ivory", "yb", (0.001, 0.002, 0.988), 2),
    ],
)
def test_evidence_of__a_bought_animal_is_wrong_as_often_as_records_are(
    text: str, locus: str, rates: tuple[float, float, float], recorded: int
) -> None:
    here = of_texts(text).loci[locus]
    x = float(here.frequencies[1])
    usual = [(1 - x) ** 2, 2 * x * (1 - x), x * x]
    look = [0, 0, 2] if locus == "clown" else [0, 1, 2]
    share = [sum(usual[k] for k in range(3) if look[k] == look[own]) for own in range(3)]
    # looks commoner than the recorded one are brought down to its share
    weighed = [rates[k] * usual[k] * min(1.0, share[recorded] / share[k]) for k in range(3)]
    expected = [each / sum(weighed) for each in weighed]
    assert copies_in(founder(here, only(here, "A"))) == pytest.approx(expected)
    assert expected[recorded] > 0.96


def test_evidence_of__an_unrecorded_parent_may_bring_what_the_other_does_not() -> None:
    rows = [
        {"id": "S", "genes": "Mojave"},
        {"id": "D", "genes": "Normal"},
        {"id": "K", "genes": "Lesser", "sire": "S"},
        {"id": "M", "genes": "Mojave", "sire": "S"},
        {"id": "L", "genes": "Lesser", "sire": "S", "dam": "D"},
    ]
    locus = evidence(collection_of(rows)).loci["bel"]
    # Lesser from outside is taken as bought, Mojave from the sire and a young of two recorded parents are not
    weight = (locus.frequencies[0] ** 2) / (2 * locus.frequencies[0] * locus.frequencies[2])
    bought = only(locus, "K").likelihood
    assert bought[0, 2] / bought[0, 0] == pytest.approx(988 * weight)
    assert only(locus, "M").likelihood[0, 1] / only(locus, "M").likelihood[0, 0] == pytest.approx(988)
    assert only(locus, "L").likelihood[0, 2] / only(locus, "L").likelihood[0, 0] == pytest.approx(988)


def test_evidence_of__butter_is_lesser_under_its_own_name() -> None:
    evidence = of_texts("Butter", "Lesser", "Lesser Butter")
    locus = evidence.loci["bel"]
    assert locus.alleles == (WILD, "lesser")
    assert only(locus, "A").words == "shows Butter"
    np.testing.assert_array_equal(only(locus, "A").likelihood, only(locus, "B").likelihood)
    assert record(locus, "look:C:bel").words == "shows Blue-eyed Lucy"
    assert by_copies(record(locus, "look:C:bel").wrong) == [True, True, False]


def test_evidence_of__compound_text_says_which_white_it_is() -> None:
    locus = of_texts("Lesser Mojave").loci["bel"]
    records = locus.records["A"]
    assert [one.words for one in records] == ["shows Blue-eyed Lucy", "said to be Lesser", "said to be Mojave"]
    belief = founder(locus, *records)
    assert 2 * belief[1, 2] > 0.99
    without_claims = founder(locus, records[0])
    # within the look by Hardy-Weinberg: Mojave 0.005, Lesser and Butter together 0.007
    assert 2 * without_claims[1, 2] / without_claims[1:, 1:].sum() == pytest.approx(2 * 5 * 7 / 12**2)


def test_evidence_of__a_white_by_look_alone_may_be_any_of_its_genes() -> None:
    locus = of_texts("Blue-eyed Lucy").loci["bel"]
    assert set(locus.alleles) == {WILD, "mojave", "lesser", "russo", "mocha"}
    one = only(locus, "A")
    assert one.words == "shows Blue-eyed Lucy"
    assert not one.wrong[1:, 1:].any()
    assert one.wrong[0].all()


def test_evidence_of__a_whole_complex_and_a_contradiction_say_nothing_certain() -> None:
    evidence = of_texts("BEL complex", "Mojave Lesser Phantom", "Mojave")
    locus = evidence.loci["bel"]
    assert locus.alleles == (WILD, "mojave")
    assert set(locus.records) == {"C"}


def test_evidence_of__only_what_is_named_is_in_play_and_no_text_is_no_record() -> None:
    evidence = of_texts("", "Pastel not Clown", "Normal")
    assert list(evidence.loci) == ["pastel"]
    assert set(evidence.loci["pastel"].records) == {"B", "C"}
    assert evidence.sex_error == load().records["sex_error"].value
    assert evidence.second_division == load().records["second_division"].value


def test_evidence_of__possible_super_leaves_both_looks_open() -> None:
    one = only(of_young("possible super Pastel", sire="Pastel", dam="Pastel").loci["pastel"], "K")
    assert one.words == "shows Pastel or Super Pastel"
    assert by_copies(one.likelihood) == pytest.approx([0.002, 0.99, 0.99])
    assert by_copies(one.wrong) == [True, False, False]


def test_evidence_of__possible_yellow_belly_rules_out_ivory_only() -> None:
    locus = of_young("poss YB", sire="YB", dam="Normal").loci["yb"]
    look = record(locus, "look:K:yb")
    assert look.words == "may show Yellow Belly"
    assert by_copies(look.likelihood) == pytest.approx([0.999, 0.998, 0.012])
    assert record(locus, "claim:K:yellow-belly").counted


def test_evidence_of__own_rates_of_a_keeper_count() -> None:
    own = load().changed({"allele": {"pastel": {"missed": 0.2, "ease_two": "plain"}}})
    rows = [{"id": "S", "genes": "Pastel"}, {"id": "D", "genes": "Normal"}]
    collection = collection_of(rows)
    locus = evidence_of(collection, own, Family.from_collection(collection)).loci["pastel"]
    assert by_copies(only(locus, "D").likelihood) == pytest.approx([0.998, 0.2, 0.2])
