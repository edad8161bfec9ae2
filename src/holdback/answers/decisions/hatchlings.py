"""Hatchlings of a collection as they are weighed against each other: which are here, and what is known of each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from holdback.answers.carried import CarriedGene, carried
from holdback.answers.decisions.readiness import Readiness
from holdback.collection.model import Animal, Sex
from holdback.decisions.holdbacks import Candidate
from holdback.errors import DecisionError, Fault
from holdback.season.cycles import is_gone
from holdback.species.model import Inheritance

if TYPE_CHECKING:
    from holdback.answers.decisions.decisions import Decisions
    from holdback.size.evaluation import Hatchling

SETTLED = 0.98
"""Chance from which a number of copies is said plainly."""
_SURE = 0.995
"""Chance from which a gene is said plainly: no record is beyond error."""
_WORTH_SAYING = 0.05
_LIKELY = 0.5
"""Chance from which a burden on welfare is spoken of."""
_LIGHT = frozenset({"eyes", "hatchling vigour", "husbandry"})
"""Kinds of statements that are no burden."""
LATELY_DAYS = 365
"""Days after hatching for which young are among those to choose from."""


def clutches_to_choose_from(decisions: Decisions) -> tuple[str, ...]:
    """Clutches hatched within a year of which young are here, the last hatched first."""
    season = decisions.season
    found = []
    for name, clutch in season.collection.clutches.items():
        hatched = clutch.hatched
        if hatched is not None and 0 <= (season.on - hatched.earliest).days <= LATELY_DAYS and _young(decisions, name):
            found.append((hatched.earliest, name))
    return tuple(name for _, name in sorted(found, key=lambda one: (one[0], one[1]), reverse=True))


def candidates_of(decisions: Decisions, clutches: Sequence[str]) -> tuple[Candidate, ...]:
    """Young of some clutches that are here.

    Parameters
    ----------
    decisions : Decisions
        The day and the records.
    clutches : sequence of str
        Clutch ids; those of the last year where there are none.

    Raises
    ------
    DecisionError
        DEC-090 if none of them has young here, DEC-094 for each that is no clutch.
    """
    known = decisions.season.collection.clutches
    faults = [
        Fault("DEC-094", f"There is no clutch {name!r}.", "Give the id of a clutch on record.", value=name)
        for name in clutches
        if name not in known
    ]
    if faults:
        raise DecisionError(faults)
    asked = tuple(dict.fromkeys(clutches)) or clutches_to_choose_from(decisions)
    young = [animal for name in asked for animal in _young(decisions, name)]
    if not young:
        what = f"No young of {', '.join(asked)} are here." if asked else "No clutch of the last year has young here."
        raise DecisionError(Fault("DEC-090", what, "Name a clutch that has hatched."))
    unfed = {plan.animal for plan in decisions.season.meals if plan.last_taken is None}
    return tuple(_candidate(decisions, animal, has_fed=animal.id not in unfed) for animal in young)


def _young(decisions: Decisions, clutch: str) -> list[Animal]:
    collection = decisions.season.collection
    before = decisions.season.on + dt.timedelta(days=1)
    return [
        animal
        for animal in collection.animals.values()
        if animal.clutch == clutch
        and animal.id not in collection.died_in_egg
        and not is_gone(collection, animal.id, before)
    ]


def _candidate(decisions: Decisions, animal: Animal, *, has_fed: bool) -> Candidate:
    answers, season = decisions.answers, decisions.season
    genes = carried(answers, animal.id)
    ready = Readiness(season.on, season.catalogue, {}, answers.sizes.evaluation)
    return Candidate(
        animal.id,
        clutch=animal.clutch or "",
        female={Sex.FEMALE: 1.0, Sex.MALE: 0.0}.get(animal.sex, 0.5),
        male_ready=ready.of(replace(animal, sex=Sex.MALE))[0],
        female_ready=ready.of(replace(animal, sex=Sex.FEMALE))[0],
        shows=" ".join(_shown(decisions, genes)) or "Normal",
        carries=", ".join(_hidden(decisions, genes)),
        belief=answers.genes(animal.id).belief,
        parents=_parents(decisions, animal),
        size=_size(decisions, animal),
        flags=tuple(_flags(decisions, genes)),
        troubles=() if has_fed else ("No meal on record yet: not to be sold before it feeds.",),
    )


def _shown(decisions: Decisions, genes: Sequence[CarriedGene]) -> Iterator[str]:
    """Genes that are seen, or that can hardly be absent."""
    for gene in genes:
        is_hidden = decisions.catalogue.alleles[gene.allele].inheritance is Inheritance.RECESSIVE
        if gene.copies[2] >= SETTLED:
            yield gene.name if is_hidden else f"Super {gene.name}"
        elif not is_hidden and gene.chance >= _SURE:
            yield gene.name


def _hidden(decisions: Decisions, genes: Sequence[CarriedGene]) -> Iterator[str]:
    """Genes carried unseen, and those of which nobody can be sure."""
    for gene in genes:
        is_hidden = decisions.catalogue.alleles[gene.allele].inheritance is Inheritance.RECESSIVE
        if gene.copies[2] >= SETTLED or gene.chance < _WORTH_SAYING or (not is_hidden and gene.chance >= _SURE):
            continue
        yield f"{gene.name} (sure)" if gene.chance >= _SURE else f"{gene.name} ({100 * gene.chance:.0f} in 100)"


def _flags(decisions: Decisions, genes: Sequence[CarriedGene]) -> Iterator[str]:
    for gene in genes:
        for flag in decisions.catalogue.alleles[gene.allele].flags:
            chance = gene.chance if flag.copies == 1 else gene.copies[2]
            if chance >= _LIKELY and flag.kind not in _LIGHT:
                yield f"{gene.name}: {flag.text}"


def _parents(decisions: Decisions, animal: Animal) -> str:
    """Parents in words; several possible sires are all named."""
    names = decisions.stock.names
    collection = decisions.season.collection
    clutch = collection.clutches.get(animal.clutch or "")
    sires = [
        one.animal for one in (animal.sires or (clutch.sires if clutch else ())) if one.animal in collection.animals
    ]
    dam = animal.dam or (clutch.dam if clutch else None)
    told = [" or ".join(names.get(one, one) for one in sires), names.get(dam, dam) if dam else ""]
    return " with ".join(part for part in told if part)


def _size(decisions: Decisions, animal: Animal) -> Hatchling | None:
    mates = decisions.answers.sizes.evaluation.clutches
    if animal.clutch is None or animal.clutch not in mates:
        return None
    return next((one for one in mates[animal.clutch] if one.animal == animal.id and one.hatch_mass_g is not None), None)
