"""Small random families with random records, for properties."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from hypothesis import strategies as st

from holdback.collection.model import NO_SIRE, Candidate, Sex
from holdback.descent.family import UNKNOWN_SIRE, Brood, Family
from holdback.heredity.beliefs.evidence import Evidence, FloatArray, GeneRecord, LocusEvidence, RecordKind
from holdback.species.model import WILD, Mark, SexLinkage, Value

LINKAGE = SexLinkage(Value(0.07, 0.03, 0.13, "fraction", Mark.MEMORY), alpha=7.0, beta=93.0)
MALES, FEMALES = ("M1", "M2"), ("F1",)
_LETTERS = "abcdefg"


@dataclass(frozen=True)
class Problem:
    """A family with what was recorded of it."""

    family: Family
    evidence: Evidence


@st.composite
def problems(
    draw: st.DrawFn, *, n_loci: int = 1, n_alleles: int = 2, linked: bool = False, hidden: bool = True
) -> Problem:
    """Up to four founders and four young in two broods; the first locus sex-linked where wanted."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    breeding, sexes = draw(_broods())
    family = Family(sexes, breeding)
    loci = {}
    for number in range(n_loci):
        locus = _locus(rng, f"locus {number}", n_alleles, family, is_linked=linked and number == 0)
        loci[locus.key] = locus
    if hidden and n_loci > 1:
        loci = _with_hidden(rng, loci)
    evidence = Evidence(
        loci,
        sex_error=draw(st.sampled_from((0.0, 0.02))),
        heterogametic=draw(st.sampled_from((Sex.MALE, Sex.FEMALE))),
        second_division=draw(st.sampled_from((0.0, 0.3, 2 / 3))),
        unborn=frozenset(name for name in sexes if rng.random() < 0.1),
    )
    return Problem(family, evidence)


@st.composite
def _broods(draw: st.DrawFn) -> tuple[tuple[Brood, ...], dict[str, Sex]]:
    """One or two broods; the second may be by an animal of the first, of which it proves the sex."""
    first = tuple(f"K{n}" for n in range(draw(st.integers(1, 2))))
    broods = [draw(_brood("one", first, MALES, FEMALES))]
    roles: dict[str, Sex] = {}
    if draw(st.booleans()):
        as_sire = draw(st.booleans())
        roles = {"K0": Sex.MALE if as_sire else Sex.FEMALE} if draw(st.booleans()) else {}
        males = ("M1", "K0") if roles and as_sire else ("M1",)
        females = ("K0",) if roles and not as_sire else ("F1", "F2")
        broods.append(draw(_brood("two", ("L0",), males, females)))
    used = {parent for brood in broods for parent in (brood.dam, *(one.animal for one in brood.sires))}
    names = [name for name in (*MALES, "F1", "F2") if name in used] + [*first, *(["L0"] if len(broods) == 2 else [])]
    known = {**dict.fromkeys(MALES, Sex.MALE), **dict.fromkeys(("F1", "F2"), Sex.FEMALE), **roles}
    sexes = {}
    for name in names:
        choices = (known[name], Sex.UNKNOWN) if name in known and name in used else (Sex.UNKNOWN, Sex.MALE, Sex.FEMALE)
        sexes[name] = draw(st.sampled_from(choices))
    return tuple(broods), sexes


@st.composite
def _brood(
    draw: st.DrawFn, key: str, young: tuple[str, ...], males: tuple[str, ...], females: tuple[str, ...]
) -> Brood:
    ways: list[tuple[str, ...]] = [
        (males[-1],),
        (males[-1],),
        males,
        (UNKNOWN_SIRE,),
        (males[0], UNKNOWN_SIRE),
        (males[-1], NO_SIRE),
        (NO_SIRE,),
        (*males, NO_SIRE),
    ]
    names = draw(st.sampled_from(ways))
    parts = [draw(st.integers(1, 4)) for _ in names]
    sires = tuple(Candidate(name, part / sum(parts)) for name, part in zip(names, parts, strict=True))
    dam = draw(st.sampled_from((*females, None)))
    return Brood(key, dam, sires, young, each_egg=draw(st.booleans()))


def symmetric(rng: np.random.Generator, n: int, low: float = 0.02) -> FloatArray:
    """Random symmetric table; now and then some alleles cannot be told apart."""
    table = rng.uniform(low, 1.0, (n, n))
    table = np.triu(table) + np.triu(table, 1).T
    into = rng.integers(0, n, n) if rng.random() < 0.6 else np.arange(n)
    return np.asarray(table[np.ix_(into, into)])


def _locus(rng: np.random.Generator, key: str, n: int, family: Family, *, is_linked: bool) -> LocusEvidence:
    records: dict[str, list[GeneRecord]] = {}
    for animal in family.sexes:
        for number in range(int(rng.choice(3, p=(0.35, 0.45, 0.2)))):
            table = symmetric(rng, n)
            one = GeneRecord(f"{key}:{animal}:{number}", animal, RecordKind.LOOK, "", table, table < 0.3)
            records.setdefault(animal, []).append(replace(one, counted=bool(rng.random() < 0.9)))
    frequencies = rng.dirichlet(np.ones(n))
    males = [animal for animal in family.sexes if rng.random() < 0.3] if is_linked else []
    return LocusEvidence(
        key=key,
        alleles=(WILD, *_LETTERS[: n - 1]),
        frequencies=frequencies,
        survival=symmetric(rng, n, 0.3) if rng.random() < 0.3 else np.ones((n, n)),
        linkage=LINKAGE if is_linked else None,
        records={animal: tuple(each) for animal, each in records.items()},
        hides=symmetric(rng, n) < 0.4,
        maker={animal: float(rng.uniform(0.05, 0.95)) for animal in males},
    )


def _with_hidden(rng: np.random.Generator, loci: dict[str, LocusEvidence]) -> dict[str, LocusEvidence]:
    """The same with some records at later loci that the first locus may hide."""
    hider = next(iter(loci))
    found = {hider: loci[hider]}
    for key, locus in list(loci.items())[1:]:
        records = {
            animal: tuple(replace(one, hidden_by=hider if rng.random() < 0.4 else "") for one in each)
            for animal, each in locus.records.items()
        }
        found[key] = replace(locus, records=records)
    return found
