"""Answers over one collection, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from holdback.answers.doubts import doubts
from holdback.answers.recorded import RecordedGenes, recorded_genes
from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Sex
from holdback.errors import CrossError, Fault, ShorthandError
from holdback.heredity.crosses import Caution, EggCount, Odds, odds
from holdback.heredity.genotype import GenotypeBelief, Wish
from holdback.heredity.shorthand import Reading, read_parent, read_wish
from holdback.species.catalogue import Catalogue

YOUNG_NOT_COUNTED = (
    "Each parent by its own record and its recorded parents; its young and clutch mates are not counted."
)
NOTHING_READ = "SHO-202"
"""Code of a text in which nothing can be read as a parent."""

TYPED = "Genes as typed; no record stands behind them."


@dataclass(frozen=True, slots=True)
class Parent:
    """One side of a pairing: an animal of the collection, or genes as typed.

    Parameters
    ----------
    id : str
        Animal id; empty for typed genes.
    label : str
        What to call it: name and id, or the text as typed.
    belief : GenotypeBelief
        What it carries.
    grounds : mapping of str to str
        Locus key to a sentence that says why; empty for typed genes.
    warnings : tuple of (str, str)
        Code and message of everything that was doubtful in reading it.
    """

    id: str
    label: str
    belief: GenotypeBelief
    grounds: Mapping[str, str] = field(default_factory=dict)
    warnings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class PairOdds:
    """What a pair gives, with what is known of both sides.

    Parameters
    ----------
    sire, dam : Parent
        The two sides.
    odds : Odds
        Offspring distribution, wish, cautions.
    wish : Wish or None
        The wish it was asked with.
    """

    sire: Parent
    dam: Parent
    odds: Odds
    wish: Wish | None = None

    def as_json(self, catalogue: Catalogue) -> dict[str, Any]:
        """One JSON object: the keys of `holdback odds`, numbers unrounded."""
        answer = self.odds.as_json(catalogue)
        answer["sire"] = _side(self.sire)
        answer["dam"] = _side(self.dam)
        return answer


def _side(parent: Parent) -> dict[str, Any]:
    """JSON form of one side of the pair."""
    return {
        "id": parent.id or None,
        "label": parent.label,
        "sex": str(parent.belief.sex),
        "warnings": [{"code": code, "message": message} for code, message in parent.warnings],
    }


class Answers:
    """Everything that pages and commands ask of one collection.

    Parameters
    ----------
    collection : Collection
        Checked records.
    catalogue : Catalogue
        Species file with the keeper's own genes.
    """

    def __init__(self, collection: Collection, catalogue: Catalogue) -> None:
        self.collection = collection
        self.catalogue = catalogue
        self._recorded: dict[str, RecordedGenes] = {}

    def genes(self, animal_id: str) -> RecordedGenes:
        """What an animal carries by its record and its recorded parents.

        Raises
        ------
        KeyError
            If the collection has no such animal.
        """
        return recorded_genes(self.collection, self.catalogue, animal_id, self._recorded)

    def find(self, text: str) -> Animal | None:
        """Animal by id, or by a name that only one animal bears; None if there is none.

        Raises
        ------
        CrossError
            If several animals bear the name.
        """
        wanted = text.strip()
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
        found = odds(father.belief, mother.belief, self.catalogue, eggs=count, want=wish, top=top)
        notes = tuple(
            Caution(code, "note", f"{side.label}: {message}")
            for side in (father, mother)
            for code, message in side.warnings
        )
        found = replace(
            found,
            cautions=(*found.cautions, *notes),
            assumptions=(*found.assumptions, *self._assumptions(father, mother)),
        )
        return PairOdds(father, mother, found, wish)

    @staticmethod
    def _assumptions(sire: Parent, dam: Parent) -> tuple[str, ...]:
        """What the parents' beliefs rest on, in words."""
        recorded, typed = any(side.id for side in (sire, dam)), any(not side.id for side in (sire, dam))
        return ((YOUNG_NOT_COUNTED,) if recorded else ()) + ((TYPED,) if typed else ())


def egg_count(catalogue: Catalogue, *, eggs: int | None = None, hatch_rate: float | None = None) -> EggCount:
    """Clutch to count on: so many eggs, or what the species file says.

    Raises
    ------
    CrossError
        If the number of eggs or the hatch rate is out of range.
    """
    faults = []
    if eggs is not None and not 1 <= eggs <= 10_000:
        faults.append(Fault("PAIR-006", f"{eggs} eggs cannot be.", "Give 1 to 10,000.", field="eggs", value=str(eggs)))
    if hatch_rate is not None and not 0.0 < hatch_rate <= 1.0:
        faults.append(
            Fault(
                "PAIR-007",
                f"A hatch rate of {hatch_rate} cannot be.",
                "Give more than 0 and at most 1.",
                field="hatch rate",
            )
        )
    if faults:
        raise CrossError(faults)
    if eggs is None:
        return EggCount.from_species(catalogue)
    return EggCount.fixed(eggs, hatch_rate=1.0 if hatch_rate is None else hatch_rate)
