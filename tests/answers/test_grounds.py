"""Grounds against posteriors worked out by enumeration, closed forms, and what a breeder would accept."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import pytest
from tests.heredity.beliefs.pedigrees import (
    LOOPED,
    NORMAL,
    VISUAL,
    claim,
    evidence_at,
    family_of,
    recessive,
    record,
)

from holdback.answers.grounds import Grounds, chances_without, grounds_of, is_moved, log_odds
from holdback.answers.grounds_settle import what_would_settle
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.collection.model import GeneStatement, StatementKind
from holdback.demo_data import folder
from holdback.descent.family import Family
from holdback.heredity.beliefs import inference
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import GeneRecord, RecordKind
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.naming import gene_names
from holdback.heredity.beliefs.reading import evidence_of
from holdback.species.catalogue import load

FREQUENCY = 0.05
SURE = 1e-300

Row = dict[str, str]


def _claim(animal: str, values: Sequence[float], frequency: float) -> GeneRecord:
    return replace(claim(animal, values, frequency), kind=RecordKind.CLAIM, words="said to be 66 % het Clown")


def _looped() -> Beliefs:
    records = [_claim("S", (1 / 3, 2 / 3, SURE), FREQUENCY)]
    records += [record(name, NORMAL, words="looks normal") for name in LOOPED if name != "X1"]
    records.append(record("X1", VISUAL, words="shows Clown"))
    return infer(family_of(LOOPED), evidence_at(recessive("clown", FREQUENCY, records)))


def _named(ids: Sequence[str]) -> Collection:
    return Collection.from_frames({"animals": [{"id": one} for one in ids]})


def _collection(
    rows: Sequence[Row], statements: Sequence[GeneStatement] = (), clutches: Sequence[Row] = ()
) -> tuple[Collection, Beliefs]:
    records = Collection.from_frames({"animals": rows} | ({"clutches": clutches} if clutches else {})).records
    collection = Collection.from_records(replace(records, statements=tuple(statements)))
    family = Family.from_collection(collection)
    return collection, infer(family, evidence_of(collection, load(), family))


def _grounds(animal: str, locus: str, rows: Sequence[Row], statements: Sequence[GeneStatement] = ()) -> Grounds:
    collection, found = _collection(rows, statements)
    return grounds_of(found, collection, load(), animal, locus)


# Posteriors of the looped pedigree with records left out, by enumeration over all 3^9 genotypes.
@pytest.mark.outside
@pytest.mark.parametrize(
    "withheld, carrier",
    [
        ((), 0.523630),
        (("look:X1",), 0.232814),
        (("look:B2",), 0.678977),
        (("look:B1",), 0.663138),
        (("look:F1",), 0.534664),
        (("look:D1",), 0.524891),
        (("look:B1", "look:B2"), 0.793202),
        (tuple(f"look:{name}" for name in LOOPED), 0.366667),
    ],
    ids=["all", "X1", "B2", "B1", "F1", "D1", "B1 and B2", "no looks"],
)
def test_chances_without__looped_pedigree(withheld: tuple[str, ...], carrier: float) -> None:
    (copies,) = chances_without(_looped(), "F1", "clown", "clown", [frozenset(withheld)])
    assert copies[1] + copies[2] == pytest.approx(carrier, abs=1e-6)
    assert sum(copies) == pytest.approx(1.0)


def test_grounds_of__each_step_is_an_exact_posterior() -> None:
    found = _looped()
    grounds = grounds_of(found, _named(list(LOOPED)), load(), "F1", "clown")
    assert grounds.chance == pytest.approx(0.523630, abs=1e-6)
    assert [step.kind for step in grounds.steps] == ["parents", "relatives", "look", "young"]
    every = frozenset(
        key for records in found.evidence.loci["clown"].records.values() for key in (r.key for r in records)
    )
    so_far: frozenset[str] = frozenset()
    for step in grounds.steps:
        keys = frozenset(step.records)
        so_far |= keys
        asked = [keys, every - keys]
        without, alone = (c[1] + c[2] for c in chances_without(found, "F1", "clown", "clown", asked))
        assert step.without == pytest.approx(without)
        assert step.alone == pytest.approx(alone)
        assert step.weight == pytest.approx(log_odds(grounds.chance) - log_odds(without))
    assert frozenset(grounds.steps[-1].records) == {"look:B1", "look:B2", "look:X1", "look:H"}
    assert grounds.steps[-1].after == pytest.approx(grounds.chance)


def test_grounds_of__weight_of_the_visual_grandchild() -> None:
    """Natural log odds of one record: +1.2871 by enumeration."""
    with_it, without = (
        c[1] + c[2] for c in chances_without(_looped(), "F1", "clown", "clown", [frozenset(), frozenset({"look:X1"})])
    )
    assert log_odds(with_it) - log_odds(without) == pytest.approx(1.2871, abs=1e-4)


# A het of chance p with k normal young by a visual: p 2^-k / (p 2^-k + 1 - p), closed form.
@pytest.mark.outside
@pytest.mark.parametrize("k, left", [(3, 0.2), (5, 1 / 17), (6, 1 / 33)])
def test_grounds_of__normal_young_by_a_visual(k: int, left: float) -> None:
    young = [f"K{number}" for number in range(k)]
    parents = {"S": None, "D": None, "F": ("S", "D"), "V": None, **dict.fromkeys(young, ("F", "V"))}
    het = (SURE, 1.0, SURE)
    records = [_claim(name, het, 0.01) for name in ("S", "D")]
    records += [record(name, (1.0, 1.0, SURE), words="looks normal") for name in ("F", *young)]
    records.append(record("V", (SURE, SURE, 1.0), words="shows Clown"))
    found = infer(family_of(parents), evidence_at(recessive("clown", 0.01, records)))
    grounds = grounds_of(found, _named(list(parents)), load(), "F", "clown")
    last = grounds.steps[-1]
    assert grounds.chance == pytest.approx(left)
    assert last.kind == "young"
    assert last.without == pytest.approx(2 / 3)
    assert [step.after for step in grounds.steps] == pytest.approx([0.75, 2 / 3, left])
    assert grounds.basis is Basis.BY_OFFSPRING
    assert grounds.sentence.startswith("66 % by its parents and its look; ")
    assert "young by V, who shows Clown, and none shows it: " in grounds.sentence


CLOWNS = [{"id": "G", "genes": "Clown", "sex": "female"}, {"id": "N", "genes": "Normal", "sex": "male"}]
HET = {"id": "D", "genes": "Normal", "dam": "G", "sire": "N", "sex": "female"}
FOUNDER_HET = {"id": "F", "genes": "66% het Clown", "sex": "male"}
HET_SIRE = {"id": "S", "genes": "Normal", "dam": "G", "sire": "N", "sex": "male"}


@pytest.mark.parametrize(
    "animal, rows, basis, sentence",
    [
        ("G", CLOWNS, Basis.MEASURED, "Shows Clown: two copies."),
        ("D", [*CLOWNS, HET], Basis.BY_DESCENT, "Its dam G shows Clown: carries it for sure."),
        (
            "K",
            [*CLOWNS, HET, {"id": "K", "genes": "Normal", "dam": "D", "sire": "N"}],
            Basis.BY_DESCENT,
            "Its dam D carries Clown for sure, as her dam G shows it: 50 %.",
        ),
        (
            "K",
            [*CLOWNS, HET, HET_SIRE, {"id": "K", "genes": "Normal", "dam": "D", "sire": "S"}],
            Basis.BY_DESCENT,
            "Both parents carry Clown for sure; it looks normal: 66 %.",
        ),
        ("F", [FOUNDER_HET], Basis.CLAIMED, "Said to be 66 % het Clown; nothing recorded here proves it: 63 %."),
        (
            "F",
            [*CLOWNS, FOUNDER_HET, {"id": "K", "genes": "Clown", "dam": "G", "sire": "F"}],
            Basis.BY_OFFSPRING,
            "One young by G, who shows Clown, shows it: carries it for sure.",
        ),
        (
            "K",
            [FOUNDER_HET, CLOWNS[1], {"id": "K", "genes": "Normal", "sire": "F"}],
            Basis.BY_DESCENT,
            "Its sire F is said to be 66 % het Clown (taken at 63 %): 32 %.",
        ),
        (
            "K",
            [FOUNDER_HET, {"id": "M", "sire": "F", "sex": "female"}, {"id": "K", "genes": "Normal", "dam": "M"}],
            Basis.BY_DESCENT,
            "Its dam M may carry Clown (32 %): 16 %. It rests on F being said to be 66 % het Clown.",
        ),
        (
            "K",
            [*CLOWNS, {"id": "K", "sire": "none", "dam": "G"}],
            Basis.BY_DESCENT,
            "Its dam G, its only parent, shows Clown: two copies.",
        ),
        (
            "N",
            CLOWNS,
            Basis.ASSUMED,
            "Nothing recorded speaks of Clown; 1 % of animals are taken to carry it.",
        ),
    ],
)
def test_grounds_of__sentences(animal: str, rows: Sequence[Row], basis: Basis, sentence: str) -> None:
    grounds = _grounds(animal, "clown", rows)
    assert (grounds.sentence, grounds.basis) == (sentence, basis)


def test_grounds_of__visual_clutch_mates_prove_the_parents() -> None:
    rows = [
        {"id": "S", "genes": "Normal", "sex": "male"},
        {"id": "D", "genes": "Normal", "sex": "female"},
        *[{"id": f"K{n}", "genes": g, "sire": "S", "dam": "D"} for n, g in enumerate(["Clown"] * 4 + ["Normal"])],
    ]
    grounds = _grounds("K4", "clown", rows)
    assert "so both parents carry it for sure; it looks normal: 66 %." in grounds.sentence
    sibs = grounds.step("sibs")
    assert sibs is not None
    assert sibs.without < 0.02
    assert grounds.basis is Basis.BY_DESCENT


def test_grounds_of__words_for_other_kin() -> None:
    """A doubtful dam whose young by another mate look normal; the animal's own young by its sire are not among them."""
    rows = [
        {"id": "S", "genes": "Clown", "sex": "male"},
        {"id": "D", "genes": "66% het Clown", "sex": "female"},
        {"id": "N", "genes": "Clown Pastel", "sex": "male"},
        {"id": "K", "genes": "Normal", "sire": "N", "dam": "D", "sex": "female"},
        {"id": "B", "genes": "Clown", "sire": "N", "dam": "K"},
        *[{"id": f"H{n}", "genes": "Normal", "sire": "S", "dam": "D"} for n in range(2)],
    ]
    assert _grounds("H0", "clown", rows).sentence == "Its sire S shows Clown: carries it for sure."
    dam = _grounds("D", "clown", rows)
    assert "two young by S, who shows Clown, and none shows it" in dam.sentence
    own = _grounds("K", "pastel", rows)
    assert all("other young of N" not in step.words for step in own.steps)
    third = [*rows[:3], {"id": "K", "genes": "Normal", "sire": "M", "dam": "D"}, {"id": "M", "sex": "male"}, *rows[5:]]
    relatives = _grounds("K", "clown", third).step("relatives")
    assert relatives is not None
    assert relatives.words == "none of two other young of D shows Clown"
    assert relatives.weight < 0.0


def test_grounds_of__words_of_a_step_say_no_more_than_the_step_knows() -> None:
    """Before the clutch mates speak, the dam is only said to be het."""
    rows = [
        *CLOWNS,
        HET_SIRE,
        {"id": "D", "genes": "het Clown", "sex": "female"},
        *[{"id": f"K{n}", "genes": g, "sire": "S", "dam": "D"} for n, g in enumerate(["Clown", "Clown", "Normal"])],
    ]
    first = _grounds("K2", "clown", rows).steps[0]
    above = "its sire S carries Clown for sure, as his dam G shows it, and its dam D is said to be het Clown"
    assert first.words == f"{above} (taken at 95 %)"
    proved = _grounds("K2", "clown", rows).sentence
    assert proved == "Two full sibs show Clown, so both parents carry it for sure; it looks normal: 66 %."


def test_grounds_of__keeps_the_trade_name_of_the_animal() -> None:
    rows = [{"id": "D", "genes": "Butter", "sex": "female"}, {"id": "K", "genes": "", "dam": "D"}]
    collection, found = _collection(rows)
    grounds = grounds_of(found, collection, load(), "K", "bel", names=gene_names(collection, load()))
    assert (grounds.allele, grounds.name) == ("lesser", "Butter")
    assert grounds.sentence == "Its dam D shows Butter: 50 %."


def test_grounds_of__says_who_claims() -> None:
    said = GeneStatement("A", "Clown", StatementKind.CLAIMED, 0.0, 1.0, 0.0, by="the seller")
    grounds = _grounds("A", "clown", [{"id": "A", "genes": "Normal"}], [said])
    assert grounds.sentence.startswith("Said by the seller to be het Clown; nothing recorded here proves it")
    step = grounds.step("claim")
    assert step is not None
    assert step.without == pytest.approx(grounds.population, rel=0.01)


def test_grounds_of__gene_that_shows() -> None:
    rows = [
        {"id": "S", "genes": "Pastel", "sex": "male"},
        {"id": "D", "genes": "Pastel", "sex": "female"},
        {"id": "K", "genes": "Pastel", "sire": "S", "dam": "D"},
        {"id": "L", "genes": "Normal", "sire": "S", "dam": "D"},
        {"id": "M", "genes": "Super Pastel", "sire": "S", "dam": "D"},
    ]
    assert _grounds("K", "pastel", rows).sentence == "Shows Pastel: one copy."
    missed = _grounds("L", "pastel", rows)
    assert missed.sentence.startswith("Both parents show Pastel; it looks normal: ")
    assert (missed.basis, missed.chance < 0.05) == (Basis.MEASURED, True)
    assert _grounds("M", "pastel", rows).n_asked == 2


def test_grounds_of__doubtful_sire() -> None:
    """One sire shows Clown, the other nothing: a second gene of the clutch tells which, and so whether it is het."""
    rows = [
        {"id": "S1", "genes": "Clown Pastel", "sex": "male"},
        {"id": "S2", "genes": "Normal", "sex": "male"},
        {"id": "D", "genes": "Normal", "sex": "female"},
        {"id": "K", "genes": "Normal", "sire": "S1:0.5|S2:0.5", "dam": "D", "clutch": "C", "hatched": "2020"},
        {"id": "L", "genes": "Pastel", "sire": "S1:0.5|S2:0.5", "dam": "D", "clutch": "C", "hatched": "2020"},
    ]
    clutch = {"id": "C", "dam": "D", "sires": "S1:0.5|S2:0.5"}
    collection, found = _collection(rows, clutches=[clutch])
    grounds = grounds_of(found, collection, load(), "K", "clown")
    step = grounds.step("sires")
    assert step is not None
    assert step.without == pytest.approx(0.5, abs=0.01)
    assert grounds.chance == pytest.approx(sum(case.chance * (1.0 - case.copies[0]) for case in grounds.sires))
    assert step.words.startswith("its sire is S1 with ")
    even = [row | {"genes": "Normal"} if row["id"] == "L" else row for row in rows]
    unknown, doubtful = _collection(even, clutches=[clutch])
    open_case = grounds_of(doubtful, unknown, load(), "K", "clown")
    assert open_case.sentence.startswith("Its sire is S1 (")
    assert what_would_settle(open_case, unknown, load()) == "To know whether S1 or S2 is its sire would settle most."


def test_grounds_of__sampled_belief_has_no_chain(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(inference, "MOST_ENTRIES", 2)
    grounds = grounds_of(_looped(), _named(list(LOOPED)), load(), "F1", "clown")
    assert grounds.steps == ()
    assert "by sampling" in grounds.sentence
    assert grounds.basis is Basis.BY_DESCENT


def test_grounds_of__unknown_allele() -> None:
    with pytest.raises(KeyError, match="piebald"):
        grounds_of(_looped(), _named(list(LOOPED)), load(), "F1", "clown", allele="piebald")


@pytest.mark.parametrize("before, after, moved", [(0.5, 0.5019, False), (0.5, 0.503, True), (0.001, 0.0012, True)])
def test_is_moved(before: float, after: float, moved: bool) -> None:
    assert is_moved(before, after) is moved


def test_log_odds__cut_at_the_ends() -> None:
    assert log_odds(0.5) == 0.0
    assert math.isfinite(log_odds(0.0))
    assert math.isfinite(log_odds(1.0))


def test_what_would_settle() -> None:
    rows = [*CLOWNS, HET, {"id": "K", "genes": "Normal", "dam": "D", "sire": "N"}]
    collection, found = _collection(rows)
    grounds = grounds_of(found, collection, load(), "K", "clown")
    assert what_would_settle(grounds, collection, load()) == (
        "Put to an animal that shows Clown, one young that shows it would prove it."
    )
    told = what_would_settle(grounds, collection, load(), test_breeding="four normal young bring it under 6 %")
    assert told.endswith("would prove it: four normal young bring it under 6 %.")
    assert what_would_settle(grounds_of(found, collection, load(), "G", "clown"), collection, load()) == ""
    yellow = [{"id": "S", "genes": "YB", "sex": "male"}, {"id": "K", "genes": "Pastel", "sire": "S"}]
    collection, found = _collection(yellow)
    subtle = grounds_of(found, collection, load(), "K", "yb")
    assert "A second look" in what_would_settle(subtle, collection, load())


@lru_cache
def _demo() -> tuple[Collection, Beliefs]:
    collection = Collection.from_folder(folder() / "collection")
    family = Family.from_collection(collection)
    return collection, infer(family, evidence_of(collection, load(), family))


def _stated_hets() -> list[tuple[str, str]]:
    collection, found = _demo()
    stated = []
    for animal in collection.animals:
        for key, locus in found.evidence.loci.items():
            claims = [r for r in locus.records.get(animal, ()) if r.kind is RecordKind.CLAIM and "het" in r.words]
            if claims:
                stated.append((animal, key))
    return stated


def test_grounds_of__every_stated_het_of_the_demo_has_grounds() -> None:
    collection, found = _demo()
    stated = _stated_hets()
    assert len(stated) > 90
    for animal, locus in stated:
        grounds = grounds_of(found, collection, load(), animal, locus)
        assert grounds.steps, (animal, locus)
        assert grounds.basis is not Basis.ASSUMED
        assert grounds.sentence.endswith(".")
        assert grounds.name in grounds.sentence
        assert not {"  ", ",,", " ,"} & {grounds.sentence[at : at + 2] for at in range(len(grounds.sentence))}
        assert all(0.0 <= step.without <= 1.0 and 0.0 <= step.alone <= 1.0 for step in grounds.steps)
        assert grounds.steps[-1].after == pytest.approx(grounds.chance, abs=0.005), (animal, locus)


def test_grounds_of__order_of_animals_changes_nothing() -> None:
    rows = [*CLOWNS, HET, HET_SIRE, {"id": "K", "genes": "Normal", "dam": "D", "sire": "S"}]
    forward, backward = _grounds("K", "clown", rows), _grounds("K", "clown", rows[::-1])
    assert forward.sentence == backward.sentence
    assert forward.chance == pytest.approx(backward.chance, abs=1e-12)
