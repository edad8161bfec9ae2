"""Statements, hidden looks, names, and the demo collection as a whole."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.heredity.beliefs.records import (
    Row,
    by_copies,
    collection_of,
    evidence,
    founder,
    of_texts,
    only,
    record,
)

from holdback import demo_data
from holdback.collection.collection import Collection
from holdback.descent.family import Family
from holdback.heredity.beliefs.evidence import Evidence
from holdback.heredity.beliefs.reading import evidence_of, gene_names
from holdback.species.catalogue import load


@pytest.fixture(scope="module")
def demo() -> Collection:
    return Collection.from_folder(demo_data.folder() / "collection")


def test_evidence_of__seen_stands_in_the_place_of_the_text_look() -> None:
    rows: list[Row] = [{"id": "S", "genes": "YB"}, {"id": "D", "genes": "Normal"}]
    rows.append({"id": "K", "genes": "Normal", "sire": "S", "dam": "D"})
    seen = {"animal": "K", "gene": "Yellow Belly", "by": "Ferris", "date": "2024-05"}
    one = only(evidence(collection_of(rows, [seen])).loci["yb"], "K")
    assert (one.key, one.words, one.by) == ("seen:K:yellow-belly:0", "shows Yellow Belly", "Ferris")
    assert by_copies(one.likelihood) == pytest.approx([0.03, 0.848, 0.002])


def test_evidence_of__the_latest_of_two_on_one_allele_counts() -> None:
    later: Row = {"animal": "A", "gene": "Yellow Belly", "none": 1, "one": 0, "date": "2024-05-02"}
    first: Row = {"animal": "A", "gene": "yellow-belly", "date": "2024-05-01"}
    undated: Row = {"animal": "A", "gene": "YB", "two": 1, "one": 0}
    for statements in ([later, first, undated], [undated, first, later]):
        rows: list[Row] = [{"id": "A"}, {"id": "B", "genes": "YB"}]
        one = only(evidence(collection_of(rows, statements)).loci["yb"], "A")
        assert one.words == "Yellow Belly looked for and not seen"
        assert by_copies(one.likelihood) == pytest.approx([0.969, 0.15, 0.01])
        assert by_copies(one.wrong) == [False, True, True]


def test_evidence_of__trust_in_what_was_seen() -> None:
    rows: list[Row] = [{"id": "S", "genes": "YB"}, {"id": "D", "genes": "Normal"}, {"id": "K", "sire": "S", "dam": "D"}]
    seen = {"animal": "K", "gene": "YB", "trust": 0.6}
    one = only(evidence(collection_of(rows, [seen])).loci["yb"], "K")
    mean = (0.03 + 0.848 + 0.002) / 3
    expected = [0.6 * chance + 0.4 * mean for chance in (0.03, 0.848, 0.002)]
    assert by_copies(one.likelihood) == pytest.approx(expected)


def test_evidence_of__trust_in_what_was_seen_on_a_bought_animal_mixes_with_the_population() -> None:
    sure = evidence(collection_of([{"id": "A"}], [{"animal": "A", "gene": "Clown", "two": 1, "one": 0}]))
    doubted = [{"animal": "A", "gene": "Clown", "two": 1, "one": 0, "trust": 0.8}]
    locus = evidence(collection_of([{"id": "A"}], doubted)).loci["clown"]
    believed = founder(locus, only(sure.loci["clown"], "A"))
    expected = 0.8 * believed + 0.2 * founder(locus)
    np.testing.assert_allclose(founder(locus, only(locus, "A")), expected, atol=1e-12)


def test_evidence_of__whoever_sees_a_recessive_in_one_copy_sees_two() -> None:
    one = only(evidence(collection_of([{"id": "A"}], [{"animal": "A", "gene": "Clown"}])).loci["clown"], "A")
    assert by_copies(one.wrong) == [True, True, False]


def test_evidence_of__two_genes_seen_at_one_locus_are_one_look() -> None:
    seen: list[Row] = [{"animal": "A", "gene": "Lesser"}, {"animal": "A", "gene": "Mojave"}]
    locus = evidence(collection_of([{"id": "A"}], seen)).loci["bel"]
    assert [one.wrong[1, 2] for one in locus.records["A"]] == [False, False]
    assert all(one.wrong[0].all() for one in locus.records["A"])


def test_evidence_of__not_seen_takes_away_only_its_own_gene_from_the_text() -> None:
    rows: list[Row] = [{"id": "A", "genes": "Lesser Mojave"}]
    seen: list[Row] = [{"animal": "A", "gene": "Lesser", "none": 1, "one": 0}]
    locus = evidence(collection_of(rows, seen)).loci["bel"]
    words = [one.words for one in locus.records["A"] if one.kind == "look"]
    assert words == ["shows Mojave", "Lesser looked for and not seen"]


def test_evidence_of__unsure_sight_lies_between_seen_and_not_seen() -> None:
    rows: list[Row] = [{"id": "S", "genes": "YB"}, {"id": "D", "genes": "Normal"}, {"id": "K", "sire": "S", "dam": "D"}]
    seen = {"animal": "K", "gene": "YB", "none": 0.5, "one": 0.5}
    one = only(evidence(collection_of(rows, [seen])).loci["yb"], "K")
    assert one.words == "may show Yellow Belly"
    scaled = np.array(by_copies(one.likelihood)) / one.likelihood[0, 0]
    # both likelihoods at the same mean: (0.03, 0.848, 0.002) and (0.969, 0.15, 0.01)
    seen_mean, unseen_mean = 0.88 / 3, 1.129 / 3
    by_hand = [0.5 * a + 0.5 * b * seen_mean / unseen_mean for a, b in [(0.03, 0.969), (0.848, 0.15), (0.002, 0.01)]]
    assert scaled.tolist() == pytest.approx([value / by_hand[0] for value in by_hand])


def test_evidence_of__a_white_animal_says_nothing_of_other_looks() -> None:
    evidence = of_texts("Lesser Mojave", "Blue-eyed Lucy Pastel", "Fire", "Clown", "Super Fire")
    for locus in ("clown", "blkel", "pastel"):
        assert "A" not in evidence.loci[locus].records
    assert "E" not in evidence.loci["bel"].records
    # what is named beneath the white is a claim
    assert [one.words for one in evidence.loci["pastel"].records["B"]] == ["said to be Pastel"]
    assert only(evidence.loci["clown"], "C").words == "described without Clown"
    assert evidence.loci["bel"].hides.any()
    assert not evidence.loci["clown"].hides.any()


def test_evidence_of__what_was_seen_on_a_white_animal_may_be_hidden() -> None:
    rows: list[Row] = [{"id": "A", "genes": "Lesser Mojave"}, {"id": "B", "genes": "Lesser"}, {"id": "C"}, {"id": "N"}]
    rows += [{"id": "K", "sire": "B"}, {"id": "O", "genes": "Clown"}]
    seen: list[Row] = [{"animal": animal, "gene": "Clown", "none": 1, "one": 0} for animal in "ABCK"]
    locus = evidence(collection_of(rows, seen)).loci["clown"]
    hidden_by = {animal: only(locus, animal).hidden_by for animal in "ABCK"}
    # B was seen not to be white; nothing links C to the white-makers; K is out of one
    assert hidden_by == {"A": "bel", "B": "", "C": "", "K": "bel"}
    also = [*seen, {"animal": "K", "gene": "Lesser"}]
    assert record(evidence(collection_of(rows, also)).loci["clown"], "seen:K:clown:0").hidden_by == ""
    white = [*seen, {"animal": "C", "gene": "Lesser", "two": 1, "one": 0}]
    assert record(evidence(collection_of(rows, white)).loci["clown"], "seen:C:clown:0").hidden_by == "bel"


def test_gene_names__butter_stays_butter() -> None:
    rows = [
        {"id": "B", "genes": "Butter"},
        {"id": "L", "genes": "Lesser"},
        {"id": "K", "sire": "B", "dam": "N"},
        {"id": "N", "genes": "Normal"},
        {"id": "M", "sire": "B", "dam": "L"},
        {"id": "Y", "dam": "K"},
        {"id": "X", "genes": "Lesser", "dam": "K"},
        {"id": "Z"},
    ]
    collection = collection_of(rows, [{"animal": "Z", "gene": "Butter"}])
    names = gene_names(collection, load())
    assert {animal: names[animal, "lesser"] for animal in "BLKNMYXZ"} == {
        "B": "Butter",
        "L": "Lesser",
        "K": "Butter",
        "N": "Lesser",
        "M": "Lesser",
        "Y": "Butter",
        "X": "Lesser",
        "Z": "Butter",
    }


def test_evidence_of__demo_is_proper_throughout(demo: Collection) -> None:
    evidence = evidence_of(demo, load(), Family.from_collection(demo))
    keys = [one.key for locus in evidence.loci.values() for each in locus.records.values() for one in each]
    assert len(keys) == len(set(keys)) > 2000
    for locus in evidence.loci.values():
        assert locus.frequencies.sum() == pytest.approx(1.0)
        assert locus.survival.min() > 0.0
        for records in locus.records.values():
            for one in records:
                assert one.likelihood.min() > 0.0
                np.testing.assert_array_equal(one.likelihood, one.likelihood.T)
                np.testing.assert_array_equal(one.wrong, one.wrong.T)
                # a record is likelier where it is right
                if one.wrong.any() and not one.wrong.all():
                    assert one.likelihood[~one.wrong].max() > one.likelihood[one.wrong].max()


def test_evidence_of__demo_founders_are_believed_as_described(demo: Collection) -> None:
    family = Family.from_collection(demo)
    for locus in evidence_of(demo, load(), family).loci.values():
        for animal, records in locus.records.items():
            looks = [one for one in records if one.words.startswith("shows ")]
            if looks and family.brood_of(animal) is None:
                assert founder(locus, *looks)[~looks[0].wrong].sum() > 0.95, (animal, locus.key)


@given(st.permutations(range(6)))
def test_evidence_of__order_of_animals_changes_nothing(order: list[int]) -> None:
    rows = [
        {"id": "S", "genes": "Butter het Clown"},
        {"id": "D", "genes": "Mojave 66% het Pied"},
        {"id": "K", "genes": "Blue-eyed Lucy", "sire": "S", "dam": "D"},
        {"id": "L", "genes": "Lesser 66% het Clown", "sire": "S", "dam": "D"},
        {"id": "U", "genes": "Super Pastel"},
        {"id": "V", "sire": "U"},
    ]
    seen: list[Row] = [{"animal": "V", "gene": "Pastel"}, {"animal": "K", "gene": "Clown", "none": 1, "one": 0}]
    given_order = evidence(collection_of(rows, seen))
    shuffled = evidence(collection_of([rows[index] for index in order], seen))
    assert _content(given_order) == _content(shuffled)


def _content(evidence: Evidence) -> dict[str, object]:
    return {
        one.key: (one.words, one.likelihood.tolist(), one.wrong.tolist(), one.counted, one.hidden_by)
        for locus in evidence.loci.values()
        for records in locus.records.values()
        for one in records
    } | {locus.key: (locus.alleles, locus.frequencies.tolist()) for locus in evidence.loci.values()}


def test_evidence_of__an_unrelated_animal_changes_no_record_of_others() -> None:
    alone = _content(of_texts("Clown", "66% het Clown"))
    beside = _content(of_texts("Clown", "66% het Clown", "Pastel"))
    assert alone.items() <= beside.items()


def test_evidence_of__demo_is_read_fast(demo: Collection) -> None:
    family = Family.from_collection(demo)
    evidence_of(demo, load(), family)
    taken = []
    for _ in range(5):
        start = time.perf_counter()
        evidence_of(demo, load(), family)
        taken.append(time.perf_counter() - start)
    # about 0.03 s when nothing else runs; the limit leaves room for a busy machine
    assert min(taken) < 0.3


def test_evidence_of__order_of_the_demo_changes_nothing(demo: Collection) -> None:
    records = replace(demo.records, animals=tuple(reversed(demo.records.animals)))
    turned = Collection.from_records(records, species=demo.species)
    first = evidence_of(demo, load(), Family.from_collection(demo))
    second = evidence_of(turned, load(), Family.from_collection(turned))
    assert _content(first) == _content(second)
