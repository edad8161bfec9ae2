"""How to carry genes into a line: crosses back to real animals of it, what each brings, and where to stop.

Each cross back halves what is left of the donor: share, and the gap in size. Carriers are picked by eye, by young that
show the gene, or by test clutches. There are no DNA markers for this species: the rest of the line comes back by
generations, and by choosing the biggest carriers, and in no other way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from holdback.collection.estimate import Estimate
from holdback.collection.model import Sex
from holdback.decisions.backcross_result import BackcrossPlan, BackcrossWay, Cross, Generation, Handling
from holdback.decisions.backcross_walk import Donor, Made, Walk, breeders
from holdback.decisions.backcross_words import CERTAIN, further, notes_of, said
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.stock import Stock
from holdback.descent.genome import GenomeMap
from holdback.errors import DecisionError, Fault
from holdback.heredity.crosses.clutch import eggs_needed

OF_LINE = 0.875
"""Least share of an animal that is bred back to, where there is one (assumed)."""

WORTH_A_YEAR = 0.01
"""Gain in ln(adult mass) a year below which another cross back is not proposed (assumed)."""

WORTH_SHARE = 0.05
"""The same for the share that a cross back adds, where size is not known (assumed)."""


def backcross_plan(
    stock: Stock,
    target: Target,
    line: str,
    *,
    genome: GenomeMap,
    backcrosses: int = 4,
    certainty: float = 0.95,
    inbreeding_at_most: float = 0.125,
) -> BackcrossPlan:
    """Crosses that carry the genes of a target into a line, through sons and through daughters.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        Genes to carry; `Target.share` is where to stop, if it is above 0.
    line : str
        Line, a key of `Stock.shares`.
    genome : GenomeMap
        Chromosomes, for the range of the true share.
    backcrosses : int
        Crosses back to the line looked at, at least 1.
    certainty : float
        Wanted that one of several possible carriers held back carries, in (0, 1).
    inbreeding_at_most : float
        No cross back is planned that brings more, unless a share is wished for; ways with more are proposed last.

    Raises
    ------
    DecisionError
        DEC-105 if the target names no gene to carry, DEC-106 if nobody carries it, DEC-107 if there is no animal of the
        line of the sex needed.

    Notes
    -----
    Years count each cross as reached in its first season, beside the years with the mean wait. Genes are taken as not
    linked and not tied to sex. Shares of animals at hand count as expected.

    References
    ----------
    Frisch & Melchinger (2001), Crop Sci 41:1485, for recessives; numbers of carriers from the binomial.
    """
    genes = tuple(gene for gene in target.genes if gene.copies > 0)
    if not genes:
        raise DecisionError(Fault("DEC-105", "No gene is named to carry into the line.", "Name one.", field="gene"))
    donor = _donor(stock, genes, line)
    of_line = _of_line(stock, line, donor.place)
    handlings = (Handling.INTERCROSS, Handling.TESTED) if donor.n_hidden else (Handling.SEEN,)
    n_two = sum(gene.copies == 2 for gene in genes)
    walks = [
        Walk(stock, line, of_line, donor, through=through, handling=handling)
        for handling in handlings
        for through in (Sex.MALE, Sex.FEMALE)
        if _can_go(stock, of_line, donor, through)
    ]
    asked = _Asked(target, genome, backcrosses, certainty, inbreeding_at_most, n_two)
    found = [_way(walk, asked) for walk in walks]
    if not found:
        raise DecisionError(_no_mate(line))
    ways = tuple(sorted(found, key=lambda way: _order(way, target, inbreeding_at_most)))
    sources = _sources(stock, of_line)
    return BackcrossPlan(
        target=target,
        line=line,
        donor=stock.animals[donor.place],
        donor_carries=donor.carries,
        sources=sources,
        ways=ways,
        notes=notes_of(stock, line, donor, sources, ways[0], inbreeding_at_most),
    )


def _donor(stock: Stock, genes: tuple[GoalGene, ...], line: str) -> Donor:
    """The animal that brings the genes with the best chance; among like ones the nearest to the line."""
    hidden, apart = sum(gene.is_hidden for gene in genes), sum(gene.two_die for gene in genes)
    shares = stock.shares.get(line)
    best: tuple[tuple[float, float, float, int], Donor] | None = None
    for place in breeders(stock):
        states = _carrying(stock, stock.animals[place], genes)
        carries = math.fsum(weight for weight, _, _ in states)
        if carries > 0:
            donor = Donor(
                place,
                carries,
                tuple((weight / carries, passes, unseen) for weight, passes, unseen in states),
                len(genes),
                hidden,
                apart,
            )
            share = 0.0 if shares is None else float(shares[place])
            key = (carries, donor.passes, share, -place)
            if best is None or key > best[0]:
                best = key, donor
    if best is None:
        names = " and ".join(gene.name for gene in genes)
        fault = Fault("DEC-106", f"No animal here brings {names}.", "Buy or borrow one first.", field="gene")
        raise DecisionError(fault)
    return best[1]


def _carrying(stock: Stock, animal: str, genes: tuple[GoalGene, ...]) -> list[tuple[float, float, float]]:
    """What an animal that has all genes may be: chance, chance that a young has all, and all unseen ones."""
    states = [(1.0, 1.0, 1.0)]
    for gene in genes:
        copies = [0.0, 0.0, 0.0]
        for pair, chance in stock.genes.at(animal, gene.locus).items():
            copies[sum(allele in gene.alleles for allele in pair)] += chance
        states = [
            (weight * copies[held], passes * held / 2, unseen * (held / 2 if gene.is_hidden else 1.0))
            for weight, passes, unseen in states
            for held in (1, 2)
            if copies[held] > 0
        ]
    return states


def _of_line(stock: Stock, line: str, donor: int) -> tuple[int, ...]:
    """Places of the animals that are bred back to: those of the line, or the nearest to it."""
    shares = stock.shares.get(line)
    if shares is None or not (shares > 0).any():
        raise DecisionError(_no_mate(line))
    there = [place for place in breeders(stock) if place != donor and shares[place] > 0]
    whole = tuple(place for place in there if shares[place] >= OF_LINE)
    if whole or not there:
        return whole
    most = max(float(shares[place]) for place in there)
    return tuple(place for place in there if shares[place] >= most - 1e-9)


def _no_mate(line: str) -> Fault:
    """Nobody to breed back to."""
    name = line or "the line, which is not named,"
    what = f"There is no animal of {name} to breed back to, of the sex that is needed."
    return Fault("DEC-107", what, "Add one, or say what share of the line animals have.", field="line", value=line)


def _can_go(stock: Stock, of_line: tuple[int, ...], donor: Donor, through: Sex) -> bool:
    """Whether the line has mates for the donor and for the young that go on."""
    sexes = {stock.sexes[place] for place in of_line}
    return bool(sexes - {stock.sexes[donor.place]}) and bool(sexes - {through})


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of every way; `n_two` genes are wanted in two copies."""

    target: Target
    genome: GenomeMap
    backcrosses: int
    certainty: float
    inbreeding_at_most: float
    n_two: int


def _way(walk: Walk, asked: _Asked) -> BackcrossWay:
    """One way worked out."""
    target = asked.target
    made = walk.crosses(asked.backcrosses, asked.certainty)
    stop = _stop(walk, made, target, asked.inbreeding_at_most)
    last = walk.together(made[stop], asked.n_two, target.sex) if asked.n_two else None
    every = [*made, last] if last else made
    shares = walk.young.share_ranges([one.young for one in every], asked.genome)
    generations, late = [], 0.0
    for one, share in zip(every, shares, strict=True):
        if one is last:
            late = _late(made[: stop + 1])
        late += _wait(one)
        generations.append(_generation(walk, one, share, late, target.sex if one is last else walk.through))
    rows = tuple(generations[: len(made)])
    return BackcrossWay(
        through=walk.through,
        handling=walk.handling,
        generations=rows,
        stop=stop,
        last=generations[-1] if last else None,
        notes=further(rows, stop),
    )


def _wait(one: Made) -> float:
    """Mean seasons lost before a cross brings what is wanted; nan where a parent may carry nothing."""
    if one.parents_carry < CERTAIN or one.keep > 1 or one.chance <= 0:
        return math.nan
    return 1 / one.chance - 1


def _late(made: list[Made]) -> float:
    """Mean seasons lost in all."""
    return math.fsum(_wait(one) for one in made)


def _generation(walk: Walk, one: Made, share: Estimate, late: float, sex: Sex) -> Generation:
    """One cross in the numbers that are shown."""
    stock = walk.stock
    chance = one.parents_carry * one.per_young * (1.0 if sex is Sex.UNKNOWN else 0.5)
    wanted = one.per_young * (1.0 if sex is Sex.UNKNOWN else 0.5)
    if one.keep > 1:
        shown_part = wanted / one.hidden
        young = [math.ceil(keep / shown_part) for keep in (one.keep, walk.kept(one.hidden, 0.99))]
    else:
        young = [eggs_needed(wanted, level) or 0 for level in (0.95, 0.99)]
    hatch = stock.breeding.young.mean / stock.breeding.eggs.mean
    year = stock.year + one.season
    shown = Generation(
        cross=one.cross,
        backcrosses=one.backcrosses,
        sire=_id(stock, one.sire),
        dam=_id(stock, one.dam),
        season=one.season,
        year=year,
        expected_year=None if math.isnan(late) else year + late,
        share=share,
        size=walk.young.size(one.young),
        inbreeding=walk.young.inbreeding(one.young),
        per_hatchling=chance,
        young_95=young[0],
        young_99=young[1],
        eggs_95=young[0] / hatch,
        chance=one.chance,
        keep=one.keep,
        said="",
    )
    return replace(shown, said=said(stock, shown, walk, sex, are_half=_are_half(walk, one)))


def _are_half(walk: Walk, one: Made) -> bool:
    """Whether two carriers put to each other have one parent in common, and not both."""
    if one.cross is not Cross.TOGETHER:
        return False
    return set(walk.young.parents(one.sire)) != set(walk.young.parents(one.dam))


def _id(stock: Stock, place: int) -> str:
    """Id of an animal at hand, empty for a planned young."""
    return stock.animals[place] if place < len(stock.animals) else ""


def _stop(walk: Walk, made: list[Made], target: Target, inbreeding_at_most: float) -> int:
    """Cross after which going back is not worth its years or its inbreeding; with a share wished, where it is there."""
    back = [place for place, one in enumerate(made) if one.cross is not Cross.TOGETHER]
    if target.share > 0:
        enough = [place for place in back if walk.young.share(made[place].young) >= target.share - 1e-9]
        return enough[0] if enough else back[-1]
    stop = back[0]
    for before, after in pairwise(back):
        one, other = made[before], made[after]
        gain = walk.young.value(other.young) - walk.young.value(one.young)
        added = walk.young.share(other.young) - walk.young.share(one.young)
        years = other.season - one.season
        if walk.young.inbreeding(other.young) > inbreeding_at_most + 1e-9:
            break
        if added < WORTH_SHARE if math.isnan(gain) else gain / years < WORTH_A_YEAR:
            break
        stop = after
    return stop


def _order(way: BackcrossWay, target: Target, inbreeding_at_most: float) -> tuple[bool, bool, int, float, float]:
    """Ways that reach the share within the limit first, then the soonest, the most of the line, the fewest eggs."""
    goal = way.goal
    return (
        goal.share.mean < target.share - 1e-9,
        max(one.inbreeding for one in way.made) > inbreeding_at_most + 1e-9,
        goal.season,
        -goal.share.mean,
        way.eggs_95,
    )


def _sources(stock: Stock, of_line: tuple[int, ...]) -> tuple[str, ...]:
    """Animals of the line, none akin to another: taken one by one, the biggest first."""
    kept: list[int] = []
    for place in sorted(of_line, key=lambda one: (-float(np.nan_to_num(stock.size_mean[one])), one)):
        if all(stock.kinship[place, other] < 1e-9 for other in kept):
            kept.append(place)
    return tuple(stock.animals[place] for place in kept)
