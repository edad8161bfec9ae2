"""Reasons for a mate, and what stays hidden on the young, in short sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache

from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.kind_words import in_hundred, kind_words, listed, percent
from holdback.decisions.kinds import SURE, LookAt, level_of
from holdback.decisions.next_generation import NextStep
from holdback.decisions.offspring import PairLaw
from holdback.decisions.pair_judgement import Judged
from holdback.decisions.stock import Stock
from holdback.heredity.frequency import in_words as words_of_chance

_FEW = 0.05
"""Chance below which a gene counts as not carried in a sentence, and from whose complement as certain."""

_HARDLY = 0.001
"""Chance of a young that only a slip in the records could bring."""


@lru_cache(maxsize=4096)
def _in_words(chance: float, *, of: str = "") -> str:
    """As `holdback.heredity.frequency.in_words`; the same few chances are said of many pairs."""
    return words_of_chance(chance, of=of)


def reasons(stock: Stock, judged: Judged, target: Target, *, by_year: int) -> tuple[str, ...]:
    """Sentences on a pair, the weightiest first.

    Parameters
    ----------
    stock : Stock
        Animals at hand.
    judged : Judged
        The pair.
    target : Target
        What is wanted.
    by_year : int
        Year by which it is wanted.
    """
    pair = (judged.sire, judged.dam)
    said = list(_of_clutch(judged.law, judged.this_season))
    said += _in_doubt(stock, pair, target)
    if judged.next is not None:
        said.append(_of_next(stock, judged.next, target, by_year))
    elif judged.this_season <= 0.0:
        lacking = _lacking(stock, pair, target)
        said += [f"Neither carries {listed(lacking, last='or')}."] if lacking else []
    said += _of_line(judged.share, target)
    said.append(_of_kinship(judged.inbreeding))
    return tuple(said)


def _of_clutch(law: PairLaw, this_season: float) -> Iterator[str]:
    if law.per_hatchling <= 0.0:
        yield "No young of this clutch can be the goal."
    elif law.per_hatchling < _HARDLY:
        yield "Going by the records no young of this clutch can be the goal."
    elif this_season <= 0.0:
        yield f"{_each(law)} has the genes, but not enough of the line."
    else:
        yield f"{_each(law)} is the goal: {in_hundred(this_season)} for at least one this season."


def _each(law: PairLaw) -> str:
    words = _in_words(law.per_hatchling, of="young")
    return words[0].upper() + words[1:] if words != "all" else "Every young"


def _in_doubt(stock: Stock, pair: tuple[str, str], target: Target) -> Iterator[str]:
    """Genes that a parent may carry or not, where the goal turns on it."""
    for animal, other in (pair, pair[::-1]):
        for gene in target.genes:
            some, _ = level_of(gene, stock.genes.at(animal, gene.locus))
            if not _FEW <= some <= 1.0 - _FEW or gene.copies == 0:
                continue
            theirs, _ = level_of(gene, stock.genes.at(other, gene.locus))
            name = stock.names.get(animal, animal)
            if gene.copies == 2 and theirs >= _FEW:
                yield f"{name} may carry {gene.name} ({_in_words(some)}); if not, no young shows it."
            elif theirs < 1.0 - SURE:
                yield f"{name} may carry {gene.name} ({_in_words(some)})."


def _of_next(stock: Stock, following: NextStep, target: Target, by_year: int) -> str:
    kept = kind_words(following.kind, target, is_bred=True)
    mate = stock.names.get(following.mate, following.mate)
    year = stock.year + following.first_season
    return (
        f"If none comes, keep {kept} ({in_hundred(following.keeps)}) for {mate} from {year} on: "
        f"{in_hundred(following.chance)} by {by_year}."
    )


def _lacking(stock: Stock, pair: tuple[str, str], target: Target) -> list[str]:
    """Genes that neither of a pair carries."""
    return [
        gene.name
        for gene in target.genes
        if gene.copies and all(level_of(gene, stock.genes.at(one, gene.locus))[0] < _FEW for one in pair)
    ]


def _of_line(share: float, target: Target) -> Iterator[str]:
    if not math.isnan(share):
        wanted = f"; you want {percent(target.share)}" if share < target.share - 1e-9 else ""
        yield f"Young are {percent(share)} {target.line} by pedigree{wanted}."


def _of_kinship(inbreeding: float) -> str:
    if inbreeding <= 1e-12:
        return "Nothing on record makes them kin."
    return f"Young inbred {percent(inbreeding)}."


def hidden_words(looks: Mapping[str, tuple[LookAt, ...]], target: Target) -> tuple[str, ...]:
    """What cannot be seen on young of a pair, a sentence for each gene of the target.

    Parameters
    ----------
    looks : mapping of str to tuple of LookAt
        Looks of the young at each locus.
    target : Target
        What is wanted.
    """
    said = []
    for gene in target.genes:
        for look in looks[gene.locus]:
            place = [one for one in target.genes if one.locus == gene.locus].index(gene)
            sexes = [sex for sex in (0, 1) if look.beliefs[sex]]
            some, two = look.levels[sexes[0]][place]
            sentence = _hidden(gene, some, two) if gene.copies else ""
            if sentence and sentence not in said:
                said.append(sentence)
    return tuple(said)


def _hidden(gene: GoalGene, some: float, two: float) -> str:
    if gene.is_hidden and two <= SURE and some > _FEW:
        if some >= 1.0 - SURE:
            return f"Young that do not show {gene.name} all carry it."
        return f"Young that do not show {gene.name} carry it with {_in_words(some)}."
    if not gene.is_hidden and some >= 1.0 - SURE and SURE < two < 1.0 - SURE:
        return f"One and two copies of {gene.name} look alike; {_in_words(two)} of those that show it have two."
    return ""
