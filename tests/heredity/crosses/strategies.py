"""Random crosses of the small species."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st

from holdback.collection.model import Sex
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint, Wish
from holdback.species.model import WILD, Pair, pair

LOCI = ["glow", "white", "amber", "sun", "tyr", "twig", "web", "foam"]
"""Loci of the small species that differ in kind, in the order of its chromosomes."""

_ALLELES = {locus: [WILD, locus] for locus in LOCI} | {"white": [WILD, "mist", "frost"], "tyr": [WILD, "pale", "cream"]}


def pairs_of(loci: list[str]) -> dict[str, list[Pair]]:
    """Every unordered pair at each locus."""
    return {locus: sorted({pair(a, b) for a in _ALLELES[locus] for b in _ALLELES[locus]}) for locus in loci}


@st.composite
def wishes(draw: st.DrawFn, pairs: dict[str, list[Pair]]) -> Wish:
    """A wish at up to two loci."""
    wanted = {
        locus: frozenset(draw(st.lists(st.sampled_from(pairs[locus]), min_size=1, max_size=3)))
        for locus in draw(st.lists(st.sampled_from(sorted(pairs)), max_size=2, unique=True))
    }
    return Wish("a wish", wanted, draw(st.sampled_from((Sex.UNKNOWN, Sex.MALE, Sex.FEMALE))))


@st.composite
def crosses(draw: st.DrawFn) -> tuple[GenotypeBelief, GenotypeBelief, Wish]:
    """Two parents over up to three loci, each locus sure or in doubt, and a wish."""
    loci = draw(st.lists(st.sampled_from(LOCI), min_size=1, max_size=3, unique=True))
    pairs = pairs_of(loci)

    def parent(sex: Sex) -> GenotypeBelief:
        beliefs = {}
        for locus in loci:
            listed = draw(st.lists(st.sampled_from(pairs[locus]), min_size=1, max_size=2, unique=True))
            share = draw(st.sampled_from((0.25, 1 / 3, 0.5)))
            beliefs[locus] = {listed[0]: 1.0} if len(listed) == 1 else {listed[0]: share, listed[1]: 1.0 - share}
        phase = {"glow": draw(st.sampled_from((0.0, 0.25, 0.5, 1.0)))}
        return GenotypeBelief(sex=sex, loci=beliefs, phase=phase)

    return parent(Sex.MALE), parent(Sex.FEMALE), draw(wishes(pairs))


@st.composite
def joint_parents(draw: st.DrawFn, among: Sequence[str] = LOCI) -> tuple[list[ParentsJoint], Wish]:
    """Related parents over up to three loci in one or two scenarios, and a wish."""
    loci = draw(st.lists(st.sampled_from(among), min_size=1, max_size=3, unique=True))
    pairs = pairs_of(loci)

    def scenario(weight: float) -> ParentsJoint:
        both = {}
        for locus in draw(st.lists(st.sampled_from(loci), min_size=1, unique=True)):
            couples = st.tuples(st.sampled_from(pairs[locus]), st.sampled_from(pairs[locus]))
            shares = draw(st.dictionaries(couples, st.sampled_from((1, 2, 5)), min_size=1, max_size=3))
            both[locus] = {couple: share / sum(shares.values()) for couple, share in shares.items()}
        return ParentsJoint(weight, both, {"glow": draw(st.sampled_from((0.0, 0.25, 0.5, 1.0)))})

    weights = draw(st.sampled_from(((1.0,), (0.25, 0.75))))
    return [scenario(weight) for weight in weights], draw(wishes(pairs))
