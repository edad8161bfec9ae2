"""Whether an animal is at least what a step, or the goal itself, asks for, as far as a keeper can know."""

from __future__ import annotations

from dataclasses import replace

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.steps import Kind, Plan, Side
from holdback.decisions.stock import Stock

_SLACK = 0.02
"""What a chance may lack: no record is beyond error, so that nothing is ever quite certain. Assumed."""


def copies(stock: Stock, animal: str, gene: GoalGene) -> tuple[float, float, float]:
    """Chances of no, one and two copies of a gene that a goal names."""
    odds = [0.0, 0.0, 0.0]
    for pair, chance in stock.genes.at(animal, gene.locus).items():
        odds[sum(allele in gene.alleles for allele in pair)] += chance
    return odds[0], odds[1], odds[2]


def brings(stock: Stock, animal: str, target: Target) -> float:
    """Genes of a target that an animal is expected to bring, two copies counting one where two are asked, and its line.

    The line counts as one gene where the share is as large as asked.
    """
    odds = [(gene, copies(stock, animal, gene)) for gene in target.genes]
    genes = sum(1 - two[0] if gene.copies == 1 else (two[1] + 2 * two[2]) / 2 for gene, two in odds if gene.copies)
    return genes + (min(_share(stock, animal, target.line) / target.share, 1.0) if target.share else 0.0)


def meets(stock: Stock, animal: str, kind: Kind, target: Target, *, sex: Sex) -> bool:
    """Whether an animal of a sex is at least of a kind."""
    if kind.sex is not Sex.UNKNOWN and kind.sex is not sex:
        return False
    if kind.share > 0 and _share(stock, animal, target.line) < kind.share - 1e-9:
        return False
    return all(
        _reaches(copies(stock, animal, gene), gene, least) for gene, least in zip(target.genes, kind.genes, strict=True)
    )


def is_target(stock: Stock, animal: str, target: Target, *, sex: Sex) -> bool:
    """Whether an animal of a sex is what is wanted, beyond doubt as far as the records go."""
    wanted = {0: (1.0, 0.0), 1: (1.0, 0.0), 2: (1.0, 1.0)}
    kind = Kind(tuple(wanted[gene.copies] for gene in target.genes), target.sex, target.share)
    return meets(stock, animal, kind, target, sex=sex)


def _reaches(odds: tuple[float, float, float], gene: GoalGene, least: tuple[float, float]) -> bool:
    if gene.copies == 0:
        return odds[0] >= least[0] - _SLACK
    return odds[1] + odds[2] >= least[0] - _SLACK and odds[2] >= least[1] - _SLACK


def _share(stock: Stock, animal: str, line: str) -> float:
    return float(stock.shares[line][stock.index(animal)]) if line in stock.shares else 0.0


def _halved(kind: Kind) -> Kind:
    """What is half as likely to carry what a kind has; two copies count as one."""
    return replace(kind, genes=tuple((some / 2, 0.0) for some, _ in kind.genes))


def sides(plan: Plan) -> tuple[tuple[Side, Sex], ...]:
    """All sides of the crosses of a plan with their sex."""
    both = ((Sex.MALE, "sire"), (Sex.FEMALE, "dam"))
    return tuple((getattr(step, name), sex) for step in plan.steps for sex, name in both)


def with_animal(stock: Stock, plan: Plan, animal: str, *, sex: Sex) -> Plan:
    """A plan in which an animal also stands on every side that it may serve, after those named.

    A side to be bred takes one that is at least of its kind. Beside animals at hand one will do that is at least half
    as likely to carry what is asked, since a further clutch costs the plan nothing.

    Parameters
    ----------
    stock : Stock
        With the animal in it.
    plan : Plan
        Crosses.
    animal : str
        Id.
    sex : Sex
        Male or female.
    """

    def side(one: Side, of: Sex) -> Side:
        least = one.kind if one.step is not None else _halved(one.kind)
        if of is sex and animal not in one.animals and meets(stock, animal, least, plan.target, sex=sex):
            return replace(one, animals=(*one.animals, animal))
        return one

    steps = (replace(step, sire=side(step.sire, Sex.MALE), dam=side(step.dam, Sex.FEMALE)) for step in plan.steps)
    return replace(plan, steps=tuple(steps))
