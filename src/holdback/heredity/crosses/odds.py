"""What will come out of a pair: the exact distribution of the young.

Each parent is a probability over genotypes. Loci fall into independent parts (see `young`); looks are listed lazily
(see `outcomes`); what is wanted is mixed over the parents' states (see `wanted`).
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.errors import CrossError, Fault
from holdback.heredity.crosses.cautions import cautions
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.crosses.looks import LookBook
from holdback.heredity.crosses.outcomes import Looks, list_outcomes, totals
from holdback.heredity.crosses.result import Caution, Odds
from holdback.heredity.crosses.wanted import want_odds, wanted_states
from holdback.heredity.crosses.young import Cross
from holdback.heredity.genotype import GenotypeBelief, Wish

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

Beliefs = tuple[GenotypeBelief, GenotypeBelief]
"""A sire and a dam."""

_Settled = tuple[GenotypeBelief, GenotypeBelief, tuple[Caution, ...]]

_ROUNDED = "The parents may be so many things that chances of a clutch are told to seven figures only."

_SUM_SLACK = 1e-6
_OTHER = {Sex.MALE: Sex.FEMALE, Sex.FEMALE: Sex.MALE, Sex.UNKNOWN: Sex.UNKNOWN}


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
    settled = [(weight, *_with_sexes(sire, dam)) for weight, sire, dam in pairs]
    _check(settled, catalogue, want, top, r or {})
    book = LookBook(catalogue)
    crosses = [
        (weight, Cross(sire, dam, catalogue, r=r, book=book)) for weight, sire, dam, _ in settled if weight > 0.0
    ]
    scenarios = [(weight, Looks(cross)) for weight, cross in crosses]
    by_sex = any(cross.by_sex for _, cross in crosses)
    clutch = eggs if eggs is not None else EggCount.from_species(catalogue)
    outcomes = list_outcomes(scenarios, catalogue, by_sex=by_sex, top=top)
    hatching, living = totals(scenarios)
    listed = math.fsum(outcome.probability for outcome in outcomes)
    n_looks = sum(looks.n_looks for _, looks in scenarios) * (2 if by_sex else 1)
    wanted = None if want is None else [(weight, wanted_states(cross, want)) for weight, cross in crosses]
    exact = wanted is None or all(found.exact for _, found in wanted)
    notes = {note.code: note for *_, found in settled for note in found}
    unlisted = hatching - listed
    return Odds(
        outcomes=outcomes,
        listed=listed,
        unlisted=unlisted if unlisted > 1e-15 else 0.0,
        lost=1.0 - hatching if hatching < 1.0 - 1e-15 else 0.0,
        lost_after_hatching=hatching - living if hatching - living > 1e-15 else 0.0,
        want=None if wanted is None or want is None else want_odds(wanted, want, clutch),
        cautions=(*cautions(crosses, _tiny(1.0 - hatching), _tiny(hatching - living)), *notes.values()),
        exact=exact,
        assumptions=_assumptions(crosses, clutch, want) + (() if exact else (_ROUNDED,)),
        by_sex=by_sex,
        eggs=clutch,
        n_looks=n_looks,
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


def _tiny(chance: float) -> float:
    """Chance with rounding cleared away."""
    return chance if chance > 1e-12 else 0.0


def _with_sexes(sire: GenotypeBelief, dam: GenotypeBelief) -> _Settled:
    """Parents with their sexes filled in, the male first, and what has to be said about it."""
    if sire.sex is not Sex.UNKNOWN and sire.sex is dam.sex:
        return sire, dam, ()  # refused by the check
    notes = []
    if sire.sex is Sex.FEMALE or dam.sex is Sex.MALE:
        sire, dam = dam, sire
        notes.append(Caution("swapped", "note", "The first of the two is the female; she is taken as the dam."))
    if Sex.UNKNOWN in (sire.sex, dam.sex):
        message = "A sex is not recorded; it is taken to fit the pairing. Sex it before you pair."
        notes.append(Caution("sex-unknown", "note", message))
    return dataclasses.replace(sire, sex=Sex.MALE), dataclasses.replace(dam, sex=Sex.FEMALE), tuple(notes)


def _check(
    pairs: Sequence[tuple[float, GenotypeBelief, GenotypeBelief, tuple[Caution, ...]]],
    catalogue: Catalogue,
    want: Wish | None,
    top: int,
    r: Mapping[str, float],
) -> None:
    """Refuse what cannot be crossed, all faults together."""
    faults: list[Fault] = []
    for _, sire, dam, _ in pairs:
        if sire.sex is dam.sex:
            what = f"both animals are {sire.sex.value}s, so no young can come of them."
            faults.append(Fault("CRS-001", what, "Choose a male and a female, or mend the sex in the record."))
        for role, parent in (("sire", sire), ("dam", dam)):
            faults.extend(_belief_faults(role, parent, catalogue))
    if not math.isclose(math.fsum(weight for weight, *_ in pairs), 1.0, abs_tol=_SUM_SLACK):
        faults.append(Fault("CRS-005", "the weights of the possible pairs do not sum to 1.", "Weigh every candidate."))
    if top < 1:
        faults.append(Fault("CRS-008", f"cannot list {top} looks.", "Ask for 1 or more.", field="top", value=str(top)))
    for locus in want.loci if want else ():
        if locus not in catalogue.loci:
            faults.append(Fault("CRS-002", f"{locus!r} is no gene of {catalogue.name}.", "Add it first.", field="want"))
    for locus, value in r.items():
        if not 0.0 <= value <= 0.5:
            what = f"recombination {value} lies outside 0 to 0.5."
            faults.append(Fault("CRS-009", what, "Give a fraction from 0 to 0.5.", field=locus, value=str(value)))
    if faults:
        raise CrossError(faults)


def _belief_faults(role: str, parent: GenotypeBelief, catalogue: Catalogue) -> list[Fault]:
    """What is wrong with one parent."""
    faults = []
    for locus, belief in parent.loci.items():
        if locus not in catalogue.loci:
            faults.append(Fault("CRS-002", f"{locus!r} is no gene of {catalogue.name}.", "Add it first.", field=role))
            continue
        known = {"+", *catalogue.loci[locus].alleles}
        for allele in sorted({allele for alleles in belief for allele in alleles} - known):
            what = f"{allele!r} is no allele of {catalogue.loci[locus].name}."
            faults.append(Fault("CRS-003", what, "Name one of its alleles.", field=role, value=allele))
        total = math.fsum(belief.values())
        if abs(total - 1.0) > _SUM_SLACK or min(belief.values(), default=0.0) < 0.0:
            what = f"the chances of its genotypes at {catalogue.loci[locus].name} sum to {total:g}, not to 1."
            faults.append(Fault("CRS-004", what, "Mend the belief.", field=role))
    return faults


def _any_death(crosses: Sequence[tuple[float, Cross]]) -> bool:
    """Whether any young may die of its genes."""
    return any(not part.all_live for _, cross in crosses for part in cross.parts)


def _assumptions(crosses: Sequence[tuple[float, Cross]], eggs: EggCount, want: Wish | None) -> tuple[str, ...]:
    """What was taken for granted."""
    said = ["Genes not named are taken as wild type in both parents."]
    if any(len(states) > 1 for _, cross in crosses for parent in cross.states() for states in parent):
        said.append("What one parent may carry is taken as independent of what the other may carry.")
    if len(crosses) > 1:
        said.append("A clutch is taken to have one sire, whichever of the candidates he is.")
    if _any_death(crosses):
        said.append("Deaths are worked out from the species file's chances, whatever the incubation.")
    if want is not None:
        said.append("Sons and daughters are taken as equally likely.")
        if eggs.ground:
            said.append(f"Clutch counted on: {eggs.ground}.")
    return tuple(said)
