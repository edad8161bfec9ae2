"""What is known of one animal's genes, with the reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.heredity.genotype import GenotypeBelief

if TYPE_CHECKING:
    from holdback.answers.grounds import Grounds
    from holdback.heredity.shorthand import Reading


@dataclass(frozen=True)
class KnownGenes:
    """What one animal carries by all records together.

    Parameters
    ----------
    belief : GenotypeBelief
        Probabilities at every locus where there is something to tell.
    reading : Reading
        The animal's own gene text as read.
    reasons : mapping of str to Grounds
        Locus key to the records that moved the belief.
    exact : bool
        False where the chances are estimates with an error.
    standard_error : float
        Largest standard error of a chance; 0 where exact.
    """

    belief: GenotypeBelief
    reading: Reading
    reasons: Mapping[str, Grounds]
    exact: bool = True
    standard_error: float = 0.0

    @cached_property
    def grounds(self) -> Mapping[str, str]:
        """Locus key to one sentence that says why."""
        return {locus: reason.sentence for locus, reason in self.reasons.items()}
