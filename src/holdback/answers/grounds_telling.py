"""Everything that the words of a ground are made from: chances, labels, parents, counts of looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from holdback.answers.grounds_asked import SURE, Asked
from holdback.answers.grounds_kin import Group, Kin, known_parents
from holdback.answers.grounds_weighed import ABOVE, ALL, NOTHING, PARENTS, Copies, Question, SireCase, Weighed
from holdback.collection.collection import Collection
from holdback.heredity.beliefs.evidence import GeneRecord, RecordKind

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_PLAIN_SIRE = 0.98


def said(chance: float) -> str:
    """Chance as a percentage with no more figures than it bears; two in three is 66 %, as the trade writes it.

    Examples
    --------
    >>> said(0.0588), said(2 / 3), said(0.5235), said(0.0004), said(0.9999)
    ('5.9 %', '66 %', '52 %', 'under 0.1 %', 'over 99 %')
    """
    if chance < 0.001:
        return "under 0.1 %"
    if chance > SURE:
        return "over 99 %"
    if chance < 0.1:
        return f"{100.0 * chance:.1f}".removesuffix(".0") + " %"
    return "66 %" if abs(chance - 2.0 / 3.0) < 0.005 else f"{100.0 * chance:.0f} %"


def counted(count: int) -> str:
    """Number in words up to twelve."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words as a list in a sentence."""
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)


@dataclass(frozen=True, slots=True)
class ParentState:
    """What a parent is with some records left out.

    Parameters
    ----------
    role : str
        "sire" or "dam".
    animal : str
        Id.
    is_shown : bool
        Whether it is recorded to show the gene.
    copies : tuple of three floats
        Chances of no, one and two copies.
    claim : str
        What is said of it, where half of its chance or more rests on that; else empty.
    """

    role: str
    animal: str
    is_shown: bool
    copies: Copies
    claim: str = ""

    @property
    def chance(self) -> float:
        """Chance that it carries the gene."""
        return self.copies[1] + self.copies[2]

    @property
    def is_sure(self) -> bool:
        """Whether it carries the gene for sure."""
        return self.chance > SURE


@dataclass(frozen=True, eq=False)
class Telling:
    """One animal at one locus, with every answer.

    Parameters
    ----------
    asked : Asked
        The question.
    kin : Kin
        Its kin.
    collection : Collection
        Names of animals.
    found : Weighed
        Beliefs with records left out.
    groups : tuple of Group
        Records in the order of the chain.
    cases : tuple of SireCase
        What it carries by each candidate sire.
    """

    asked: Asked
    kin: Kin
    collection: Collection
    found: Weighed
    groups: tuple[Group, ...]
    cases: tuple[SireCase, ...]

    def chance(self, question: Question) -> float:
        """The chance asked for, with some records left out."""
        return self.asked.chance(self.copies(question, self.asked.animal))

    def copies(self, question: Question, animal: str) -> Copies:
        """Copies in any animal, with some records left out."""
        return self.found.copies(question, animal, self.asked.allele)

    def label(self, animal: str) -> str:
        """Name and id of an animal."""
        known = self.collection.animals.get(animal)
        return f"{known.name} {animal}" if known and known.name else animal

    @cached_property
    def before_young(self) -> float:
        """The chance before any young speak."""
        numbers = [number for number, group in enumerate(self.groups) if group.kind != "young"]
        return self.chance(("chain", numbers[-1]) if numbers else NOTHING)

    @cached_property
    def own_look(self) -> GeneRecord | None:
        """Latest look record of the animal itself that tells anything of the gene."""
        looks = [one for group in self.groups if group.kind == "look" for one in group.records]
        telling = [one for one in looks if self.asked.is_shown_by(one) or self.asked.is_missing_by(one)]
        shown = [one for one in telling if self.asked.is_shown_by(one)]
        found = shown or telling
        return found[-1] if found else None

    @cached_property
    def is_settled_by_look(self) -> bool:
        """Whether the animal's own look carries the chance: it halves the doubt that was left, or the chance."""
        chance = self.chance(ALL)
        number = next((number for number, group in enumerate(self.groups) if group.kind == "look"), None)
        if number is None or self.own_look is None:
            return False
        without = self.chance(("without", number))
        if self.asked.is_shown_by(self.own_look):
            return self.asked.n_copies == 1 or 1.0 - chance < (1.0 - without) / 2.0 or chance > SURE
        return not self.asked.is_hidden and chance < 0.05 and chance < without / 2.0

    @cached_property
    def parents(self) -> tuple[ParentState, ...]:
        """Recorded parents by all records but the animal's own and those of its young."""
        return self._parents(PARENTS, "claim of parent")

    @cached_property
    def parents_by_descent(self) -> tuple[ParentState, ...]:
        """Recorded parents by what stands above the animal alone."""
        return self._parents(ABOVE, "claim of parent above")

    def _parents(self, base: Question, without_claim: str) -> tuple[ParentState, ...]:
        """Recorded parents; of candidate sires those that are at all likely."""
        ruled_out = {case.sire for case in self.cases if case.chance < 1.0 - _PLAIN_SIRE}
        known = [(role, one) for role, one in known_parents(self.kin) if one not in ruled_out]
        return tuple(self._parent(role, one, base, (without_claim, one)) for role, one in known)

    def _parent(self, role: str, animal: str, base: Question, question: Question) -> ParentState:
        copies = self.copies(base, animal)
        claim = ""
        if question in self.found.parts:
            without = self.copies(question, animal)
            if without[1] + without[2] < (copies[1] + copies[2]) / 2.0:
                claim = self.claim_words(animal)
        return ParentState(role, animal, self.asked.shows(animal), copies, claim)

    def claim_words(self, animal: str) -> str:
        """What is said of an animal: "said to be 66 % het Clown"."""
        records = self.asked.locus.records.get(animal, ())
        named = [one for one in records if one.kind is RecordKind.CLAIM and one.counted and self.asked.is_named(one)]
        return claim_of(named[-1]) if named else ""

    def is_raised_by(self, number: int) -> bool:
        """Whether a group of records makes the chance larger."""
        return self.chance(ALL) > self.chance(("without", number))

    @property
    def is_carried_by_claim(self) -> bool:
        """Whether the chance would be less than half without what is said of the animal."""
        number = next((number for number, group in enumerate(self.groups) if group.kind == "claim"), None)
        return number is not None and self.chance(("without", number)) < self.chance(ALL) / 2.0

    @cached_property
    def resting_on(self) -> tuple[str, ...]:
        """Ancestors with a claim without which the chance would be less than half."""
        chance = self.chance(ALL)
        animals = [str(which) for what, which in self.found.parts if what == "claim"]
        return tuple(one for one in sorted(animals) if self.chance(("claim", one)) < chance / 2.0)


def claim_of(record: GeneRecord) -> str:
    """Words of a claim with who makes it."""
    return record.words.replace("said to", f"said by {record.by} to", 1) if record.by else record.words
