"""What an animal should be bred to: one of the collection, or genes as typed, with mates at hand and on offer."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any

from holdback.collection.model import Animal, Sex
from holdback.collection.status import is_here
from holdback.decisions.ideas import Ideas, Only, PossibleMate, ideas
from holdback.errors import DecisionError, Fault
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.species.catalogue import Catalogue

_NORMAL = "normal"


@dataclass(frozen=True)
class IdeasFor:
    """Ideas for one animal, with who it is.

    Parameters
    ----------
    id : str
        Animal id; empty for genes as typed.
    label : str
        What to call it.
    sex : Sex
        Its sex.
    found : Ideas
        Cautions, nevers, ideas.
    not_read : tuple of (str, str)
        Offers that were passed over, each with the reason.
    doubts : tuple of str
        What is not read, or in doubt, in genes as typed; only what is read counts.
    grounds : mapping of str to str
        Locus key to a sentence that says why it is held to carry what it does; empty for typed genes.
    """

    id: str
    label: str
    sex: Sex
    found: Ideas
    not_read: tuple[tuple[str, str], ...] = ()
    doubts: tuple[str, ...] = ()
    grounds: Mapping[str, str] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        """One JSON object: the keys of ``holdback ideas --json``, numbers unrounded."""
        return {
            "animal": {"id": self.id or None, "label": self.label, "sex": str(self.sex)},
            **self.found.as_json(),
            "doubts": list(self.doubts),
            "offers_not_read": [{"text": text, "reason": reason} for text, reason in self.not_read],
        }


def ideas_for(
    answers: Answers,
    text: str,
    *,
    offers: Sequence[str] = (),
    only: Only = Only.ANYTHING,
    most: int = 12,
    allow: Collection[str] = frozenset(),
) -> IdeasFor:
    """What to breed an animal to.

    Parameters
    ----------
    answers : Answers
        The collection; its animals that are here are the mates at hand.
    text : str
        Id, name, or genes in trade shorthand.
    offers : sequence of str
        Listings, one animal each; nothing of them is kept.
    only, most, allow
        As in `holdback.decisions.ideas.ideas`.

    Raises
    ------
    DecisionError
        DEC-110 where the number of ideas cannot be, DEC-112 where nobody is named, DEC-113 where a caution is none.
    CrossError, ShorthandError
        Where the text names no animal and does not read as genes.
    """
    if not text.strip():
        hint = 'Name an animal, or write its genes, as in "Hidden Gene Woma".'
        raise DecisionError(Fault("DEC-112", "Nobody is named.", hint, field="animal"))
    animal = answers.find(text)
    on_offer, not_read = offers_read(offers, answers.catalogue)
    in_doubt: tuple[str, ...] = ()
    if animal is None:
        side = answers.parent(text, Sex.UNKNOWN)
        in_doubt = tuple(message for _, message in side.warnings)
        label, belief, grounds = side.label, side.belief, side.grounds
    else:
        known = answers.genes(animal.id)
        label = f"{animal.name} {animal.id}".strip()
        belief, grounds = replace(known.belief, sex=animal.sex), known.grounds
    found = ideas(
        belief,
        answers.catalogue,
        hand=_at_hand(answers, animal, belief),
        offered=on_offer,
        only=only,
        most=most,
        allow=allow,
    )
    return IdeasFor(animal.id if animal else "", label, belief.sex, found, not_read, in_doubt, grounds)


def offers_read(
    lines: Sequence[str], catalogue: Catalogue
) -> tuple[tuple[PossibleMate, ...], tuple[tuple[str, str], ...]]:
    """Mates on offer from listings, and those that were passed over with the reason; empty lines do not count.

    Parameters
    ----------
    lines : sequence of str
        One listing each, in trade shorthand.
    catalogue : Catalogue
        Species.
    """
    from holdback.heredity.shorthand import read

    found: list[PossibleMate] = []
    not_read: list[tuple[str, str]] = []
    for number, line in enumerate(lines, start=1):
        text = " ".join(line.split())
        if not text:
            continue
        reading = read(text, catalogue)
        fault = next((warning.message for warning in reading.warnings if warning.level == "fault"), "")
        if not reading.genes and _NORMAL not in reading.status:
            fault = fault or "Nothing in it reads as genes."
        if fault:
            not_read.append((text, fault))
        else:
            found.append(PossibleMate(str(number), text, reading.belief(catalogue)))
    return tuple(found), tuple(not_read)


def _at_hand(answers: Answers, animal: Animal | None, belief: GenotypeBelief) -> list[PossibleMate]:
    """Animals of the collection that are here and of the other sex, or whose sex does not stand in the way."""
    mates = [
        one
        for one in answers.collection.animals.values()
        if one is not animal
        and is_here(one.status)
        and one.sex is not Sex.UNKNOWN
        and one.sex is not belief.sex
        and one.id not in answers.collection.died_in_egg
    ]
    if not mates:
        return []
    kinship = answers.descent.kinship([animal.id], [one.id for one in mates])[0].tolist() if animal else None
    proven = answers.family.broods_of_parent
    return [
        PossibleMate(
            id=one.id,
            name=f"{one.name} {one.id}".strip(),
            belief=replace(answers.beliefs.of(one.id), sex=one.sex),
            kinship=kinship[index] if kinship else None,
            is_proven=one.id in proven,
            hatched=str(one.hatched.year) if one.hatched else "",
            together=partial(_together, answers, animal, one) if animal else None,
        )
        for index, one in enumerate(mates)
    ]


def _together(answers: Answers, animal: Animal, mate: Animal, loci: frozenset[str]) -> Sequence[ParentsJoint]:
    """What two animals of the collection may be together: kin share what is not known of their parents."""
    from holdback.heredity.beliefs import parents_joint

    sire, dam = (mate, animal) if mate.sex is Sex.MALE else (animal, mate)
    return parents_joint(answers.beliefs, sire.id, dam.id, only=loci)
