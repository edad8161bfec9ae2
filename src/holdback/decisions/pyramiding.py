"""Schemes that bring genes of several animals together: young needed and generations, in closed form.

The published definition for bred-true founders with one gene each (Servin, Martin, Mezard & Hospital 2004, Genetics
168:513): an animal got s1 from one parent and s2 from the other, H(s1)(s2), and must pass on all of them in one gamete.
With r the chance of recombination between neighbours that has chance 1/2 times r wherever neighbours came from
different parents and 1 - r where from the same. A step needs N = ln(1 - g) / ln(1 - p) young so that one is such with
certainty g; the certainty of the whole is spread evenly over the steps.

Animals cannot fertilise themselves, mature late and have small clutches, so routes over real animals are searched for
otherwise (`holdback.decisions.route`); these are the figures of reference.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from holdback.heredity.crosses.recombination import recombination_across

Scheme = int | tuple["Scheme", "Scheme"]
"""A founder, by the number of its gene in the order of the chromosome, or two schemes whose animals are crossed."""


@dataclass(frozen=True, slots=True)
class Step:
    """One generation of a scheme.

    Parameters
    ----------
    targets : tuple of int
        Genes that the wanted young has.
    chance : float
        Chance that a young is such.
    young : int
        Young needed.
    """

    targets: tuple[int, ...]
    chance: float
    young: int


@dataclass(frozen=True, slots=True)
class Pyramid:
    """A scheme worked out.

    Parameters
    ----------
    scheme : Scheme
        Who is crossed with whom.
    steps : tuple of Step
        Crosses in which something can fail, in order; the last passes all genes on in one gamete.
    generations : int
        Generations, that of the crosses between founders counted in.
    """

    scheme: Scheme
    steps: tuple[Step, ...]
    generations: int

    @property
    def young(self) -> int:
        """Young needed in all."""
        return sum(step.young for step in self.steps)


@dataclass(frozen=True, slots=True)
class RecessiveEggs:
    """Eggs needed for a young that shows several recessives.

    Parameters
    ----------
    genes : int
        Number of recessives, unlinked.
    het_by_het : int
        Both parents carry one copy of each.
    het_by_visual : int
        One parent shows all of them.
    """

    genes: int
    het_by_het: int
    het_by_visual: int


def gamete_chance(sides: Sequence[int], recombination: Sequence[float]) -> float:
    """Chance that a gamete holds every target of an animal with one copy of each.

    Parameters
    ----------
    sides : sequence of int, length n
        Parent from which the animal had each target, 0 or 1, in the order of the chromosome.
    recombination : sequence of float, length n - 1
        Chance of recombination between neighbours; 0.5 for unlinked ones.

    Examples
    --------
    >>> gamete_chance((0, 0, 1), (0.1, 0.5))
    0.225
    """
    chance = 0.5
    for (before, after), r in zip(pairwise(sides), recombination, strict=True):
        chance *= 1 - r if before == after else r
    return chance


def cascade(n: int) -> Scheme:
    """Founders crossed in one after the other: ``(((0, 1), 2), 3)``."""
    scheme: Scheme = 0
    for founder in range(1, n):
        scheme = (scheme, founder)
    return scheme


def tree(n: int) -> Scheme:
    """Founders crossed two by two, their young again: ``((0, 1), (2, 3))``."""

    def between(first: int, last: int) -> Scheme:
        if last - first == 1:
            return first
        middle = (first + last + 1) // 2
        return (between(first, middle), between(middle, last))

    return between(0, n)


def pyramid(scheme: Scheme, recombination: Sequence[float], *, certainty: float = 0.99) -> Pyramid:
    """Steps of a scheme with the young that they need.

    Parameters
    ----------
    scheme : Scheme
        Founders are bred true and unlike, each with one gene.
    recombination : sequence of float, length n - 1
        Chance of recombination between neighbouring genes.
    certainty : float
        Chance that the whole succeeds, in (0, 1).

    Notes
    -----
    Parents that are got in the same cross are got at once: both gametes of a young must be right.
    """
    crosses = [*_crosses(scheme, recombination), (_targets(scheme), _passes(scheme, recombination))]
    risky = [(targets, chance) for targets, chance in crosses if chance < 1]
    each = certainty ** (1 / len(risky))
    steps = tuple(Step(targets, chance, _young(chance, each)) for targets, chance in risky)
    return Pyramid(scheme, steps, _depth(scheme) + 1)


def fixing(n: int, r: float, *, certainty: float = 0.99) -> int:
    """Young needed for one with two copies of all n genes, from two animals with all of them on one chromosome.

    Examples
    --------
    >>> [fixing(4, r) for r in (0.5, 0.16484, 0.09063)]
    [1177, 52, 31]
    """
    return _young(gamete_chance([0] * n, [r] * (n - 1)) ** 2, certainty)


def recessive_eggs(genes: int, *, certainty: float = 0.95) -> RecessiveEggs:
    """Eggs for a young that shows several unlinked recessives, by what its parents show.

    Examples
    --------
    >>> recessive_eggs(2)
    RecessiveEggs(genes=2, het_by_het=47, het_by_visual=11)
    """
    both, one = (_young(part**genes, certainty) for part in (0.25, 0.5))
    return RecessiveEggs(genes, both, one)


def compared(n: int, r: float, *, certainty: float = 0.99) -> tuple[Pyramid, Pyramid, str]:
    """Cascade and tree for n genes with r between neighbours, and what sets them apart, in a sentence.

    Examples
    --------
    >>> compared(4, 0.5)[2]
    'A tree takes 3 generations and 166 young, one after the other 4 generations and 152 young.'
    """
    row, bush = (pyramid(scheme, [r] * (n - 1), certainty=certainty) for scheme in (cascade(n), tree(n)))
    said = (
        f"A tree takes {bush.generations} generations and {bush.young} young, one after the other "
        f"{row.generations} generations and {row.young} young."
    )
    return row, bush, said


def _targets(scheme: Scheme) -> tuple[int, ...]:
    """Genes that come together in a scheme, in the order of the chromosome."""
    return (scheme,) if isinstance(scheme, int) else tuple(sorted(_targets(scheme[0]) + _targets(scheme[1])))


def _passes(scheme: Scheme, recombination: Sequence[float]) -> float:
    """Chance that the animal a scheme ends in passes all its genes on; a founder is bred true."""
    if isinstance(scheme, int):
        return 1.0
    targets, first = _targets(scheme), set(_targets(scheme[0]))
    between = []
    for before, after in pairwise(targets):
        r = 0.0
        for place in range(before, after):
            r = recombination_across(r, recombination[place])
        between.append(r)
    return gamete_chance([int(target not in first) for target in targets], between)


def _crosses(scheme: Scheme, recombination: Sequence[float]) -> list[tuple[tuple[int, ...], float]]:
    """Crosses of a scheme with the chance that a young is right, parents before their young."""
    if isinstance(scheme, int):
        return []
    above = [cross for part in scheme for cross in _crosses(part, recombination)]
    chance = _passes(scheme[0], recombination) * _passes(scheme[1], recombination)
    return [*above, (_targets(scheme), chance)]


def _depth(scheme: Scheme) -> int:
    """Crosses on the longest way from a founder."""
    return 0 if isinstance(scheme, int) else 1 + max(_depth(part) for part in scheme)


def _young(chance: float, certainty: float) -> int:
    """Least number of young of which one is right with a certainty."""
    return math.ceil(math.log1p(-certainty) / math.log1p(-chance) - 1e-12)
