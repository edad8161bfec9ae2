"""An animal model of one trait: records, fixed groups, and the pedigree they hang together by.

y = X b + Z u + e with Var u = A sigma2_a and Var e = W^-1 sigma2_e, W the weights of the records. With
lambda = sigma2_e / sigma2_a Henderson's equations are

    [ X'WX   X'WZ             ] [b]   [X'Wy]
    [ Z'WX   Z'WZ + lambda A^-1 ] [u] = [Z'Wy].

References
----------
Henderson (1984), Applications of Linear Models in Animal Breeding.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import inbreeding as inbreeding_of
from holdback.descent.pedigree import Pedigree
from holdback.errors import Fault, SizeError

FloatArray = npt.NDArray[np.float64]
IndexArray = npt.NDArray[np.int64]
PlaceArray = npt.NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class AnimalModel:
    """Records of one trait with the pedigree; build it with `AnimalModel.of` or `AnimalModel.of_parents`.

    Parameters
    ----------
    parents : int32 array, shape (n, 2)
        Sire and dam of each animal, -1 where unknown; parents before offspring.
    inbreeding : float array, shape (n,)
        Inbreeding coefficient F of each animal, in [0, 1).
    animals : int array, shape (n_records,)
        Animal of each record; an animal may have none or several.
    groups : int array, shape (n_records,)
        Fixed group of each record, 0 to n_groups - 1.
    values : float array, shape (n_records,)
        What was measured.
    weights : float array, shape (n_records,)
        1 for the residual variance sigma2_e, w for sigma2_e / w.
    """

    parents: PlaceArray
    inbreeding: FloatArray
    animals: IndexArray
    groups: IndexArray
    values: FloatArray
    weights: FloatArray

    @classmethod
    def of(
        cls,
        pedigree: Pedigree,
        *,
        animals: IndexArray,
        groups: IndexArray,
        values: FloatArray,
        weights: FloatArray | None = None,
    ) -> AnimalModel:
        """Model of the records of a pedigree's nodes.

        Parameters
        ----------
        pedigree : Pedigree
            Every animal with two certain or unknown parents.
        animals, groups, values, weights : array, shape (n_records,)
            As in `AnimalModel`; weights of 1 where not given.

        Returns
        -------
        AnimalModel
            With the pedigree's inbreeding.

        Raises
        ------
        SizeError
            SIZ-220 for a pedigree with doubtful or missing sires or an animal used as sire and as dam; SIZ-222 for
            records that cannot be.
        """
        if not pedigree.is_plain:
            raise SizeError(
                Fault(
                    "SIZ-220",
                    "The pedigree has animals with several possible sires, or without a sire.",
                    "Settle each sire or set him to unknown; the dense model takes such animals as they are.",
                    field="pedigree",
                )
            )
        return cls.of_parents(
            pedigree.parents, inbreeding_of(pedigree), animals=animals, groups=groups, values=values, weights=weights
        )

    @classmethod
    def of_parents(
        cls,
        parents: PlaceArray,
        inbreeding: FloatArray,
        *,
        animals: IndexArray,
        groups: IndexArray,
        values: FloatArray,
        weights: FloatArray | None = None,
    ) -> AnimalModel:
        """Model of the records of animals given by their parents.

        Parameters
        ----------
        parents : int32 array, shape (n, 2)
            Sire and dam, -1 where unknown; parents before offspring.
        inbreeding : float array, shape (n,)
            Inbreeding coefficient of each.
        animals, groups, values, weights : array, shape (n_records,)
            As in `AnimalModel`; weights of 1 where not given.

        Returns
        -------
        AnimalModel
            As given, with arrays of one type.

        Raises
        ------
        SizeError
            SIZ-220 where an animal is both a sire and a dam; SIZ-222 for records that cannot be.
        """
        given = cls(
            np.ascontiguousarray(parents, dtype=np.int32).reshape(-1, 2),
            np.asarray(inbreeding, dtype=np.float64),
            np.asarray(animals, dtype=np.int64),
            np.asarray(groups, dtype=np.int64),
            np.asarray(values, dtype=np.float64),
            np.ones(len(values)) if weights is None else np.asarray(weights, dtype=np.float64),
        )
        _check(given)
        return given

    @property
    def n(self) -> int:
        """Number of animals."""
        return len(self.parents)

    @cached_property
    def n_groups(self) -> int:
        """Number of fixed groups."""
        return int(self.groups.max()) + 1

    @cached_property
    def mendelian(self) -> FloatArray:
        """Variance of each animal's Mendelian part over sigma2_a, shape (n,): 1/2 - (F_sire + F_dam) / 4."""
        known = np.append(self.inbreeding, -1.0)  # where index -1 points
        found: FloatArray = 0.5 - 0.25 * (known[self.parents[:, 0]] + known[self.parents[:, 1]])
        return found

    def right_side(self, values: FloatArray) -> tuple[FloatArray, FloatArray]:
        """X'Wy and Z'Wy for any values of the records, shapes (n_groups,) and (n,)."""
        weighted = self.weights * values
        return (
            sums(self.groups, weighted, self.n_groups),
            sums(self.animals, weighted, self.n),
        )

    def inverse_form(self, first: FloatArray, second: FloatArray) -> float:
        """First' A^-1 second of two vectors of shape (n,), by the rows of I - P."""
        mine = self.mendelian_parts(first)
        return float(mine @ (self.mendelian_parts(second) / self.mendelian))

    def mendelian_parts(self, values: FloatArray) -> FloatArray:
        """(I - P) u: each animal's value less the mean of its parents', shape (n,)."""
        known = np.append(values, 0.0)
        found: FloatArray = values - 0.5 * (known[self.parents[:, 0]] + known[self.parents[:, 1]])
        return found

    def handed_back(self, parts: FloatArray) -> FloatArray:
        """(I - P)' m: each animal's own part less half of every young's, shape (n,)."""
        found = np.array(parts, dtype=np.float64)
        for parents in self.parents.T:
            known = parents >= 0
            found -= 0.5 * sums(parents[known], parts[known], self.n)
        return found


def sums(index: IndexArray | PlaceArray, values: FloatArray, n: int) -> FloatArray:
    """Sum of the values of each index, shape (n,)."""
    found: FloatArray = np.bincount(index, values, minlength=n).astype(np.float64, copy=False)
    return found


def _check(model: AnimalModel) -> None:
    """Every fault of the parents and the records, raised together."""
    breeds = np.zeros((2, model.n + 1), dtype=np.bool_)
    for sex, column in zip(breeds, model.parents.T, strict=True):
        sex[column] = True  # -1 falls on the last
    faults = []
    if (breeds[0, :-1] & breeds[1, :-1]).any():
        faults.append(
            Fault(
                "SIZ-220",
                "An animal stands both as a sire and as a dam.",
                "Correct the parents; the dense model takes such animals as they are.",
                field="parents",
            )
        )
    lengths = {len(model.animals), len(model.groups), len(model.values), len(model.weights)}
    if lengths != {len(model.animals)} or not len(model.values):
        faults.append(
            _record_fault("Animals, groups, values and weights of the records differ in number, or are none.")
        )
    elif not 0 <= model.animals.min() <= model.animals.max() < model.n:
        faults.append(_record_fault("A record names an animal that the pedigree does not have."))
    elif model.groups.min() < 0 or not np.bincount(model.groups).all():
        faults.append(_record_fault("A group number is negative, or has no record."))
    elif not np.isfinite(model.values).all() or not (np.isfinite(model.weights) & (model.weights > 0.0)).all():
        faults.append(_record_fault("A value is no number, or a weight is not above 0."))
    if faults:
        raise SizeError(faults)


def _record_fault(what: str) -> Fault:
    return Fault(
        "SIZ-222", what, "Number animals and groups from 0 and leave out what was not measured.", field="records"
    )
