"""Statements on single genes that count: on each allele the latest that was seen and the latest that is claimed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from holdback.collection.model import GeneStatement, StatementKind
from holdback.species.catalogue import Catalogue
from holdback.species.model import Allele

_CERTAIN = 1.0 - 1e-6
_TESTED = re.compile(r"(?<!not )(?<!never )\b(prov(en|ed)|test(s|ed)?|lab(oratory)?)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Told:
    """A statement with the allele that it names.

    Parameters
    ----------
    allele : str
        Standing allele key.
    name : str
        Trade name of the allele as stated.
    locus : str
        Locus key.
    number : int
        Place among the animal's statements.
    statement : GeneStatement
        What was seen or said.
    """

    allele: str
    name: str
    locus: str
    number: int
    statement: GeneStatement

    @property
    def is_seen(self) -> bool:
        """Whether somebody saw it or looked for it."""
        return self.statement.kind is StatementKind.SEEN

    @property
    def is_absent(self) -> bool:
        """Whether the animal is said to have none of it, or not to show it."""
        return self.statement.none >= _CERTAIN

    @property
    def is_tested(self) -> bool:
        """Whether the ground is a test or a proof by breeding."""
        return bool(_TESTED.search(self.statement.ground))

    @property
    def copies(self) -> tuple[float, float, float]:
        """Chances of no, one and two copies."""
        return self.statement.none, self.statement.one, self.statement.two


def told_of(statements: Sequence[GeneStatement], catalogue: Catalogue) -> tuple[Told, ...]:
    """Statements that count, on each allele and of each kind the latest; one without a date is older than all others.

    Parameters
    ----------
    statements : sequence of GeneStatement
        All on one animal, in the order recorded; of two of one day the later recorded counts.
    catalogue : Catalogue
        Its species; a gene that it does not know is passed over.
    """
    latest: dict[tuple[str, StatementKind], Told] = {}
    for number, one in sorted(enumerate(statements), key=lambda each: str(each[1].date or "")):
        allele = catalogue.alleles.get(one.gene) or catalogue.find(one.gene)
        if isinstance(allele, Allele):
            standing = catalogue.stands_for(allele.key)
            latest[standing, one.kind] = Told(standing, allele.name, allele.locus, number, one)
    return tuple(sorted(latest.values(), key=lambda told: told.number))
