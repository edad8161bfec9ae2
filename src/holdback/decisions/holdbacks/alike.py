"""Hatchlings between which no plan could tell, so that each such kind is weighed once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations_with_replacement

import numpy as np

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.candidate import Candidate, Project
from holdback.decisions.holdbacks.meeting import copies
from holdback.decisions.stock import Stock

_DIGITS = 6


def alike(stock: Stock, candidates: Sequence[Candidate], projects: Sequence[Project]) -> tuple[tuple[str, ...], ...]:
    """Candidates in groups that are of one kind for all projects.

    Parameters
    ----------
    stock : Stock
        With all candidates in it.
    candidates : sequence of Candidate
        Hatchlings.
    projects : sequence of Project
        What they are weighed for.

    Returns
    -------
    tuple of tuple of str
        Groups of ids, in the order of their first; in a group the one with the larger hatching mass for its egg first.

    Notes
    -----
    Two are alike if sex, first season and chances of all genes asked for are the same, so are their shares of lines
    asked for and, where a project asks for size, their breeding values, and if each is akin to every other animal as
    the other is.
    """
    features = {one.animal: _features(stock, one, projects) for one in candidates}
    groups: list[list[Candidate]] = []
    for one in candidates:
        for group in groups:
            first = group[0].animal
            if features[first] == features[one.animal] and _akin_alike(stock, first, one.animal):
                group.append(one)
                break
        else:
            groups.append([one])
    order = [sorted(group, key=lambda one: (len(one.troubles), -one.beyond_egg)) for group in groups]
    return tuple(tuple(one.animal for one in group) for group in order)


def _features(stock: Stock, one: Candidate, projects: Sequence[Project]) -> tuple[float, ...]:
    place = stock.index(one.animal)
    targets = [target for project in projects for target in project.targets]
    found = [one.female if len(one.sexes) > 1 else float(one.sex is Sex.FEMALE), one.male_ready, one.female_ready]
    found += [chance for target in targets for gene in target.genes for chance in copies(stock, one.animal, gene)]
    found += [float(stock.shares[line][place]) for line in sorted({t.line for t in targets if t.line in stock.shares})]
    if any(project.goal.size.aim != "no wish" for project in projects):
        found += [float(np.nan_to_num(stock.size_mean[place])), float(np.nan_to_num(stock.size_sd[place]))]
    return tuple(round(value, _DIGITS) for value in found)


def _akin_alike(stock: Stock, first: str, second: str) -> bool:
    a, b = stock.index(first), stock.index(second)
    others = np.ones(len(stock.animals), dtype=bool)
    others[[a, b]] = False
    return bool(
        np.allclose(stock.kinship[a, others], stock.kinship[b, others], atol=10.0**-_DIGITS)
        and abs(stock.kinship[a, a] - stock.kinship[b, b]) < 10.0**-_DIGITS
    )


def n_sets(groups: Sequence[Sequence[str]], tubs: int) -> int:
    """Number of sets of at most so many hatchlings that can be told apart, the empty one among them."""
    ways = [1] + [0] * tubs
    for group in groups:
        ways = [sum(ways[n - k] for k in range(min(len(group), n) + 1)) for n in range(tubs + 1)]
    return sum(ways)


def all_bags(groups: Sequence[Sequence[str]], tubs: int) -> list[tuple[int, ...]]:
    """Those sets as sorted group numbers, the smaller first."""
    found = []
    for size in range(tubs + 1):
        for bag in combinations_with_replacement(range(len(groups)), size):
            if all(bag.count(k) <= len(groups[k]) for k in set(bag)):
                found.append(bag)
    return found
