"""Genotype beliefs taken apart into the statements that trade text can make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from holdback.errors import Fault, ShorthandError
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand.belief import pairs_of
from holdback.heredity.shorthand.reading import Copies, ReadGene
from holdback.heredity.shorthand.tokens import is_recessive
from holdback.species.model import WILD, Allele, Pair

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_ROUNDING = 1e-12
"""Bound on rounding when the statements are multiplied out again."""


def genes_of(belief: GenotypeBelief, catalogue: Catalogue) -> tuple[ReadGene, ...]:
    """One statement per allele that say the same as the beliefs.

    Parameters
    ----------
    belief : GenotypeBelief
        Probabilities over pairs.
    catalogue : Catalogue
        Species.

    Raises
    ------
    ShorthandError
        SHO-301 for each locus whose probabilities no statements of the trade give, all together.
    """
    genes: list[ReadGene] = []
    faults: list[Fault] = []
    for locus, pairs in belief.loci.items():
        statements = _statements(locus, pairs, belief, catalogue)
        if statements is None:
            what = f"No trade notation says the chances at {catalogue.loci[locus].name}."
            faults.append(Fault("SHO-301", what, "Give them as numbers beside the text.", field=locus))
        else:
            genes.extend(statements)
    if faults:
        raise ShorthandError(faults)
    return tuple(genes)


def _statements(
    locus: str, pairs: Mapping[Pair, float], belief: GenotypeBelief, catalogue: Catalogue
) -> list[ReadGene] | None:
    """Statements on one locus; None if there are none that say it."""
    likely = {alleles: chance for alleles, chance in pairs.items() if chance > 0}
    keys = sorted({key for alleles in likely for key in alleles if key != WILD})
    phase = belief.phase.get(locus, 0.5)
    if phase not in (0.0, 0.5, 1.0) or (phase != 0.5 and len(keys) != 1):
        return None
    maker = {0.0: "female maker", 1.0: "male maker"}.get(phase, "")
    found = []
    for key in keys:
        copies = belief.copies(locus, key)
        gene = _statement(catalogue.alleles[key], copies, is_alone=len(keys) == 1, maker=maker)
        if gene is None:
            return None
        found.append(gene)
    again = pairs_of(found, catalogue) if found else {(WILD, WILD): 1.0}
    same = all(abs(again.get(each, 0.0) - likely.get(each, 0.0)) <= _ROUNDING for each in {*again, *likely})
    return found if same else None


def _statement(allele: Allele, copies: Copies, *, is_alone: bool, maker: str) -> ReadGene | None:
    none, one, two = copies
    shown: bool | None
    if two == 1 or (one == 1 and not (is_recessive(allele) and is_alone)):
        shown = True
    elif two == 0:
        shown = False if is_recessive(allele) else None
    elif none == 0 and not is_recessive(allele):
        shown = True
    else:
        return None
    return ReadGene(allele.key, allele.name, copies, shown, "belief", "", locus=allele.locus, maker=maker)
