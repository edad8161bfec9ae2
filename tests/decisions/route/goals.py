"""Goals and routes for the tests, in few words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tests.decisions.herd import Row, herd

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.route import Wishes, best_route
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.species.catalogue import load


def hidden(allele: str, *, copies: int = 2) -> GoalGene:
    return GoalGene(load().alleles[allele].locus, frozenset([allele]), copies, allele, is_hidden=True, tells_two=True)


def shown(allele: str, *, copies: int = 1, tells_two: bool = True, two_die: bool = False) -> GoalGene:
    locus = load().alleles[allele].locus
    return GoalGene(locus, frozenset([allele]), copies, allele, is_hidden=False, tells_two=tells_two, two_die=two_die)


A, B, D, E, F = hidden("clown"), hidden("piebald"), shown("enchi"), shown("pastel"), shown("fire")
"""Two that must be visual, three of which one copy is wanted."""


def target(*genes: GoalGene, sex: Sex = Sex.UNKNOWN, share: float = 0.0) -> Target:
    return Target(genes, sex, "Ember" if share else "", share)


def stock_for(genes: Sequence[GoalGene], males: Sequence[Row], females: Sequence[Row], **more: Any) -> Stock:
    alleles = tuple(next(iter(gene.alleles)) for gene in genes)
    return herd(males=males, females=females, genes=alleles, **{"clutches": 20, **more})


def best(genes: Sequence[GoalGene], males: Sequence[Row], females: Sequence[Row], **wishes: Any) -> Plan:
    """Best route; one daughter held back unless said."""
    found = stock_for(genes, males, females)
    return best_route(found, target(*genes), Wishes(**{"hold_back": 1, **wishes}))
