"""Random texts and random claims for the shorthand tests."""

from __future__ import annotations

from hypothesis import strategies as st

from holdback.collection.model import Origin, PartialDate, Sex
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import ReadGene, Reading, ReadLine, SexCounts
from holdback.species.catalogue import load
from holdback.species.model import WILD, Inheritance, Pair, pair

REGIUS = load()
NAMES = sorted(
    {name for allele in REGIUS.alleles.values() for name in (allele.name, *allele.aliases)}
    | {name for combo in REGIUS.combos.values() for name in (combo.name, *combo.aliases)}
    | {name for word in REGIUS.not_genes for name in (word.name, *word.aliases)}
    | {name for locus in REGIUS.loci.values() for name in (locus.name, *locus.aliases)}
)
_WORDS = """
het poss possible ph DH TH super homozygous 2x x2 visual proven no complex line stock from sib to x MM FM male female
1.0 0.1 1.2.3 CB24 CB '24 WC CHB F1 LTC 450g 16 oz 3 lb 1,250 g 7/8/24 2024-07-18 July 2024 hatched 66% 50% 100% 33%
250% ? ( ) , / & and ; . | : - + normal WT holdback clutch #12 NFS OBO $450 Marrowfen Clwon zorblax ♀ × é
ball python BP BEL percent 66 '
"""
WORDS = _WORDS.split()
_STATUS = ["normal", "holdback", "clutch #12", "NFS", "ringer"]

chances = st.sampled_from([0.5, 2 / 3, 1 / 3, 0.25, 4 / 7, 0.6, 1 / 8, 0.66, 0.123, 1.0]) | st.floats(
    min_value=1e-6, max_value=1.0
)


def texts() -> st.SearchStrategy[str]:
    """Anything from nonsense to plausible shorthand."""
    pieces = st.lists(st.sampled_from(NAMES) | st.sampled_from(WORDS), max_size=12)
    joints = st.sampled_from([" ", ", ", "/", "", "-", "\n", "  "])
    plausible = st.tuples(pieces, joints).map(lambda drawn: drawn[1].join(drawn[0]))
    return plausible | st.text(max_size=40)


@st.composite
def _claims(draw: st.DrawFn, key: str) -> ReadGene:
    """One claim on an allele that trade text can make of it alone."""
    allele = REGIUS.alleles[key]
    recessive = allele.inheritance is Inheritance.RECESSIVE
    chance = draw(chances)
    kinds: list[tuple[tuple[float, float, float] | None, bool | None, str]] = [
        ((0.0, 0.0, 1.0), True, "stated"),
        ((1.0, 0.0, 0.0), False, "stated"),
        (None, False if recessive else None, "not stated"),
    ]
    if recessive:
        kinds.append(((1 - chance, chance, 0.0), False, "stated"))
    else:
        kinds += [
            ((0.0, 1.0, 0.0), True, "stated"),
            ((1 - chance, chance, 0.0), None, "stated"),
            ((0.5, 0.5, 0.0), None, "assumed"),
            (None, True, "not stated"),
        ]
        if chance < 1:
            kinds.append(((0.0, 1 - chance, chance), True, "stated"))
    copies, shown, said = draw(st.sampled_from(kinds))
    return ReadGene(key, allele.name, copies, shown, "drawn", "", said=said, locus=allele.locus)


@st.composite
def readings(draw: st.DrawFn) -> Reading:
    """Readings with at most one claim for each locus."""
    loci = draw(st.lists(st.sampled_from(sorted(REGIUS.loci)), max_size=7, unique=True))
    keys = [draw(st.sampled_from(REGIUS.loci[locus].alleles)) for locus in loci if REGIUS.loci[locus].alleles]
    genes = [draw(_claims(key)) for key in keys]
    counts = draw(st.none() | st.builds(SexCounts, *[st.integers(0, 4)] * 3).filter(lambda drawn: drawn.total > 0))
    sex = counts.of_one_sex if counts else draw(st.sampled_from(list(Sex)))
    lines = draw(st.lists(st.builds(ReadLine, st.just("Marrowfen"), st.none() | chances, st.just("")), max_size=1))
    date = st.builds(PartialDate, st.integers(1990, 2070), st.integers(1, 12), st.integers(0, 28))
    mass = st.tuples(st.integers(10, 60_000).map(lambda tenth: tenth / 10), st.sampled_from(["g", "kg", "oz", "lb"]))
    return Reading(
        text="",
        sex=sex,
        counts=counts,
        origin=draw(st.none() | st.sampled_from([origin for origin in Origin if origin is not Origin.UNKNOWN])),
        hatched=draw(st.none() | date),
        genes=tuple(genes),
        lines=tuple(lines),
        mass=draw(st.none() | mass),
        status=tuple(draw(st.lists(st.sampled_from(_STATUS), unique=True))),
    )


@st.composite
def beliefs(draw: st.DrawFn) -> GenotypeBelief:
    """Genotype beliefs that trade text can say: one allele with a chance, or a compound for certain."""
    loci: dict[str, dict[Pair, float]] = {}
    for locus in draw(st.lists(st.sampled_from(sorted(REGIUS.loci)), max_size=7, unique=True)):
        keys = REGIUS.loci[locus].alleles
        if len(keys) > 1 and draw(st.booleans()):
            first, second = draw(st.lists(st.sampled_from(keys), min_size=2, max_size=2, unique=True))
            loci[locus] = {pair(first, second): 1.0}
            continue
        key, chance = draw(st.sampled_from(keys)), draw(chances)
        pairs = [{(key, key): 1.0}, {pair(WILD, key): chance, (WILD, WILD): 1 - chance}]
        if REGIUS.alleles[key].inheritance is not Inheritance.RECESSIVE:
            pairs.append({(key, key): chance, pair(WILD, key): 1 - chance})
        loci[locus] = {each: share for each, share in draw(st.sampled_from(pairs)).items() if share > 0}
    return GenotypeBelief(sex=draw(st.sampled_from(list(Sex))), loci=loci)
