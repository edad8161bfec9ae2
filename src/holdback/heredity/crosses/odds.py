"""What will come out of a pair: the exact distribution of the young.

Each parent is a probability over genotypes. Loci fall into independent parts (see `young`); looks are listed lazily
(see `pair_looks` and `outcomes`); what is wanted is mixed over the parents' states (see `wanted`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from holdback.heredity.crosses.answering import answer
from holdback.heredity.crosses.checks import check, with_sexes
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.crosses.looks import LookBook
from holdback.heredity.crosses.result import Odds
from holdback.heredity.crosses.young import Cross
from holdback.heredity.genotype import GenotypeBelief, Wish

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_INDEPENDENT = "What one parent may carry is taken as independent of what the other may carry."
_ONE_SIRE = "A clutch is taken to have one sire, whichever of the candidates he is."


def odds(
    sire: GenotypeBelief,
    dam: GenotypeBelief,
    catalogue: Catalogue,
    *,
    eggs: EggCount | None = None,
    want: Wish | None = None,
    top: int = 16,
    r: Mapping[str, float] | None = None,
) -> Odds:
    """What comes out of one pair.

    Parameters
    ----------
    sire, dam : GenotypeBelief
        What is known of each; loci not listed are wild type.
    catalogue : Catalogue
        Species.
    eggs : EggCount, optional
        Clutch counted on; the species' own distribution if left out.
    want : Wish, optional
        What is wanted of the young.
    top : int
        How many looks to list, at least 1.
    r : mapping of str to float, optional
        Recombination with the sex-determining region, by locus key, instead of the species' values.

    Returns
    -------
    Odds
        Looks, remainder, losses, chance of what is wanted, cautions and assumptions.

    Raises
    ------
    CrossError
        If both are of one sex, a locus or allele is not of the species, or probabilities do not sum to 1; all faults
        at once.

    Notes
    -----
    Exact for any number of loci. Beliefs of the two parents, and of different loci of one parent, are taken as
    independent; what a parent may be is mixed over, never averaged, wherever an answer is not linear in it. Cost: one
    small table a part, then about two microseconds a look listed.
    """
    return odds_mixture([(1.0, sire, dam)], catalogue, eggs=eggs, want=want, top=top, r=r)


def odds_mixture(
    pairs: Sequence[tuple[float, GenotypeBelief, GenotypeBelief]],
    catalogue: Catalogue,
    *,
    eggs: EggCount | None = None,
    want: Wish | None = None,
    top: int = 16,
    r: Mapping[str, float] | None = None,
) -> Odds:
    """What comes out where it is not sure who the parents are.

    Parameters
    ----------
    pairs : sequence of (float, GenotypeBelief, GenotypeBelief)
        Probability, sire and dam of each possible pair; probabilities sum to 1.
    catalogue, eggs, want, top, r
        As in `odds`.

    Returns
    -------
    Odds
        Chances per egg are weighted sums; a clutch is taken to have one sire, so chances of a clutch mix over the
        pairs.

    Raises
    ------
    CrossError
        As in `odds`, and if the probabilities do not sum to 1.
    """
    settled = [with_sexes(sire, dam) for _, sire, dam in pairs]
    check(settled, catalogue, weights=[weight for weight, *_ in pairs], want=want, top=top, r=r)
    book = LookBook(catalogue)
    crosses = [
        (weight, Cross(sire, dam, catalogue, r=r, book=book))
        for (weight, *_), (sire, dam, _) in zip(pairs, settled, strict=True)
        if weight > 0.0
    ]
    of_parents = [_INDEPENDENT] if any(cross.in_doubt for _, cross in crosses) else []
    if len(crosses) > 1:
        of_parents.append(_ONE_SIRE)
    return answer(
        crosses,
        catalogue,
        eggs=eggs,
        want=want,
        top=top,
        notes=tuple({note.code: note for *_, found in settled for note in found}.values()),
        of_parents=of_parents,
        same_animals=len(crosses) == 1,
    )


def spread_over_r(
    sire: GenotypeBelief, dam: GenotypeBelief, catalogue: Catalogue, want: Wish
) -> Mapping[str, tuple[float, float, float]]:
    """Chance per egg of a wish at the low end, the value and the high end of each recombination that is not known well.

    Parameters
    ----------
    sire, dam, catalogue, want
        As in `odds`.

    Returns
    -------
    mapping of str to (float, float, float)
        Sex-linked locus key, where either parent carries anything, to the chances; one r is moved at a time.
    """
    spread = {}
    for locus in catalogue.loci.values():
        if locus.sex_linkage is None or not (locus.key in sire.loci or locus.key in dam.loci):
            continue
        ends = (locus.sex_linkage.r.low, locus.sex_linkage.r.value, locus.sex_linkage.r.high)
        found = [
            answer.want.per_egg if answer.want else 0.0
            for answer in (
                odds(sire, dam, catalogue, want=want, top=1, eggs=EggCount.fixed(1), r={locus.key: end}) for end in ends
            )
        ]
        spread[locus.key] = (found[0], found[1], found[2])
    return spread
