"""How well a pair serves a target: by its clutch, or by the best young of it and that young's best mate at hand."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from holdback.decisions.barring import Barring
from holdback.decisions.goal import Target
from holdback.decisions.kinds import LookAt, looks_of
from holdback.decisions.next_generation import ClutchYoung, NextGeneration, NextStep
from holdback.decisions.offspring import PairLaw, law_of
from holdback.decisions.pair_tables import PairTables
from holdback.decisions.stock import Stock
from holdback.species.catalogue import Catalogue

_HARDLY = 0.001
"""Worth of a next step below which it is none: only a slip in the records could bring it."""


@dataclass(frozen=True)
class Judged:
    """A pair by one target.

    Parameters
    ----------
    sire, dam : str
        Ids.
    target : int
        Number of the target.
    law : PairLaw
        Chance that a young is it.
    this_season : float
        Chance of at least one this season; 0 where the young would not have the share of the line.
    score : float
        Chance by the season wished for, the best young counted in.
    progress : float
        Copies of what is wanted that a young carries, in the mean.
    next : NextStep or None
        Best young to keep.
    looks : mapping of str to tuple of LookAt
        Looks of the young at each locus.
    share, inbreeding : float
        Of the young; share nan where no line is asked.
    blocked : str
        Reason against the pair, or empty.
    """

    sire: str
    dam: str
    target: int
    law: PairLaw
    this_season: float
    score: float
    progress: float
    next: NextStep | None
    looks: Mapping[str, tuple[LookAt, ...]]
    share: float
    inbreeding: float
    blocked: str


class Judge:
    """Judges pairs by one target.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    target : Target
        What is wanted.
    catalogue : Catalogue
        Species.
    season, by : int
        Season of the pairs, and the last in which the target counts.
    barring : Barring
        What stands against pairs of the season.
    """

    def __init__(
        self, stock: Stock, target: Target, catalogue: Catalogue, *, season: int, by: int, barring: Barring
    ) -> None:
        self._stock, self._season, self._barring = stock, season, barring
        self._tables = PairTables(target, catalogue)
        self._next = NextGeneration(
            stock,
            self._tables,
            by_season=by,
            inbreeding_at_most=barring.inbreeding_at_most,
            may_pair=barring.may_pair,
        )

    def of(self, sire: str, dam: str, number: int, *, blocked: str | None = None) -> Judged:
        """A pair; `number` is that of the target, `blocked` a reason against it instead of the one that is found."""
        stock, tables = self._stock, self._tables
        place = stock.index(dam)
        couple = stock.genes.couple(sire, dam, tables.loci)
        law = law_of(tables.states(couple, tables.wanted), tables, tables.wanted.sexes)
        looks = looks_of(couple, tables)
        blocked = self._barring.why(sire, dam) if blocked is None else blocked
        share = share_of(stock, sire, dam, tables.target)
        is_of_line = not tables.target.line or share >= tables.target.share - 1e-9
        chance = law.tries(1, stock.young[place], float(stock.lays[place])) if is_of_line else 0.0
        clutch = ClutchYoung((sire, dam), couple, law, looks, is_of_line)
        following = None if blocked else self._next.best(clutch, self._season)
        later = following.keeps * following.chance if following else 0.0
        if later < _HARDLY:
            following, later = None, 0.0
        return Judged(
            sire=sire,
            dam=dam,
            target=number,
            law=law,
            this_season=chance,
            score=chance + later,
            progress=_progress(looks, tables),
            next=following,
            looks=looks,
            share=share,
            inbreeding=float(stock.kinship[stock.index(sire), place]),
            blocked=blocked,
        )


def share_of(stock: Stock, sire: str, dam: str, target: Target) -> float:
    """Expected share of the target's line in young of a pair; nan where no line is asked."""
    if not target.line:
        return math.nan
    shares = stock.shares.get(target.line)
    if shares is None:
        return 0.0
    return float(shares[stock.index(sire)] + shares[stock.index(dam)]) / 2


def _progress(looks: Mapping[str, tuple[LookAt, ...]], tables: PairTables) -> float:
    """Copies of what is wanted that a young carries, in the mean, none counted beyond what is asked."""
    found = 0.0
    for locus, rows in looks.items():
        genes = [gene for gene in tables.target.genes if gene.locus == locus]
        for look in rows:
            for sex, belief in enumerate(look.beliefs):
                for alleles, chance in belief.items():
                    held = [(gene, sum(key in gene.alleles for key in alleles)) for gene in genes]
                    wanted = sum(min(copies, gene.copies) for gene, copies in held)
                    refused = sum(copies for gene, copies in held if gene.copies == 0)
                    found += 0.5 * look.chance[sex] * chance * (wanted - refused)
    return found
