"""Relatedness and line share of one collection, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.answers.descent.grounds import share_basis, share_ground
from holdback.answers.descent.line_report import LineReport, line_report
from holdback.answers.descent.share import Carried, LineShare
from holdback.answers.descent.young import YoungDescent, young_descent
from holdback.collection.collection import Collection
from holdback.descent.contributions import contributions_of
from holdback.descent.family import Family
from holdback.descent.from_family import pedigree_of
from holdback.descent.genome import GenomeMap
from holdback.descent.kinship import inbreeding, kinship
from holdback.descent.paths import Paths, inbreeding_paths_of
from holdback.descent.pedigree import Pedigree
from holdback.descent.share_distribution import share_distribution
from holdback.descent.shares import LineFounders, line_founders, share_bounds, share_means
from holdback.errors import Fault, PedigreeError
from holdback.species.catalogue import Catalogue

FloatArray = npt.NDArray[np.float64]
Sires = Mapping[str, Mapping[str, float]]


class Descent:
    """Everything that pages and commands ask of the descent of a collection.

    Parameters
    ----------
    collection : Collection
        Checked records.
    family : Family
        Who descends from whom.
    catalogue : Catalogue
        Species: its chromosomes, and how far records are trusted.
    sires : callable
        Gives, by young, the chance of each candidate sire by its genes; asked only where a sire is doubtful.
    """

    def __init__(
        self, collection: Collection, family: Family, catalogue: Catalogue, *, sires: Callable[[], Sires]
    ) -> None:
        self.collection = collection
        self.catalogue = catalogue
        self.family = family
        self._sires = sires
        self._founders: dict[str, LineFounders] = {}
        self._means: dict[str, FloatArray] = {}
        self._bounds: dict[str, FloatArray] = {}
        self._shares: dict[tuple[str, str], LineShare] = {}
        self._reports: dict[str, LineReport] = {}

    @cached_property
    def told(self) -> Sires:
        """By young: chance of each candidate sire by the genes, where a sire is doubtful."""
        return self._sires() if any(brood.is_uncertain for brood in self.family.broods) else {}

    @cached_property
    def pedigree(self) -> Pedigree:
        """The pedigree; doubtful sires weighed by the genes of their young where these tell."""
        kept = self.catalogue.records["second_division"].value
        return pedigree_of(self.collection, self.family, sires=self.told, kept=kept)

    @cached_property
    def genome(self) -> GenomeMap:
        """Chromosomes of the species."""
        return GenomeMap.from_catalogue(self.catalogue)

    @cached_property
    def inbreeding(self) -> FloatArray:
        """Inbreeding coefficient of each node of the pedigree, shape (n,)."""
        return inbreeding(self.pedigree)

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """Lines that a claim names, in record order."""
        return tuple(dict.fromkeys(claim.line for claim in self.collection.records.lines))

    def node(self, animal: str) -> int:
        """Index of an animal in the pedigree.

        Raises
        ------
        PedigreeError
            PED-010 if there is no such animal.
        """
        if animal not in self.collection.animals:
            raise PedigreeError(Fault("PED-010", f"There is no animal {animal!r}.", "Give an id.", value=animal))
        return self.pedigree.index[animal]

    def line_named(self, text: str) -> str:
        """Name of a line as recorded, whatever the case of the letters.

        Raises
        ------
        PedigreeError
            PED-011 if no claim names it.
        """
        asked = text.strip()
        found = asked if asked in self.lines else {one.casefold(): one for one in self.lines}.get(asked.casefold())
        if found is None:
            known = ", ".join(self.lines)
            hint = f"Lines on record: {known}." if known else "Say of a founder how much of the line it is."
            raise PedigreeError(Fault("PED-011", f"No claim names the line {text!r}.", hint, value=text))
        return found

    def inbreeding_of(self, animal: str) -> float:
        """Inbreeding coefficient of an animal, the expectation where a sire is doubtful."""
        return float(self.inbreeding[self.node(animal)])

    def kinship(self, animals: Sequence[str], others: Sequence[str] | None = None) -> FloatArray:
        """Coefficients of kinship, shape (animals, others); one animal with itself gives (1 + F) / 2."""
        second = None if others is None else [self.node(one) for one in others]
        return kinship(self.pedigree, [self.node(one) for one in animals], second)

    def paths(self, animal: str) -> Paths:
        """Ways over which an animal is inbred, the costliest first."""
        return inbreeding_paths_of(self.pedigree, self.node(animal))

    def founders(self, line: str) -> LineFounders:
        """What is said of the founders about a line."""
        if line not in self._founders:
            unclaimed = self.catalogue.records["line_unclaimed"].value
            self._founders[line] = line_founders(
                self.pedigree, self.collection.records.lines, line, unclaimed=unclaimed
            )
        return self._founders[line]

    def share_means(self, line: str) -> FloatArray:
        """Expected share of a line of each node, shape (n,)."""
        if line not in self._means:
            self._means[line] = share_means(self.pedigree, self.founders(line))
        return self._means[line]

    def share_bounds(self, line: str) -> FloatArray:
        """Least and most that the expected share of each node may be, shape (n, 2)."""
        if line not in self._bounds:
            self._bounds[line] = share_bounds(self.pedigree, self.founders(line))
        return self._bounds[line]

    def share(self, animal: str, line: str) -> LineShare:
        """Share of a line in an animal, with its spread and ground."""
        key = (animal, line)
        if key not in self._shares:
            self._shares[key] = share_at(self, self.pedigree, self.node(animal), line)
        return self._shares[key]

    def shares(self, animal: str) -> tuple[LineShare, ...]:
        """Shares of all lines in an animal, the largest first."""
        found = [self.share(animal, line) for line in self.lines]
        return tuple(sorted(found, key=lambda one: -one.mean))

    def young(self, sire: str, dam: str) -> YoungDescent:
        """Inbreeding and line shares of the young of two animals, and of the next backcross."""
        return young_descent(self, sire, dam)

    def line(self, line: str) -> LineReport:
        """What there is to say of a line."""
        if line not in self._reports:
            self._reports[line] = line_report(self, line)
        return self._reports[line]


def share_at(descent: Descent, pedigree: Pedigree, node: int, line: str) -> LineShare:
    """Share of a line in a node of the pedigree, or of the pedigree with young added at its end.

    Parameters
    ----------
    descent : Descent
        Answers.
    pedigree : Pedigree
        The pedigree of `descent`, or the same with young that nobody bred yet.
    node : int
        Index in `pedigree`.
    line : str
        Name of the line.
    """
    founders = descent.founders(line)
    law = share_distribution(pedigree, founders, descent.genome, node)
    part = pedigree.part([node])
    here = founders.part(pedigree, [node])
    bounds = share_bounds(part, here)[-1]
    carried = _carried(part, here)
    low, high = law.interval(0.9)
    unknown = sum(one.part for one in carried if not one.is_stated)
    animal = pedigree.ids[node] if pedigree.on_record[node] else ""
    return LineShare(
        animal=animal,
        line=line,
        mean=law.mean,
        sd=law.sd,
        low=low,
        high=high,
        bound_low=float(bounds[0]),
        bound_high=float(bounds[1]),
        unknown=unknown,
        off_record=sum(one.part for one in carried if one.animal.startswith("?")),
        basis=share_basis(carried, animal),
        ground=share_ground(
            descent.collection, carried, animal, unclaimed=descent.catalogue.records["line_unclaimed"].value
        ),
        carried=carried,
        distribution=law,
    )


def _carried(part: Pedigree, founders: LineFounders) -> tuple[Carried, ...]:
    """Founders of the last node of a pedigree, the largest part first."""
    found = []
    for node, share in contributions_of(part, len(part) - 1).items():
        said = founders[node]
        found.append(Carried(part.ids[node], share, said.low, said.high, said.ground))
    return tuple(sorted(found, key=lambda one: (-one.part, one.animal)))
