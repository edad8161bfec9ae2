"""The whole answer of a cross, from its possible pairs of parents."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from holdback.heredity.crosses.cautions import cautions
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.crosses.outcomes import list_outcomes, n_looks, totals
from holdback.heredity.crosses.pair_looks import HiddenGenes, Looks
from holdback.heredity.crosses.result import Caution, Odds
from holdback.heredity.crosses.wanted import want_odds, wanted_states
from holdback.heredity.crosses.young import Cross
from holdback.heredity.genotype import Wish

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

_ROUNDED = "The parents may be so many things that chances of a clutch are told to seven figures only."


def answer(
    crosses: Sequence[tuple[float, Cross]],
    catalogue: Catalogue,
    *,
    eggs: EggCount | None,
    want: Wish | None,
    top: int,
    notes: Sequence[Caution],
    of_parents: Sequence[str],
    same_animals: bool,
) -> Odds:
    """Everything that a cross answers.

    Parameters
    ----------
    crosses : sequence of (float, Cross)
        Possible pairs with their probabilities, which sum to 1; none is 0.
    catalogue, eggs, want, top
        As in `odds`.
    notes : sequence of Caution
        Said after all other cautions.
    of_parents : sequence of str
        What was taken for granted of the parents.
    same_animals : bool
        Whether all pairs are the same two animals, with the same loci in play.

    Returns
    -------
    Odds
        Chances per egg are weighted sums; those of a clutch mix over the pairs.
    """
    hidden: HiddenGenes = {}
    scenarios = [(weight, Looks(cross, hidden)) for weight, cross in crosses]
    by_sex = any(cross.by_sex for _, cross in crosses)
    clutch = eggs if eggs is not None else EggCount.from_species(catalogue)
    outcomes = list_outcomes(scenarios, catalogue, by_sex=by_sex, top=top)
    hatching, living = totals(scenarios)
    listed = math.fsum(outcome.probability for outcome in outcomes)
    wanted = [] if want is None else [(weight, wanted_states(cross, want)) for weight, cross in crosses]
    exact = all(found.exact for _, found in wanted)
    unlisted = hatching - listed
    return Odds(
        outcomes=outcomes,
        listed=listed,
        unlisted=unlisted if unlisted > 1e-15 else 0.0,
        lost=1.0 - hatching if hatching < 1.0 - 1e-15 else 0.0,
        lost_after_hatching=hatching - living if hatching - living > 1e-15 else 0.0,
        want=None if want is None else want_odds(wanted, want, clutch, same_animals=same_animals),
        cautions=(*cautions(crosses, _tiny(1.0 - hatching), _tiny(hatching - living)), *notes),
        exact=exact,
        assumptions=_assumptions(crosses, clutch, want, of_parents) + (() if exact else (_ROUNDED,)),
        by_sex=by_sex,
        eggs=clutch,
        n_looks=n_looks(scenarios, same_loci=same_animals) * (2 if by_sex else 1),
    )


def _tiny(chance: float) -> float:
    """Chance with rounding cleared away."""
    return chance if chance > 1e-12 else 0.0


def _any_death(crosses: Sequence[tuple[float, Cross]]) -> bool:
    """Whether any young may die of its genes."""
    return any(not part.all_live for _, cross in crosses for part in cross.parts)


def _assumptions(
    crosses: Sequence[tuple[float, Cross]], eggs: EggCount, want: Wish | None, of_parents: Sequence[str]
) -> tuple[str, ...]:
    """What was taken for granted."""
    said = ["Genes not named are taken as wild type in both parents.", *of_parents]
    if _any_death(crosses):
        said.append("Deaths are worked out from the species file's chances, whatever the incubation.")
    if want is not None:
        said.append("Sons and daughters are taken as equally likely.")
        if eggs.ground:
            said.append(f"Clutch counted on: {eggs.ground}.")
    return tuple(said)
