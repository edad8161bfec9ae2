"""How often each gene was to show among the young of a clutch, and how often it did."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

import numpy as np

from holdback.answers.season.clutch_looks import ClutchLooks
from holdback.answers.season.foretold_looks import States, states_of_part
from holdback.collection.model import Sex
from holdback.heredity.beliefs.looks import looks_at
from holdback.heredity.crosses.couples import Genotype
from holdback.heredity.crosses.looks import LookKey
from holdback.heredity.crosses.young import Part as GenePart
from holdback.heredity.crosses.young import sex_of
from holdback.season.ratio import Part

MOST_STATES = 64
"""States of the parents that are kept apart at one locus; the least likely ones become one."""

_SAME = 12
"""Decimals to which two chances are the same."""

Row = tuple[float, float, float]
"""Chance that a young of the heterogametic sex, of the homogametic sex, and of either, shows a gene."""


@dataclass(frozen=True, eq=False)
class GeneChance:
    """One gene in one clutch.

    Parameters
    ----------
    allele, name : str
        Key and trade name.
    weights : tuple of float
        Probabilities of what the parents may be.
    by_sex : mapping of str to Part
        Young by sex where the gene shows more often in one, else all as one; a chance for each of the states.
    part : Part
        All young together, the states within.
    """

    allele: str
    name: str
    weights: tuple[float, ...]
    by_sex: Mapping[str, Part]
    part: Part

    @property
    def mean(self) -> float:
        """Chance that a young shows it, over all that the parents may be."""
        return sum(weight * chance for weight, chance in self.part.chances[0])


def gene_chances(clutch: ClutchLooks) -> Iterator[GeneChance]:
    """Genes that young of a clutch may show and that are told by eye, in the order of the species file."""
    for locus, alleles in clutch.alleles.items():
        states = list(_states(clutch, locus))
        for allele in (one for one in clutch.evidence[locus].alleles if one in alleles):
            shows, others = _shown(clutch, locus, allele)
            if shows and not _is_hard(clutch, locus, shows):
                rows = _rows(states, locus, shows)
                found = _counted(clutch, locus, allele, shows, others, rows)
                if found.mean > 0 or found.part.k:
                    yield found


def _shown(clutch: ClutchLooks, locus: str, allele: str) -> tuple[frozenset[str], frozenset[str]]:
    """Keys of the looks that show an allele, and of all others."""
    looks = looks_at(clutch.answers.catalogue, locus, clutch.evidence[locus].alleles)
    every = frozenset(look.key for look in looks.looks)
    others = looks.without(allele, clutch.answers.catalogue)
    return every - others, others


def _is_hard(clutch: ClutchLooks, locus: str, shows: Set[str]) -> bool:
    """Whether some look with the gene counts as one without it."""
    alike = clutch.alike(locus)
    return any(not set(alike.alike(look)) <= shows for look in shows)


def _states(clutch: ClutchLooks, locus: str) -> Iterator[tuple[float, States | None]]:
    """Each couple with what it may be at a locus; None where it has nothing there."""
    done: dict[tuple[GenePart, bool], States] = {}

    def sorting(part: GenePart, genotype: Genotype) -> LookKey | None:
        seen = clutch.book.seen(part.loci, genotype)
        alleles = genotype[part.loci.index(locus)]
        return None if locus in seen.unseen else ((locus, clutch.book.look(locus, alleles).key),)

    for couple, cross in zip(clutch.couples, clutch.crosses, strict=True):
        part = next((one for one in cross.parts if locus in one.loci), None)
        if part is not None and (part, couple.has_sire) not in done:
            done[part, couple.has_sire] = states_of_part(
                part,
                sorting,
                has_sire=couple.has_sire,
                in_egg=clutch.in_egg,
                second_division=clutch.answers.evidence.second_division,
            )
        yield couple.weight, None if part is None else done[part, couple.has_sire]


def _rows(states: Sequence[tuple[float, States | None]], locus: str, shows: Set[str]) -> list[tuple[float, Row]]:
    """Probability of each state of the parents, and how often the gene shows in it; equal ones once."""
    found: dict[Row, float] = {}
    for weight, one in states:
        if one is None:
            found[0.0, 0.0, 0.0] = found.get((0.0, 0.0, 0.0), 0.0) + weight
            continue
        with_it = [number for number, key in enumerate(one.classes) if key[0][1] in shows]
        for share, chances in zip(one.weights.tolist(), one.chances, strict=True):
            seen, showing = chances.sum(axis=0), chances[with_it].sum(axis=0)
            rows = (*np.divide(showing, seen, out=np.zeros(2), where=seen > 0), showing.sum() / max(seen.sum(), 1e-300))
            row = (round(float(rows[0]), _SAME), round(float(rows[1]), _SAME), round(float(rows[2]), _SAME))
            found[row] = found.get(row, 0.0) + weight * share
    total = sum(found.values())
    return _few([(weight / total, row) for row, weight in found.items()])


def _few(rows: list[tuple[float, Row]]) -> list[tuple[float, Row]]:
    if len(rows) <= MOST_STATES:
        return rows
    ordered = sorted(rows, key=lambda one: -one[0])
    rest = ordered[MOST_STATES - 1 :]
    weight = sum(one for one, _ in rest)
    first, second, both = (sum(one * row[number] for one, row in rest) / weight for number in range(3))
    return [*ordered[: MOST_STATES - 1], (weight, (first, second, both))]


def _counted(
    clutch: ClutchLooks,
    locus: str,
    allele: str,
    shows: frozenset[str],
    others: frozenset[str],
    rows: Sequence[tuple[float, Row]],
) -> GeneChance:
    """The gene with the young that show it and that do not; those whose record leaves it open do not count."""
    seen: dict[Sex, list[bool]] = {}
    is_by_sex = any(abs(first - second) > 1e-9 for _, (first, second, _) in rows)
    for young in clutch.young:
        looks = young.looks.get(locus)
        if looks is not None and (looks <= shows or looks <= others):
            seen.setdefault(young.sex if is_by_sex else Sex.UNKNOWN, []).append(looks <= shows)
    place = {sex_of(number, clutch.answers.catalogue): number for number in (0, 1)}
    by_sex = {
        str(sex) if sex is not Sex.UNKNOWN else "unsexed": Part(
            len(told), sum(told), tuple(((1.0, row[place.get(sex, 2)]),) for _, row in rows)
        )
        for sex, told in seen.items()
    }
    n, k = sum(one.n for one in by_sex.values()), sum(one.k for one in by_sex.values())
    whole = Part(n, k, (tuple((weight, row[2]) for weight, row in rows),))
    return GeneChance(allele, clutch.name_of(allele), tuple(weight for weight, _ in rows), by_sex, whole)
