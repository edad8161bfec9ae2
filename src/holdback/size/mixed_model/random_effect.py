"""Random effects whose variances are to be estimated.

One effect is a vector for each level (an intercept; an intercept and a slope; a direct and a maternal value) with a
covariance G0 between its parts, and a known relationship A between levels: covariance G0 kron A.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from holdback.descent.kinship import relationship as relationship_of
from holdback.descent.pedigree import Pedigree
from holdback.size.mixed_model.records import incidence

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class RandomEffect:
    """A random effect of one part or several.

    Parameters
    ----------
    name : str
        By which it is asked for.
    designs : tuple of float array, each of shape (n_records, n_levels)
        How each part enters the records.
    relationship : float array, shape (n_levels, n_levels), optional
        Covariance of levels up to the variances; None for independent levels. It may be singular.

    Examples
    --------
    >>> import numpy as np
    >>> RandomEffect.of_levels("cage", ["a", "b", "a"], covariates=np.array([[1.0], [2.0], [3.0]])).designs[1].tolist()
    [[1.0, 0.0], [0.0, 2.0], [3.0, 0.0]]
    """

    name: str
    designs: tuple[FloatArray, ...]
    relationship: FloatArray | None = None

    @classmethod
    def of_levels(cls, name: str, levels: Sequence[Hashable], covariates: FloatArray | None = None) -> RandomEffect:
        """An intercept for each level, and a slope on each covariate.

        Parameters
        ----------
        name : str
            As above.
        levels : sequence, length n_records
            Level of each record; numbered as they come first.
        covariates : float array, shape (n_records, k), optional
            What there are slopes on.
        """
        numbers: dict[Hashable, int] = {}
        places = np.array([numbers.setdefault(level, len(numbers)) for level in levels])
        intercepts = incidence(places, len(numbers))
        slopes = [] if covariates is None else [intercepts * column[:, None] for column in covariates.T]
        return cls(name, (intercepts, *slopes))

    @classmethod
    def of_animals(cls, name: str, pedigree: Pedigree, animals: IntArray) -> RandomEffect:
        """Breeding values of the nodes that records are of.

        Parameters
        ----------
        name : str
            As above.
        pedigree : Pedigree
            With any kind of node.
        animals : int array, shape (n_records,)
            Node of each record; levels are the nodes with a record, in pedigree order.
        """
        nodes, places = np.unique(animals, return_inverse=True)
        table = relationship_of(pedigree)[np.ix_(nodes, nodes)]
        return cls(name, (incidence(places, len(nodes)),), table)

    @property
    def n_parts(self) -> int:
        """Number of parts of a level."""
        return len(self.designs)

    @property
    def n_levels(self) -> int:
        """Number of levels."""
        return int(self.designs[0].shape[1])

    def related(self, values: FloatArray) -> FloatArray:
        """A x, shape of x, (n_levels,) or (n_levels, k)."""
        return values if self.relationship is None else self.relationship @ values
