"""What speaks against planning a pairing: who the two are, what is planned already, kin, readiness, welfare."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.collection.projects import FIRST_YEAR, LAST_YEAR, PairingState, ProjectState
from holdback.collection.status import is_here
from holdback.decisions.goal import Goal
from holdback.decisions.welfare import PairWelfare, unspoken
from holdback.errors import Fault
from holdback.season.by_season import season_of
from holdback.web.records.clock import today
from holdback.web.records.models import Animal, PlannedPairing, Project, ProjectAnimal
from holdback.web.records.overlay import catalogue
from holdback.web.records.project_rules import goal_of_row, spoken_for
from holdback.web.records.rules import number_faults
from holdback.web.records.together import pair_faults

if TYPE_CHECKING:
    from holdback.heredity.crosses import Caution

INBREEDING_AT_MOST = 0.125
"""Largest inbreeding coefficient that nobody is asked about where no project says another (an assumption)."""

_SLACK = 1e-9
"""Two pedigrees that give the same coefficient may differ by rounding."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A pairing that is about to be planned.

    Parameters
    ----------
    year : int
        Season, by the year of laying.
    dam, sire : Animal
        The two.
    project : Project or None
        The project that it is for.
    locked : bool
        Whether plans are to leave it as it is.
    """

    year: int
    dam: Animal
    sire: Animal
    project: Project | None = None
    locked: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """What speaks against a pairing.

    Parameters
    ----------
    faults : tuple of Fault
        Everything, questions among it.
    cautions : tuple of Caution
        Cautions that somebody has to speak for, gravest first; their questions are among the faults.
    """

    faults: tuple[Fault, ...]
    cautions: tuple[Caution, ...] = ()


def planning_faults(one: Planned) -> Found:
    """What speaks against a pairing as it is meant.

    Faults are REC-014, REC-017, SEA-040, DEC-121 and DEC-131; questions DEC-124 to DEC-126 and DEC-133, and where
    nothing else stands in the way DEC-127 to DEC-130.
    """
    faults = [*number_faults(one.year, FIRST_YEAR, LAST_YEAR, field="year"), *pair_faults(one.dam, one.sire)]
    if one.project is not None and one.project.state != ProjectState.OPEN.value:
        what, hint = f"{one.project.name} is {one.project.state}.", "Open it again first, or choose another."
        faults.append(Fault("DEC-121", what, hint, field="project", value=one.project.name))
    faults += _past(one)
    if faults or one.dam.removed_at or one.sire.removed_at:
        return Found((*faults, *_here(one)))
    pair = _Pair(one)
    cautions = pair.cautions()
    return Found(
        (*_here(one), *_kept(one), *_planned(one), *pair.kin(), *pair.unfit(), *_welfare(one, cautions)), cautions
    )


def _past(one: Planned) -> Iterator[Fault]:
    """DEC-131 for a season that is over."""
    now = season_of(today(), catalogue(one.dam.species))
    if FIRST_YEAR <= one.year < now:
        what = f"the season of {one.year} is over."
        hint = f"Plan for {now} or later; what was paired goes under Matings."
        yield Fault("DEC-131", what, hint, field="year", value=str(one.year), animal=one.dam.tag)


def _here(one: Planned) -> Iterator[Fault]:
    """DEC-125, a question, for an animal that is dead or elsewhere by its status."""
    for field, animal in (("dam", one.dam), ("sire", one.sire)):
        if animal.removed_at or not is_here(animal.status):
            what = f"{animal.tag} is {animal.status or 'taken out of the records'}."
            yield Fault("DEC-125", what, "Will it be here then?", field=field, value=animal.tag, animal=animal.tag)


def _kept(one: Planned) -> Iterator[Fault]:
    """DEC-124, a question, for an animal that is kept for another project only."""
    kept = ProjectAnimal.objects.filter(role=ProjectAnimal.ONLY, project__state=ProjectState.OPEN.value)
    for field, animal in (("dam", one.dam), ("sire", one.sire)):
        for row in kept.filter(animal=animal).select_related("project"):
            if one.project is None or row.project_id != one.project.pk:
                what = f"{animal.tag} is kept for {row.project.name} only."
                hint = "Let this one have it all the same, or choose another animal."
                yield Fault("DEC-124", what, hint, field=field, value=animal.tag, animal=animal.tag)


def _planned(one: Planned) -> Iterator[Fault]:
    """DEC-126 for another male planned for her that season, DEC-133 for the same two planned for another project."""
    others = PlannedPairing.objects.filter(year=one.year, dam=one.dam).exclude(state=PairingState.DROPPED.value)
    for other in others.select_related("sire", "project"):
        if other.sire_id != one.sire.pk:
            what = f"{other.sire.tag} is planned for {one.dam.tag} in {one.year} already."
            hint = "Are both to be put to her? A clutch of two possible sires is worth less; else drop the other first."
            yield Fault("DEC-126", what, hint, field="sire", value=one.sire.tag, animal=one.dam.tag)
        elif other.project is not None and (one.project is None or other.project_id != one.project.pk):
            what = f"{one.sire.tag} with {one.dam.tag} is planned for {other.project.name} already."
            hint = "Is it to serve this one instead?"
            yield Fault("DEC-133", what, hint, field="project", value=other.project.name, animal=one.dam.tag)


class _Pair:
    """The two as the engine sees them, with all their ancestors."""

    def __init__(self, one: Planned) -> None:
        from holdback.answers import Answers
        from holdback.bridge.around import with_ancestors
        from holdback.bridge.scope import Scope
        from holdback.bridge.snapshot import ids_of, records_of
        from holdback.collection.collection import Collection

        self._one = one
        keys = frozenset({one.dam.pk, one.sire.pk})
        scope = Scope(one.dam.species, with_ancestors(keys), keys)
        ids = ids_of(scope)
        self._dam, self._sire = ids[one.dam.pk], ids[one.sire.pk]
        collection = Collection.from_records(records_of(scope), species=one.dam.species)
        self._answers = Answers(collection, catalogue(one.dam.species))

    def kin(self) -> Iterator[Fault]:
        """DEC-127, a question, where young are inbred beyond the limit; DEC-129 where the pairing is locked, too."""
        one = self._one
        found = self._answers.descent.young(self._sire, self._dam).inbreeding
        most = one.project.inbreeding_at_most if one.project else INBREEDING_AT_MOST
        if found <= most + _SLACK:
            return
        whose = f"{one.project.name} allows" if one.project else "without a project the limit is"
        what = f"young of {one.sire.tag} and {one.dam.tag} are inbred by {found:.1%} on record; {whose} {most:.1%}."
        hint = "Choose a male that is less related, or say that it is right."
        yield Fault("DEC-127", what, hint, field="sire", value=f"{found:.4f}", animal=one.dam.tag)
        if one.locked:
            yield _locked(one, f"it breaks the limit of {most:.1%}")

    def unfit(self) -> Iterator[Fault]:
        """DEC-128, a question, where one of the two should not breed in the season that runs."""
        from holdback.bridge.season import season_of_records
        from holdback.season.outlook import Verdict

        one, day = self._one, today()
        if one.year != season_of(day, catalogue(one.dam.species)):
            return
        fields = {self._dam: "dam", self._sire: "sire"}
        for found in season_of_records(day, species=one.dam.species).fitness:
            if found.animal in fields and found.verdict not in (Verdict.MAY, Verdict.ASK):
                what = f"{found.animal}, {found.verdict.value}: {found.reasons[0].text}"
                hint = "Wait, or choose another animal. Where a vet is named, ask the vet first."
                yield Fault("DEC-128", what, hint, field=fields[found.animal], animal=found.animal)

    def cautions(self) -> tuple[Caution, ...]:
        """Cautions that nobody has spoken for and that have to be, what is gravest first.

        They rest on what the records of the two and their ancestors tell of their genes.
        """
        from holdback.answers.decisions.genes import GenesOfBeliefs

        one = self._one
        goal = goal_of_row(one.project, accepted=spoken_for(one.project)) if one.project else Goal("", "")
        genes = GenesOfBeliefs(self._answers.beliefs, (self._sire, self._dam))
        found = PairWelfare(genes, catalogue(one.dam.species)).of_pair(self._sire, self._dam)
        return unspoken(found, goal)


def _welfare(one: Planned, cautions: tuple[Caution, ...]) -> Iterator[Fault]:
    """DEC-130, a question, for each caution; DEC-129 where the pairing is locked, too."""
    for caution in cautions:
        hint = "Leave the pairing out, or say in a sentence why it is done all the same."
        yield Fault("DEC-130", caution.message, hint, field="words", value=caution.code, animal=one.dam.tag)
    if cautions and one.locked:
        yield _locked(one, "nobody has spoken for its cautions")


def _locked(one: Planned, why: str) -> Fault:
    what = f"a locked pairing stays in every plan, though {why}."
    return Fault("DEC-129", what, "Leave it unlocked, or say that it is right.", field="locked", animal=one.dam.tag)
