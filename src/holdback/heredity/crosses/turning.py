"""What a chance turns on: the fact about a parent without which the wanted young cannot come."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from holdback.heredity.crosses.gametes import ParentState
from holdback.heredity.crosses.result import TurnsOn
from holdback.heredity.crosses.young import Cross, Part
from holdback.heredity.frequency import in_words
from holdback.species.model import WILD, Pair

Row = tuple[float, tuple[ParentState, ...], tuple[ParentState, ...], float]
"""Probability, state of the sire, state of the dam, chance per egg."""

_SLIGHT = 1e-12
_SURE = 0.995
"""Chance from which a fact counts as sure: records may err, so none that rests on them is ever quite certain."""


def turning_facts(
    cross: Cross, part: Part, wanted: Mapping[str, frozenset[Pair]], rows: Sequence[Row]
) -> list[TurnsOn]:
    """Facts about either parent at a part that decide whether the target can come.

    Parameters
    ----------
    cross : Cross
        The pair.
    part : Part
        Loci looked at together.
    wanted : mapping of str to frozenset of Pair
        Wish at the loci of the part.
    rows : sequence of Row
        Joint states of the parents.

    Returns
    -------
    list of TurnsOn
        At most one for each parent and wanted locus; the chance per egg is filled in by the caller.
    """
    facts = []
    for parent in (0, 1):
        weights: dict[tuple[Pair, ...], float] = {}
        best: dict[tuple[Pair, ...], float] = {}
        for weight, sire, dam, chance in rows:
            pairs = tuple(alleles for state in (sire, dam)[parent] for alleles in state.pairs)
            weights[pairs] = weights.get(pairs, 0.0) + weight
            best[pairs] = max(best.get(pairs, 0.0), chance)
        good = [pairs for pairs, chance in best.items() if chance > 0.0]
        bad = [pairs for pairs, chance in best.items() if chance <= 0.0]
        if not good or not bad:
            continue
        loci = [locus for group in part.groups for locus in group.loci]
        for index, locus in enumerate(loci):
            needed = _needed_allele(cross, wanted.get(locus, frozenset()), index, good, bad)
            if needed:
                carries = sum(weight for pairs, weight in weights.items() if needed in pairs[index])
                if _SLIGHT < carries < _SURE:
                    name = cross.catalogue.alleles[needed].name
                    facts.append(TurnsOn(("sire", "dam")[parent], locus, name, carries, 0.0))
    return facts


def _needed_allele(
    cross: Cross,
    accepted: frozenset[Pair],
    index: int,
    good: Sequence[tuple[Pair, ...]],
    bad: Sequence[tuple[Pair, ...]],
) -> str:
    """Allele that every state which can give the target carries and some other state lacks; empty for none."""
    for allele in cross.catalogue.alleles:
        if allele == WILD or not any(allele in alleles for alleles in accepted):
            continue
        if all(allele in pairs[index] for pairs in good) and any(allele not in pairs[index] for pairs in bad):
            return str(allele)
    return ""


def either_or(facts: Sequence[TurnsOn], possible: float, eggs_for_95: int | None, unit: str) -> str:
    """Sentence that says what a chance turns on.

    Parameters
    ----------
    facts : sequence of TurnsOn
        Facts that decide.
    possible : float
        Chance that the target can come at all.
    eggs_for_95 : int or None
        Number needed for 95 % where it can.
    unit : str
        What is counted.

    Returns
    -------
    str
        Empty where nothing is in doubt.

    Examples
    --------
    >>> either_or([TurnsOn("dam", "clown", "Clown", 0.5, 0.5)], 0.5, 5, "eggs")
    'If the dam carries Clown (1 in 2), 5 eggs give 95 %; if not, none will do.'
    """
    if possible >= _SURE or possible <= 0.0:
        return ""
    needed = f"{eggs_for_95:,} {unit} give 95 %" if eggs_for_95 is not None else "it can come"
    if eggs_for_95 == 1:
        needed = f"1 {unit.removesuffix('s')} gives 95 %"
    if not facts:
        chance = in_words(min(possible, 1.0), of="")
        return f"The parents can give it in {chance} of the cases; then {needed}; else none will do."
    said = " and ".join(f"the {fact.parent} carries {fact.gene} ({in_words(fact.chance, of='')})" for fact in facts)
    sentence = f"If {said}, {needed}; if not, none will do."
    if math.isclose(math.prod(fact.chance for fact in facts), possible, rel_tol=1.0 - _SURE):
        return sentence
    # related parents: the facts go together more, or less, often than their chances multiplied
    return f"{sentence} The parents can give it in {in_words(min(possible, 1.0), of='')} of the cases."
