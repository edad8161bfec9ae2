"""Relatedness and line share of one collection, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.answers.descent.grounds import share_basis, share_ground
from holdback.answers.descent.line_report import LineReport, line_report
from holdback.answers.descent.share import Carried, LineShare
from holdback.answers.descent.young import YoungDescent, young_descent
from holdback.collection.collection import Collection
from holdback.descent.contributions import contributions_of_each
from holdback.descent.family import Family
from holdback.descent.from_family import pedigree_of
from holdback.descent.genome import GenomeMap
from holdback.descent.kinship import inbreeding, kinship
from holdback.descent.paths import Paths, inbreeding_paths_of
from holdback.descent.pedigree import Pedigree
from holdback.descent.share_distribution import intervals, share_distributions
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
        return self.shares_of([animal], line)[0]

    def shares_of(self, animals: Sequence[str], line: str) -> tuple[LineShare, ...]:
        """Share of a line in each of some animals, worked out together."""
        new = [one for one in dict.fromkeys(animals) if (one, line) not in self._shares]
        if new:
            found = shares_at(self, self.pedigree, [self.node(one) for one in new], line)
            self._shares |= {(share.animal, line): share for share in found}
        return tuple(self._shares[one, line] for one in animals)

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


def shares_at(descent: Descent, pedigree: Pedigree, nodes: Sequence[int], line: str) -> tuple[LineShare, ...]:
    """Share of a line in nodes of the pedigree, or of the pedigree with young added at its end.

    Parameters
    ----------
    descent : Descent
        Answers.
    pedigree : Pedigree
        The pedigree of `descent`, or the same with young that nobody bred yet.
    nodes : sequence of int
        Indices in `pedigree`.
    line : str
        Name of the line.

    Notes
    -----
    Young of the same two parents have the same law, which is worked out once.
    """
    parents = pedigree.parents.tolist()
    families = [(node,) if pedigree.is_founder[node] else tuple(parents[node]) for node in nodes]
    one_of = dict(zip(families, nodes, strict=True))
    found = dict(zip(one_of, _distinct(descent, pedigree, list(one_of.values()), line), strict=True))
    ids = [pedigree.ids[node] if pedigree.on_record[node] else "" for node in nodes]
    return tuple(replace(found[family], animal=animal) for family, animal in zip(families, ids, strict=True))


def _distinct(descent: Descent, pedigree: Pedigree, nodes: list[int], line: str) -> Iterator[LineShare]:
    """Shares of a line in nodes of which no two have the same parents."""
    founders, kept = descent.founders(line), pedigree.ancestors(nodes)
    part, here = pedigree.part(nodes), founders.part(pedigree, nodes)
    places = np.searchsorted(kept, nodes).tolist()
    laws = share_distributions(part, here, descent.genome, places)
    bounds = share_bounds(part, here)[places].tolist()
    given = contributions_of_each(part, places)
    unclaimed = descent.catalogue.records["line_unclaimed"].value
    for node, law, (low, high), bound, parts in zip(nodes, laws, intervals(laws).tolist(), bounds, given, strict=True):
        carried = _carried(part, here, parts)
        animal = pedigree.ids[node] if pedigree.on_record[node] else ""
        yield LineShare(
            animal=animal,
            line=line,
            mean=law.mean,
            sd=law.sd,
            low=low,
            high=high,
            bound_low=bound[0],
            bound_high=bound[1],
            unknown=float(sum(one.part for one in carried if not one.is_stated)),
            off_record=float(sum(one.part for one in carried if one.animal.startswith("?"))),
            basis=share_basis(carried, animal),
            ground=share_ground(descent.collection, carried, animal, unclaimed=unclaimed),
            carried=carried,
            distribution=law,
        )


def _carried(part: Pedigree, founders: LineFounders, given: Mapping[int, float]) -> tuple[Carried, ...]:
    """Founders of a node by their parts in it, the largest part first."""
    found = []
    for node, share in given.items():
        said = founders[node]
        found.append(Carried(part.ids[node], share, said.low, said.high, said.ground))
    return tuple(sorted(found, key=lambda one: (-one.part, one.animal)))
