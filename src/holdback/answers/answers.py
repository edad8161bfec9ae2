"""Answers over one collection, each worked out when it is first asked for.

Inference needs numpy, which costs the start of a command: it is loaded only where an animal of the collection is asked
about.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.answers.doubts import doubts
from holdback.answers.known import KnownGenes
from holdback.answers.pair import PairOdds, Parent, crossed, egg_count, independent
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Sex
from holdback.errors import CrossError, Fault, ShorthandError
from holdback.heredity.crosses import Caution
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint
from holdback.heredity.shorthand import Reading, read, read_parent, read_wish
from holdback.species.catalogue import Catalogue

if TYPE_CHECKING:
    from holdback.answers.conflicts import Conflict
    from holdback.answers.decisions import Decisions
    from holdback.answers.descent import Descent
    from holdback.answers.grounds import Grounds
    from holdback.answers.season import Season
    from holdback.answers.sires import ClutchSires
    from holdback.answers.size import Sizes
    from holdback.decisions.goal import Goal
    from holdback.descent.family import Family
    from holdback.heredity.beliefs import Beliefs, Evidence, Memory
    from holdback.season.due import Rules
    from holdback.season.load import Room
    from holdback.season.ratio import Part

ALL_RECORDS = (
    "Each parent by all records of the collection: its own, its kin's and its young's. Genes for which "
    "nothing on record speaks in either are taken as not there."
)
NOTHING_READ = "SHO-202"
"""Code of a text in which nothing can be read as a parent."""

TYPED = "Genes as typed; no record stands behind them."

INEXACT = (
    "What {} may carry could not be worked out exactly, as the pedigree around it is too entangled; a chance of it may "
    "be off by about {:.2g} (standard error)."
)


class Answers:
    """Everything that pages and commands ask of one collection.

    Parameters
    ----------
    collection : Collection
        Checked records.
    catalogue : Catalogue
        Species file with the keeper's own genes.
    memory : Memory, optional
        Earlier results of inference.
    progress : callable, optional
        Told the share of the beliefs that is done, in [0, 1].
    cancelled : callable, optional
        Asked now and then whether to stop, where the beliefs have to be sampled.
    """

    def __init__(
        self,
        collection: Collection,
        catalogue: Catalogue,
        *,
        memory: Memory | None = None,
        progress: Callable[[float], None] | None = None,
        cancelled: Callable[[], bool] | None = None,
    ) -> None:
        self.collection = collection
        self.catalogue = catalogue
        self._memory = memory
        self._progress = progress
        self._cancelled = cancelled
        self._known: dict[str, KnownGenes] = {}
        self._looks: dict[str, Mapping[str, Part]] = {}

    @cached_property
    def memory(self) -> Memory:
        """Where earlier results of inference are kept."""
        from holdback.heredity.beliefs import Memory

        return self._memory if self._memory is not None else Memory()

    @cached_property
    def family(self) -> Family:
        """Who descends from whom."""
        from holdback.descent.family import Family

        return Family.from_collection(self.collection, stored_sperm=self.catalogue.records["stored_sperm"].value)

    @cached_property
    def evidence(self) -> Evidence:
        """What the records say of genes."""
        from holdback.heredity.beliefs import evidence_of

        return evidence_of(self.collection, self.catalogue, self.family)

    @cached_property
    def names(self) -> Mapping[tuple[str, str], str]:
        """Trade name to use, by animal and allele: Butter stays Butter where it is held to be Lesser."""
        from holdback.heredity.beliefs.naming import gene_names

        return gene_names(self.collection, self.catalogue)

    @cached_property
    def beliefs(self) -> Beliefs:
        """What every animal carries, from all records together."""
        from holdback.heredity.beliefs import infer

        return infer(self.family, self.evidence, memory=self.memory, progress=self._progress, cancelled=self._cancelled)

    @cached_property
    def descent(self) -> Descent:
        """Relatedness, and how much of each line runs in an animal."""
        from holdback.answers.descent import Descent

        return Descent(self.collection, self.family, self.catalogue, sires=self._sire_chances)

    @cached_property
    def sizes(self) -> Sizes:
        """How big animals are, and what of it they pass on."""
        from holdback.answers.size import Sizes

        return Sizes(self.collection, self.descent, self.catalogue)

    def season(
        self,
        on: dt.date,
        *,
        room: Room | None = None,
        rules: Rules | None = None,
        year: int | None = None,
    ) -> Season:
        """The working year as it stands on a day.

        Parameters
        ----------
        on : date
            The day; nothing recorded after it is used.
        room : Room, optional
            Places for eggs and tubs for young.
        rules : Rules, optional
            The keeper's own rules of what falls due when.
        year : int, optional
            Season by the year of laying; the one that `on` lies in if left out.
        """
        from holdback.answers.season import Season

        return Season(
            self.collection, self.catalogue, on=on, room=room, rules=rules, year=year, looks=self._looks_of_clutch
        )

    def decisions(self, on: dt.date, *, room: Room | None = None, goals: Mapping[str, Goal] | None = None) -> Decisions:
        """Goals and the plans for them, as they stand on a day.

        Parameters
        ----------
        on : date
            The day; nothing recorded after it is used of the working year.
        room : Room, optional
            Places for eggs and tubs for young.
        goals : mapping of str to Goal, optional
            Goals by key; those of the open projects on record if left out.
        """
        from holdback.answers.decisions import Decisions

        return Decisions(self, self.season(on, room=room), goals=goals)

    def _looks_of_clutch(self, clutch: str) -> Mapping[str, Part]:
        """What the young of a clutch show beside what was foretold."""
        if clutch not in self._looks:
            from holdback.answers.season.ratios import looks_of_clutch

            self._looks[clutch] = looks_of_clutch(self, clutch)
        return self._looks[clutch]

    def _sire_chances(self) -> dict[str, dict[str, float]]:
        """Chance of each candidate sire by the genes, by young, where a sire is doubtful."""
        return {
            young: {one.sire: one.posterior for one in odds}
            for brood in self.family.broods
            if brood.is_uncertain
            for young, odds in self.beliefs.sires_by_egg(brood.key).items()
        }

    @cached_property
    def conflicts(self) -> tuple[Conflict, ...]:
        """Records that cannot all be true, worst first."""
        from holdback.answers.conflicts import conflicts_of

        return conflicts_of(self.collection, self.catalogue, self.beliefs, memory=self.memory)

    def genes(self, animal_id: str) -> KnownGenes:
        """What an animal carries by all records, with the reasons.

        Raises
        ------
        KeyError
            If the collection has no such animal.
        """
        if animal_id not in self._known:
            self._known[animal_id] = self._genes(animal_id)
        return self._known[animal_id]

    def _genes(self, animal_id: str) -> KnownGenes:
        belief = self.beliefs.of(animal_id)
        reasons = {locus: self.grounds(animal_id, locus) for locus in belief.loci}
        return KnownGenes(
            replace(belief, basis={locus: reason.basis for locus, reason in reasons.items()}),
            read(self.collection.animals[animal_id].genes, self.catalogue),
            reasons,
            exact=self.beliefs.exact,
            standard_error=self.beliefs.standard_error,
        )

    def grounds(self, animal_id: str, locus: str, *, allele: str = "") -> Grounds:
        """The records that moved the belief in what an animal carries at a locus.

        Parameters
        ----------
        animal_id, locus : str
            Id and locus key.
        allele : str
            The allele asked about; empty takes the likeliest.

        Returns
        -------
        Grounds
            Its sentence also says, of a sex-linked gene, whether the animal is a male or a female maker.

        Raises
        ------
        KeyError
            If there is no such animal or locus.
        """
        from holdback.answers.grounds import grounds_of
        from holdback.answers.makers import makers_of

        found = grounds_of(
            self.beliefs, self.collection, self.catalogue, animal_id, locus, allele=allele, names=self.names
        )
        makers = [one.sentence for one in makers_of(self.beliefs, self.catalogue, animal_id) if one.locus == locus]
        return replace(found, sentence=" ".join([found.sentence, *makers]))

    def sires(self, clutch: str, *, each_egg: bool = False) -> ClutchSires:
        """Candidate sires of a clutch before and after its genes speak.

        Parameters
        ----------
        clutch : str
            Clutch id.
        each_egg : bool
            True lets every egg have a sire of its own; else the clutch has one.

        Raises
        ------
        CollectionError
            If there is no such clutch.
        """
        from holdback.answers.sires import clutch_sires

        return clutch_sires(self.beliefs, self.collection, clutch, each_egg=each_egg)

    def find(self, text: str) -> Animal | None:
        """Animal by id, or by a name that only one animal bears; None if there is none.

        Raises
        ------
        CrossError
            If several animals bear the name.
        """
        wanted = text.strip()
        if not wanted:
            return None
        if wanted in self.collection.animals:
            return self.collection.animals[wanted]
        folded = wanted.casefold()
        named = [
            animal
            for animal in self.collection.animals.values()
            if folded in {animal.name.casefold(), animal.id.casefold(), f"{animal.name} {animal.id}".casefold()}
        ]
        if len(named) > 1:
            ids = ", ".join(animal.id for animal in named)
            raise CrossError(Fault("PAIR-002", f"{len(named)} animals are called {wanted!r}: {ids}.", "Give the id."))
        return named[0] if named else None

    def parent(self, text: str, sex: Sex) -> Parent:
        """One side of a pairing from an id, a name or genes in trade shorthand.

        Parameters
        ----------
        text : str
            Id, name or shorthand.
        sex : Sex
            The side it stands on; an animal of the other sex is refused, one of unknown sex is taken with a warning.

        Returns
        -------
        Parent
            Belief and grounds.

        Raises
        ------
        CrossError
            If the animal is of the other sex or the name is not unique.
        ShorthandError
            If the text is neither an animal nor readable as genes.
        """
        animal = self.find(text)
        if animal is None:
            belief, reading = self._typed(text, sex)
            return Parent(id="", label=text.strip(), belief=belief, warnings=doubts(reading))
        return self._recorded_parent(animal, sex)

    def _typed(self, text: str, sex: Sex) -> tuple[GenotypeBelief, Reading]:
        """Typed genes as read; where nothing in them is a gene, the text may have been meant as an animal."""
        try:
            return read_parent(text, self.catalogue, sex=sex)
        except ShorthandError as error:
            if all(fault.code != NOTHING_READ for fault in error.faults):
                raise
            what = f"There is no animal {text.strip()!r}, and nothing in it reads as genes."
            hint = 'Give an id, a name, or genes as in "Pastel Clown 66% het Pied"; "normal" for none.'
            raise CrossError(Fault("PAIR-001", what, hint, value=text)) from error

    def _recorded_parent(self, animal: Animal, sex: Sex) -> Parent:
        """Side of a pairing from an animal of the collection."""
        genes = self.genes(animal.id)
        side = "sire" if sex is Sex.MALE else "dam"
        recorded = genes.belief.sex
        if recorded not in {sex, Sex.UNKNOWN}:
            raise CrossError(
                Fault(
                    "PAIR-003",
                    f"{animal.id} is {recorded}, and stands here as the {side}.",
                    "Choose another animal, or correct its sex.",
                    animal=animal.id,
                )
            )
        warnings = doubts(genes.reading)
        if recorded is Sex.UNKNOWN:
            warnings += (("PAIR-004", f"The sex of {animal.id} is not recorded; taken as the {side}."),)
        belief = GenotypeBelief(sex=sex, loci=genes.belief.loci, phase=genes.belief.phase, basis=genes.belief.basis)
        label = f"{animal.name} {animal.id}".strip()
        return Parent(animal.id, label, belief, grounds=genes.grounds, warnings=warnings)

    def odds(
        self,
        sire: str,
        dam: str,
        *,
        want: str = "",
        eggs: int | None = None,
        hatch_rate: float | None = None,
        top: int = 16,
    ) -> PairOdds:
        """What a pair gives.

        Parameters
        ----------
        sire, dam : str
            Id, name or trade shorthand.
        want : str
            Wish in trade shorthand; empty for none.
        eggs : int or None
            Eggs to count on; None takes the species' clutch sizes and hatch rate.
        hatch_rate : float or None
            Share of `eggs` that hatch, in (0, 1]; None is 1 with `eggs` given.
        top : int
            Number of looks to list, likeliest first.

        Returns
        -------
        PairOdds
            Both sides and the odds.

        Raises
        ------
        CrossError, ShorthandError
            If a side or the wish cannot be used.
        """
        father, mother = self.parent(sire, Sex.MALE), self.parent(dam, Sex.FEMALE)
        if father.id and father.id == mother.id:
            raise CrossError(
                Fault("PAIR-005", f"{father.id} stands on both sides.", "Choose two animals.", animal=father.id)
            )
        wish = read_wish(want, self.catalogue) if want.strip() else None
        count = egg_count(self.catalogue, eggs=eggs, hatch_rate=hatch_rate)
        scenarios = self._scenarios(father, mother)
        found = crossed(father, mother, scenarios, self.catalogue, eggs=count, want=wish, top=top)
        notes = tuple(
            Caution(code, "note", f"{side.label}: {message}")
            for side in (father, mother)
            for code, message in side.warnings
        )
        found = replace(
            found,
            cautions=(*found.cautions, *notes),
            exact=found.exact and not self._sampled(father, mother),
            assumptions=(*found.assumptions, *self._assumptions(father, mother)),
        )
        return PairOdds(father, mother, found, scenarios, wish)

    def _scenarios(self, father: Parent, mother: Parent) -> tuple[ParentsJoint, ...]:
        """What both sides may be together; empty where both are genes as typed."""
        if not father.id and not mother.id:
            return ()
        from holdback.heredity.beliefs import parents_joint, states_of

        if father.id and mother.id:
            return parents_joint(self.beliefs, father.id, mother.id)
        known, typed = (father, mother) if father.id else (mother, father)
        return tuple(
            replace(independent(*((state, typed.belief) if father.id else (typed.belief, state))), weight=weight)
            for weight, state in states_of(self.beliefs, known.id, sex=known.belief.sex)
        )

    def _sampled(self, sire: Parent, dam: Parent) -> list[str]:
        """Ids of the parents whose beliefs are not exact."""
        return [side.id for side in (sire, dam) if side.id and not self.beliefs.unit_of(side.id).exact]

    def _assumptions(self, sire: Parent, dam: Parent) -> tuple[str, ...]:
        """What the parents' beliefs rest on, in words."""
        recorded, typed = any(side.id for side in (sire, dam)), any(not side.id for side in (sire, dam))
        sampled = self._sampled(sire, dam)
        return (
            *((ALL_RECORDS,) if recorded else ()),
            *((TYPED,) if typed else ()),
            *((INEXACT.format(" and ".join(sampled), self.beliefs.standard_error),) if sampled else ()),
        )
