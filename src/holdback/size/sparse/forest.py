"""The equations laid out so that most animals can be eliminated exactly at the cost of a pass over the pedigree.

Breeders of the sex with fewer breeders are the *cut*. Once their values are known, every animal has at most one parent
left, so the others form a forest (the young under their dams, say) and elimination from the leaves to the roots makes
no fill. Young without offspring are the leaves, absorbed first, as in the reduced animal model of Quaas and Pollak
(1980); here whole maternal lines are absorbed.

References
----------
Quaas and Pollak (1980), Mixed model methodology for farm and ranch beef cattle testing programs. J. Anim. Sci. 51:1277.
(from memory)
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.size.sparse.model import AnimalModel, FloatArray, IndexArray, PlaceArray, sums

BoolArray = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class CutRows:
    """The cut animals' own rows of I - P, sorted by the tree that their parent stands in.

    Parameters
    ----------
    slots, others, groups : int32 array, shape (n_cut,)
        Slots of the animal, of its parent in the cut, and of the group of its record.
    places : int32 array, shape (n_cut,)
        Place of its parent in the forest, -1 where unknown.
    weights, mendelian : float array, shape (n_cut,)
        Weight of its records in that group, and variance of its Mendelian part.
    """

    slots: PlaceArray
    others: PlaceArray
    groups: PlaceArray
    places: PlaceArray
    weights: FloatArray
    mendelian: FloatArray


@dataclass(frozen=True, eq=False)
class Extras:
    """Records of animals in a second, third, ... group.

    Parameters
    ----------
    places, slots : int array, shape (n_extras,)
        Place of the animal in the forest, or -1; its slot, the last of all for an animal of the forest.
    groups : int array, shape (n_extras,)
        Slot of the group.
    weights : float array, shape (n_extras,)
        Weight of the record.
    """

    places: IndexArray
    slots: IndexArray
    groups: IndexArray
    weights: FloatArray


@dataclass(frozen=True, eq=False)
class Forest:
    """An animal model laid out: the cut and the groups have *slots*, all other animals *places* in trees.

    Parameters
    ----------
    order : int array, shape (n_places,)
        Animal of each place; trees one after the other, each from its root, every parent before its young.
    cut : int array, shape (n_cut,)
        Animal of each slot, in order of age; the slots after them are the groups, and one that stands for nobody.
    n_slots : int
        Cut animals, groups, and the one for nobody.
    starts : int64 array, shape (n_trees + 1,)
        First place of each tree.
    parents, others, groups : int32 array, shape (n_places,)
        Place of the parent in the forest (-1: unknown), slot of the parent in the cut, slot of the group.
    weights, mendelian : float array, shape (n_places,)
        Weight of the records in that group, and variance of the Mendelian part.
    rows : CutRows
        The same of the cut animals.
    row_starts : int64 array, shape (n_trees + 1,)
        First of each tree's `rows`; those without a parent in the forest stand with the first.
    extras : Extras
        Records in further groups.
    """

    order: IndexArray
    cut: IndexArray
    n_slots: int
    starts: IndexArray
    parents: PlaceArray
    others: PlaceArray
    groups: PlaceArray
    weights: FloatArray
    mendelian: FloatArray
    rows: CutRows
    row_starts: IndexArray
    extras: Extras

    @classmethod
    def of(cls, model: AnimalModel, *, compiled: bool) -> Forest:
        """Layout of a model; compiled or plain, the result is the same."""
        columns, is_cut = _split(model.parents)
        if compiled:
            from holdback.size.sparse.layout_fast import laid_out_fast

            order, starts = laid_out_fast(columns, is_cut)
        else:
            order, starts = laid_out(columns, is_cut)
        cut = np.flatnonzero(is_cut)
        n_slots = len(cut) + model.n_groups + 1
        nobody = n_slots - 1
        slot = np.full(model.n + 1, nobody, dtype=np.int32)
        slot[cut] = np.arange(len(cut), dtype=np.int32)
        place = np.full(model.n + 1, -1, dtype=np.int32)
        place[order] = np.arange(len(order), dtype=np.int32)
        group, weight, is_extra = _main_groups(model, len(cut), nobody)
        above = place[columns[cut, 1]]
        by_tree = np.argsort(above, kind="stable")
        sorted_cut, sorted_above = cut[by_tree], above[by_tree]
        row_starts = np.searchsorted(sorted_above, starts)
        row_starts[0] = 0
        row_starts[-1] = len(cut)
        extra_animals = model.animals[is_extra]
        return cls(
            order=order,
            cut=cut,
            n_slots=n_slots,
            starts=starts,
            parents=place[columns[order, 1]],
            others=slot[columns[order, 0]],
            groups=group[order],
            weights=weight[order],
            mendelian=model.mendelian[order],
            rows=CutRows(
                slot[sorted_cut],
                slot[columns[sorted_cut, 0]],
                group[sorted_cut],
                sorted_above,
                weight[sorted_cut],
                model.mendelian[sorted_cut],
            ),
            row_starts=row_starts,
            extras=Extras(
                place[extra_animals].astype(np.int64),
                slot[extra_animals].astype(np.int64),
                model.groups[is_extra] + len(cut),
                model.weights[is_extra],
            ),
        )

    @property
    def nobody(self) -> int:
        """The slot that stands for nobody; its value is 0 and what is added to it is void."""
        return self.n_slots - 1

    @cached_property
    def levels(self) -> tuple[IndexArray, ...]:
        """Places by their distance from the root of their tree."""
        return by_level(self.parents)

    @cached_property
    def cut_parents(self) -> PlaceArray:
        """Slot of each cut animal's parent in the cut by the animal's slot, -1 where unknown, shape (n_cut,)."""
        found = np.full(len(self.cut), -1, dtype=np.int32)
        known = self.rows.others != self.nobody
        found[self.rows.slots[known]] = self.rows.others[known]
        return found

    @cached_property
    def cut_levels(self) -> tuple[IndexArray, ...]:
        """Slots of the cut by their distance from the oldest of their line."""
        return by_level(self.cut_parents)


def by_level(parents: PlaceArray) -> tuple[IndexArray, ...]:
    """Nodes of a forest by their distance from the root; parents stand before their young."""
    depth = depths(parents)
    order = np.argsort(depth, kind="stable")
    return tuple(np.split(order, np.flatnonzero(np.diff(depth[order])) + 1))


def depths(parents: PlaceArray) -> IndexArray:
    """Distance of each node from the root of its tree, shape as given."""
    depth = np.zeros(len(parents), dtype=np.int64)
    above = parents.astype(np.int64)
    left = np.flatnonzero(above >= 0)
    while left.size:
        depth[left] += 1
        above[left] = parents[above[left]]
        left = left[above[left] >= 0]
    return depth


def laid_out(columns: PlaceArray, is_cut: BoolArray) -> tuple[IndexArray, IndexArray]:
    """Animals outside the cut in order of their trees, and where each tree starts.

    Parameters
    ----------
    columns : int32 array, shape (n, 2)
        Parent of the sex of the cut, then the other parent; -1 where unknown.
    is_cut : bool array, shape (n,)
        Whether an animal is in the cut.

    Returns
    -------
    (int array, int array)
        Order, of shape (n_places,), each tree from its root with the young of a parent in order of age and followed at
        once by theirs; first place of each tree, of shape (n_trees + 1,).
    """
    n = len(columns)
    above = np.where(is_cut, -1, columns[:, 1]).astype(np.int32)
    levels = by_level(above)
    sizes = (~is_cut).astype(np.int64)
    for level in reversed(levels[1:]):
        np.add.at(sizes, above[level], sizes[level])
    place = np.zeros(n, dtype=np.int64)
    roots = levels[0][~is_cut[levels[0]]]
    starts = np.append(0, np.cumsum(sizes[roots]))
    place[roots] = starts[:-1]
    for level in levels[1:]:
        young = level[np.lexsort((level, above[level]))]
        ends = np.cumsum(sizes[young])
        is_first = np.append(True, np.diff(above[young]) != 0)
        before = (ends - sizes[young])[is_first][np.cumsum(is_first) - 1]
        place[young] = place[above[young]] + 1 + ends - sizes[young] - before
    order = np.empty(int(starts[-1]), dtype=np.int64)
    kept = np.flatnonzero(~is_cut)
    order[place[kept]] = kept
    return order, starts


def _split(parents: PlaceArray) -> tuple[PlaceArray, BoolArray]:
    """Parents with the sex of fewer breeders first, and who of it breeds."""
    breeds = np.zeros((2, len(parents) + 1), dtype=np.bool_)
    for number in (0, 1):
        breeds[number, parents[:, number]] = True
    breeds = breeds[:, :-1]
    few = int(breeds[1].sum() < breeds[0].sum())
    return (parents if few == 0 else np.ascontiguousarray(parents[:, ::-1])), breeds[few]


def _main_groups(model: AnimalModel, first: int, nobody: int) -> tuple[PlaceArray, FloatArray, BoolArray]:
    """Slot of the group of each animal's first record, weight in it, and which records are in another group."""
    group = np.full(model.n, nobody, dtype=np.int32)
    group[model.animals[::-1]] = model.groups[::-1] + first
    is_extra = group[model.animals] != model.groups + first
    main = ~is_extra
    weight = sums(model.animals[main], model.weights[main], model.n)
    return group, weight, is_extra
