"""The next of kin of a couple."""

from __future__ import annotations

from holdback.answers.season.near_family import near_family
from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family


def brood(key: str, dam: str, sire: str, *young: str) -> Brood:
    return Brood(key, dam, (Candidate(sire, 1.0),), young)


# g4 > g3 > g2 > g1 > dam, each by a male of his own; her clutch K by "s", another by "t", and a sib of hers.
BROODS = (
    brood("c3", "g4", "m4", "g3"),
    brood("c2", "g3", "m3", "g2"),
    brood("c1", "g2", "m2", "g1"),
    brood("c0", "g1", "m1", "dam", "sib"),
    brood("K", "dam", "s", "k1", "k2"),
    brood("L", "dam", "t", "l1"),
    brood("far", "l1", "x", "y"),
)


def test_near_family__ancestors_other_young_and_their_sires() -> None:
    animals = [*(one for brood in BROODS for one in brood.young), "g4", "s", "t", "x", "m1", "m2", "m3", "m4"]
    family = Family(dict.fromkeys(animals, Sex.UNKNOWN), BROODS)
    near = near_family(family, ["dam", "s"], silent={"k1", "k2"})
    assert set(near.sexes) == {"dam", "s", "g1", "m1", "g2", "m2", "g3", "m3", "l1", "t"}
    assert {one.key: one.young for one in near.broods} == {
        "c2": ("g2",),
        "c1": ("g1",),
        "c0": ("dam",),
        "L": ("l1",),
    }
