"""An invented pedigree bred in lines, its records, and the factor graph of one gene of two alleles.

Lines of about forty animals: a male with one to three females a season, clutches of six of which two are held back;
of the matings a fifth with a parent, 15 % between sibs, a tenth with the line before. A quarter of the animals have a
recorded look (a recessive gene), one in twenty a recorded genotype; a record is wrong at a chance of .01. Animals
without young are summed out of their clutch before the graph is made.
"""

from __future__ import annotations

from dataclasses import dataclass

import generator
import numpy as np
import numpy.typing as npt

from holdback.heredity.network import Graph

FloatArray = npt.NDArray[np.float64]

WRONG = 0.01
FREQUENCY = 0.1
LINE = 40
CAREER = 24
"""Animals of a line held back last, of one sex, that are still bred from; more than a line of forty has."""

GAMETES = np.array([[1.0, 0.0], [0.5, 0.5], [0.0, 1.0]])
"""Chance that a parent of 0, 1 or 2 copies passes on none or one."""
INHERITED = np.array(
    [[[sire[0] * dam[0], sire[0] * dam[1] + sire[1] * dam[0], sire[1] * dam[1]] for dam in GAMETES] for sire in GAMETES]
)
"""Chance of each genotype of the young, by sire and dam."""
FOUNDER = np.array([(1 - FREQUENCY) ** 2, 2 * FREQUENCY * (1 - FREQUENCY), FREQUENCY**2])


@dataclass(frozen=True)
class Pedigree:
    """Animals, parents first.

    Parameters
    ----------
    parents : list of tuple of int or None
        Sire and dam; None for a founder.
    records : dict of int to float array, shape (3,)
        Chance of what was recorded, by copies.
    """

    parents: list[tuple[int, int] | None]
    records: dict[int, FloatArray]

    @property
    def breeders(self) -> list[int]:
        """Animals with young, in order."""
        return sorted({parent for pair in self.parents if pair for parent in pair})


class _Line:
    """Animals of one line that may breed."""

    def __init__(self, males: list[int], females: list[int]) -> None:
        self.males = males
        self.females = females


def pedigree(animals: int, *, line: int = LINE) -> Pedigree:
    """Pedigree of about so many animals, in lines of about so many; one line of all is a closed colony."""
    random = generator.rng("lines")
    parents: list[tuple[int, int] | None] = []
    before: _Line | None = None
    while len(parents) < animals:
        before = _line(random, parents, before, line)
    return Pedigree(parents, _records(random, parents))


def _line(
    random: np.random.Generator, parents: list[tuple[int, int] | None], before: _Line | None, length: int
) -> _Line:
    first = len(parents)
    trios = max(1, length // 200)
    parents.extend([None] * 3 * trios)
    line = _Line(list(range(first, first + trios)), list(range(first + trios, first + 3 * trios)))
    while len(parents) < first + length:
        sire = line.males[-1] if random.random() < 0.5 else int(random.choice(line.males[-CAREER:]))
        for _ in range(int(random.integers(1, 4))):
            dam = _mate(random, parents, line, before, sire)
            young = range(len(parents), len(parents) + 6)
            parents.extend([(sire, dam)] * 6)
            held = [int(one) for one in random.choice(young, 2, replace=False)]
            line.males.append(held[0])
            line.females.append(held[1])
    return line


def _mate(
    random: np.random.Generator,
    parents: list[tuple[int, int] | None],
    line: _Line,
    before: _Line | None,
    sire: int,
) -> int:
    way, pair = random.random(), parents[sire]
    if pair and way < 0.2:
        return pair[1]
    sisters = [one for one in line.females[-CAREER:] if pair and parents[one] == pair]
    if sisters and way < 0.35:
        return int(random.choice(sisters))
    if before and way > 0.9:
        return int(random.choice(before.females))
    return int(random.choice(line.females[-CAREER:]))


def _records(random: np.random.Generator, parents: list[tuple[int, int] | None]) -> dict[int, FloatArray]:
    genotypes = np.zeros(len(parents), int)
    records = {}
    for animal, pair in enumerate(parents):
        chances = FOUNDER if pair is None else INHERITED[genotypes[pair[0]], genotypes[pair[1]]]
        genotypes[animal] = random.choice(3, p=chances)
        way = random.random()
        seen = int(genotypes[animal])
        if way < 0.25:
            visual = (seen == 2) != (random.random() < WRONG)
            records[animal] = np.array([WRONG, WRONG, 1 - WRONG] if visual else [1 - WRONG, 1 - WRONG, WRONG])
        elif way < 0.3:
            seen = int(random.integers(3)) if random.random() < WRONG else seen
            records[animal] = np.where(np.arange(3) == seen, 1 - WRONG, WRONG / 2)
    return records


def problem(animals: Pedigree) -> tuple[Graph, list[FloatArray]]:
    """Graph and tables over the breeders, animals without young summed out."""
    number = {animal: place for place, animal in enumerate(animals.breeders)}
    scopes: list[tuple[int, ...]] = []
    tables: list[FloatArray] = []
    folded: dict[tuple[int, int], FloatArray] = {}
    for animal, pair in enumerate(animals.parents):
        record = animals.records.get(animal)
        if animal in number:
            table = FOUNDER if pair is None else INHERITED
            scopes.append((number[animal],) if pair is None else (number[pair[0]], number[pair[1]], number[animal]))
            tables.append((table if record is None else table * record)[None])
        elif pair and record is not None:
            folded[pair] = folded.get(pair, np.ones((3, 3))) * (INHERITED @ record)
    scopes += [(number[sire], number[dam]) for sire, dam in folded]
    tables += [table[None] for table in folded.values()]
    return Graph((3,) * len(number), tuple(scopes)), tables
