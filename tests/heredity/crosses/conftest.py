"""A small invented species with one gene of every kind, built by hand and independent of the species files."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from holdback.collection.model import Sex
from holdback.species.model import (
    WILD,
    Allele,
    Combo,
    Ease,
    Flag,
    Inheritance,
    Linkage,
    Locus,
    LocusLook,
    Mark,
    Pair,
    PairingCaution,
    SexLinkage,
    Together,
    Value,
    pair,
)

RECESSIVE, DOMINANT, PARTIAL = Inheritance.RECESSIVE, Inheritance.DOMINANT, Inheritance.INCOMPLETE_DOMINANT


def number(value: float, low: float | None = None, high: float | None = None) -> Value:
    return Value(value, value if low is None else low, value if high is None else high, "", Mark.OWN)


@dataclass(frozen=True)
class SmallSpecies:
    """What the engine asks of a catalogue, over plain dictionaries."""

    loci: dict[str, Locus]
    alleles: dict[str, Allele]
    combos: dict[str, Combo] = field(default_factory=dict)
    together: tuple[Together, ...] = ()
    pairing_cautions: tuple[PairingCaution, ...] = ()
    linkages: tuple[Linkage, ...] = ()
    reproduction: dict[str, Value] = field(default_factory=dict)
    hides: dict[str, str] = field(default_factory=dict)
    sex_system: str = "XY"
    key: str = "small"
    name: str = "Serpens parvus"

    def is_heterogametic(self, sex: Sex) -> bool:
        return sex is (Sex.MALE if self.sex_system == "XY" else Sex.FEMALE)

    def lethality(self, locus: str, alleles: Pair) -> float:
        return self.alleles[alleles[0]].lethal if alleles[0] == alleles[1] != WILD else 0.0

    def stands_for(self, allele_key: str) -> str:
        return self.alleles[allele_key].same_as or allele_key

    def pairs(self, locus: str) -> tuple[Pair, ...]:
        keys = [WILD, *self.loci[locus].alleles]
        return tuple(pair(a, b) for i, a in enumerate(keys) for b in keys[i:])

    def look(self, locus: str, alleles: Pair) -> LocusLook:
        named = [allele for allele in alleles if allele != WILD]
        shown = [self.alleles[a] for a in named]
        if not named or (shown[0].inheritance is RECESSIVE and len(named) == 1):
            return LocusLook(f"{locus}:", "")
        names = sorted({allele.name for allele in shown})
        shared = {each.two_copies_name for each in shown}
        double = len(named) == 2 and (len(names) == 1 or (len(shared) == 1 and "" not in shared))
        if double and shown[0].inheritance is PARTIAL:
            label = shown[0].two_copies_name or f"Super {names[0]}"
        else:
            label = " ".join(names)
        hides = self.hides.get(label, "")
        return LocusLook(f"{locus}:{label}", label, tuple(named), hides=hides, ease=shown[0].ease_one)


def allele(name: str, kind: Inheritance = PARTIAL, locus: str = "", **more: Any) -> Allele:
    key = name.lower().replace(" ", "_")
    return Allele(key, name, locus or key, kind, **more)


def species(*alleles_: Allele, **more: Any) -> SmallSpecies:
    """A species of given alleles; loci in the order in which they are first named."""
    loci: dict[str, Locus] = {}
    sex_linked = more.pop("sex_linked", {})
    for each in alleles_:
        known = loci[each.locus].alleles if each.locus in loci else ()
        linkage = SexLinkage(number(*sex_linked[each.locus]), 1, 1) if each.locus in sex_linked else None
        loci[each.locus] = Locus(each.locus, each.locus.title(), (*known, each.key), linkage)
    more.setdefault(
        "reproduction",
        {
            "clutch_size_mean": number(6.8),
            "clutch_size_sd": number(2.0),
            "clutch_size_min": number(1),
            "clutch_size_max": number(15),
            "hatch_rate": number(0.8, 0.7, 0.9),
        },
    )
    return SmallSpecies(loci, {each.key: each for each in alleles_}, **more)


def everything() -> SmallSpecies:
    """One of every kind."""
    return species(
        allele("Glow", locus="glow"),
        allele("Mist", locus="white", two_copies_name="Cloud"),
        allele("Frost", locus="white", two_copies_name="Cloud"),
        allele("Amber", kind=RECESSIVE),
        allele("Pale", kind=RECESSIVE, locus="tyr"),
        allele("Cream", kind=RECESSIVE, locus="tyr"),
        allele("Twig", kind=DOMINANT),
        allele("Sun"),
        allele("Web", lethal=1.0, lethal_stage="in egg", flags=(Flag("neurological", 1, "Tilts.", Mark.OWN),)),
        allele("Foam", lethal=1.0, lethal_stage="after hatching", ease_one=Ease.HARD),
        allele("Ash", kind=RECESSIVE, two_copies="grey"),
        allele("Soot", kind=RECESSIVE, two_copies="grey"),
        sex_linked={"glow": (0.1, 0.05, 0.2)},
        linkages=(Linkage(("amber", "sun"), number(0.1)),),
        together=(Together(("web", "foam"), 1.0, "in egg", "Not viable.", Mark.OWN),),
        pairing_cautions=(PairingCaution("web-web", "stop", ("web",), ("web",), "Do not pair Web to Web.", Mark.OWN),),
        combos={"hive": Combo("hive", "Hive", {"sun": (WILD, "sun"), "web": (WILD, "web")})},
        hides={"Cloud": "all", "Pale": "twig sun"},
    )


@pytest.fixture(scope="session")
def small() -> SmallSpecies:
    return everything()


@pytest.fixture(scope="session")
def build() -> Callable[..., SmallSpecies]:
    return species


@pytest.fixture(scope="session")
def gene() -> Callable[..., Allele]:
    return allele
